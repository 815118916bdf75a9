//! Changes of text by byte ranges, and their inverses.

use crate::edit::{EditError, Splice};
use crate::{Place, edit};
use std::ops::Range;

/// A text after some changes.
#[derive(Debug)]
pub(super) struct Patches {
    pub(super) text: String,
    /// The ranges changed in the text before, with what took their place, in the order of the text.
    /// `None` where the text was changed in several goes.
    changes: Option<Vec<(Range<usize>, String)>>,
}

impl Patches {
    /// No change.
    pub(super) fn none(text: &str) -> Self {
        Self::of(text, Vec::new())
    }

    /// Changes ranges that do not overlap.
    pub(super) fn of(text: &str, mut changes: Vec<(Range<usize>, String)>) -> Self {
        changes.sort_by_key(|(range, _)| (range.start, range.end));
        let mut out = String::with_capacity(text.len());
        let mut done = 0;
        for (range, new) in &changes {
            out.push_str(&text[done..range.start]);
            out.push_str(new);
            done = range.end;
        }
        out.push_str(&text[done..]);
        Self {
            text: out,
            changes: Some(changes),
        }
    }

    /// A text that was changed in several goes.
    pub(super) fn whole(text: String) -> Self {
        Self {
            text,
            changes: None,
        }
    }
}

/// Returns the splices that turn the text after into the text before.
pub(super) fn inverse(before: &str, after: &Patches) -> Vec<Splice> {
    let Some(changes) = &after.changes else {
        return between(&after.text, before);
    };
    let mut splices = Vec::new();
    let (mut grown, mut shrunk) = (0, 0);
    for (range, new) in changes {
        let old = &before[range.clone()];
        if old != new {
            splices.push(Splice {
                from: range.start + grown - shrunk,
                old: new.clone(),
                new: old.to_string(),
            });
        }
        grown += new.len();
        shrunk += range.len();
    }
    splices
}

/// Returns the one splice between two texts, without what they have in common at both ends.
fn between(from: &str, to: &str) -> Vec<Splice> {
    if from == to {
        return Vec::new();
    }
    let same = from.bytes().zip(to.bytes()).take_while(|(a, b)| a == b);
    let mut start = same.count();
    while !(from.is_char_boundary(start) && to.is_char_boundary(start)) {
        start -= 1;
    }
    let (rest_from, rest_to) = (&from[start..], &to[start..]);
    let same = rest_from
        .bytes()
        .rev()
        .zip(rest_to.bytes().rev())
        .take_while(|(a, b)| a == b);
    let mut tail = same.count();
    while !(rest_from.is_char_boundary(rest_from.len() - tail)
        && rest_to.is_char_boundary(rest_to.len() - tail))
    {
        tail -= 1;
    }
    vec![Splice {
        from: start,
        old: rest_from[..rest_from.len() - tail].to_string(),
        new: rest_to[..rest_to.len() - tail].to_string(),
    }]
}

/// Puts text back. Every piece has to be found where it was left.
pub(super) fn restore(text: &str, at: &Place, splices: &[Splice]) -> Result<Patches, EditError> {
    let mut changes = Vec::new();
    let mut done = 0;
    for edit::Splice { from, old, new } in splices {
        let end = from.saturating_add(old.len());
        if *from < done || text.get(*from..end) != Some(old) {
            let present = text.get(*from..end.min(text.len()));
            return Err(EditError::Changed {
                at: at.clone(),
                present: present.map_or(serde_json::Value::Null, Into::into),
            });
        }
        done = end;
        changes.push((*from..end, new.clone()));
    }
    Ok(Patches::of(text, changes))
}
