//! Undoing an edit, also after others.
//!
//! In: the text before an edit, and what it changed. Out: pieces of text ([`Splice`]) that are tied to
//! the addresses of what they replace or stand between, not to bytes; and the text with them put back.
//! A piece is put back only where what the edit left is still there as it was left: where the same entry
//! was changed meanwhile the undo is refused. Undone last in, first out, the text is the same again.

use super::patch::Patches;
use super::spot::View;
use super::units::{Series, Unit, Units};
use crate::Place;
use crate::edit::{EditError, Mark, Splice, Tie};
use std::ops::Range;

/// Returns the pieces that turn the text after an edit into the text before.
pub(super) fn inverse(before: &str, after: &Patches, view: &View<'_>) -> Vec<Splice> {
    let units = Units::of(view);
    let back = after.back(before);
    let mut ranges: Vec<Range<usize>> = back.iter().map(|(range, _)| range.clone()).collect();
    loop {
        let whole = joined(ranges.iter().map(|r| widened(&units, r)).collect());
        if whole == ranges {
            break;
        }
        ranges = whole;
    }
    let mut rest = back.into_iter().peekable();
    let mut splices = Vec::new();
    for range in ranges {
        let mut new = String::new();
        let mut done = range.start;
        while let Some((piece, text)) = rest.next_if(|(piece, _)| piece.end <= range.end) {
            new.push_str(&view.text[done..piece.start]);
            new.push_str(&text);
            done = piece.end;
        }
        new.push_str(&view.text[done..range.end]);
        splices.push(Splice {
            at: tie(&units, &range),
            old: view.text[range].to_string(),
            new,
        });
    }
    splices
}

/// Widens a range so that it holds units whole or not at all.
fn widened(units: &Units, range: &Range<usize>) -> Range<usize> {
    let mut wide = range.clone();
    loop {
        let cut = units.around(&wide).units.iter().find(|u| is_cut(u, &wide));
        let Some(unit) = cut else { return wide };
        let start = if wide.start < unit.start {
            unit.lead
        } else {
            unit.start
        };
        wide = wide.start.min(start)..wide.end.max(unit.end);
    }
}

fn is_cut(unit: &Unit, range: &Range<usize>) -> bool {
    if range.is_empty() {
        return unit.lead < range.start && range.start < unit.end;
    }
    let touched = range.start < unit.end && unit.lead < range.end;
    touched && !(range.start <= unit.start && unit.end <= range.end)
}

/// Joins ranges that touch.
fn joined(mut ranges: Vec<Range<usize>>) -> Vec<Range<usize>> {
    ranges.sort_by_key(|r| (r.start, r.end));
    let mut out: Vec<Range<usize>> = Vec::new();
    for range in ranges {
        match out.last_mut() {
            Some(last) if range.start <= last.end => last.end = last.end.max(range.end),
            _ => out.push(range),
        }
    }
    out
}

/// Ties a range to the units in it, or to those around it.
fn tie(units: &Units, range: &Range<usize>) -> Tie {
    let series = units.around(range);
    let inside = |u: &&Unit| range.start <= u.start && u.end <= range.end;
    if let Some(unit) = series.units.iter().find(inside) {
        return Tie::At {
            within: series.within.clone(),
            unit: mark(unit, range.start as isize - unit.start as isize),
        };
    }
    let after = series.units.iter().rfind(|u| u.end <= range.start);
    let before = series.units.iter().find(|u| u.lead >= range.end);
    let header = series.header(range.start);
    Tie::Between {
        within: series.within.clone(),
        after: after.map(|u| mark(u, (range.start - u.end) as isize)),
        before: before.map(|u| mark(u, range.start as isize - u.lead as isize)),
        from: range.start - series.inner.start,
        under: header.map(|h| series.units[h].name.clone()),
    }
}

fn mark(unit: &Unit, offset: isize) -> Mark {
    Mark {
        unit: unit.name.0.clone(),
        number: unit.name.1,
        offset,
    }
}

/// Puts text back.
pub(super) fn restore(
    view: &View<'_>,
    at: &Place,
    splices: &[Splice],
) -> Result<Patches, EditError> {
    let refused = |why: String| EditError::Meanwhile {
        at: at.clone(),
        why,
    };
    let units = Units::of(view);
    let mut changes: Vec<(Range<usize>, String)> = Vec::new();
    for splice in splices {
        let range = found(view.text, &units, splice, at).map_err(refused)?;
        changes.push((range, splice.new.clone()));
    }
    changes.sort_by_key(|(range, _)| (range.start, range.end));
    if changes.windows(2).any(|two| two[1].0.start < two[0].0.end) {
        return Err(refused("what it changed was moved".to_string()));
    }
    let after = Patches::of(view.text, changes);
    let then = Units::of(&View::made(view.grammar, &after.text).map_err(refused)?);
    let ranges = after.ranges();
    let stays = owners(units.statements(), ranges.iter().map(|(before, _)| before))
        == owners(then.statements(), ranges.iter().map(|(_, after)| after));
    if stays {
        Ok(after)
    } else {
        Err(refused("something was added to it".to_string()))
    }
}

/// The header of a statement that no piece touches.
#[derive(Debug, PartialEq)]
enum Owner {
    None,
    /// Another such statement, counted.
    Outside(usize),
    /// It stands in this piece.
    Inside(usize),
}

/// Returns what the statements outside of some ranges stand under.
fn owners<'r>(series: &Series, ranges: impl Iterator<Item = &'r Range<usize>>) -> Vec<Owner> {
    let ranges: Vec<_> = ranges.collect();
    let mut out = Vec::new();
    let (mut header, mut headers) = (None, 0);
    for unit in &series.units {
        let inside = ranges
            .iter()
            .position(|r| r.start <= unit.start && unit.end <= r.end);
        match (inside, unit.is_header) {
            (Some(n), true) => header = Some(Owner::Inside(n)),
            (Some(_), false) => {}
            (None, true) => {
                headers += 1;
                header = Some(Owner::Outside(headers));
                out.push(Owner::Outside(headers));
            }
            (None, false) => out.push(match header {
                None => Owner::None,
                Some(Owner::Inside(n)) => Owner::Inside(n),
                Some(Owner::Outside(n)) => Owner::Outside(n),
                Some(Owner::None) => Owner::None,
            }),
        }
    }
    out
}

/// Returns where a piece is put back, or why it is not.
fn found(text: &str, units: &Units, splice: &Splice, at: &Place) -> Result<Range<usize>, String> {
    let gone = |what: &str| format!("{what} is no longer there");
    let stands = |from: usize| {
        let range = from..from.checked_add(splice.old.len())?;
        (text.get(range.clone()) == Some(splice.old.as_str())).then_some(range)
    };
    match &splice.at {
        Tie::At { within, unit } => {
            let series = units.within(within).ok_or_else(|| gone(within))?;
            let n = series.unit(&(unit.unit.clone(), unit.number));
            let start = series.units[n.ok_or_else(|| gone(&unit.unit))?].start;
            let from = start.checked_add_signed(unit.offset);
            from.and_then(stands)
                .ok_or_else(|| format!("{} is written otherwise by now", unit.unit))
        }
        Tie::Between {
            within,
            after,
            before,
            from,
            under,
        } => {
            let series = units.within(within).ok_or_else(|| gone(within))?;
            let behind = after.as_ref().and_then(|m| {
                let n = series.unit(&(m.unit.clone(), m.number))?;
                let from = series.units[n].end.checked_add_signed(m.offset)?;
                let next = series.units.get(n + 1).map_or(series.inner.end, |u| u.lead);
                Some(from.min(next))
            });
            let ahead = before.as_ref().and_then(|m| {
                let n = series.unit(&(m.unit.clone(), m.number))?;
                let from = series.units[n].lead.checked_add_signed(m.offset)?;
                let last = n.checked_sub(1).map(|n| series.units[n].end);
                Some(from.max(last.unwrap_or(series.inner.start)))
            });
            // An entry belongs next to the others of its list.
            let near = |mark: &Option<Mark>| mark.as_ref().map_or(0, |m| common(&m.unit, at));
            let both = if near(after) > near(before) {
                [behind, ahead]
            } else {
                [ahead, behind]
            };
            let alone = (after.is_none() && before.is_none())
                .then(|| (series.inner.start + from).min(series.inner.end));
            let is_block = splice.new.trim_start().starts_with('[')
                || first_statement(&splice.new).starts_with('[');
            let fits = |from: &usize| {
                let header = series.header(*from).map(|h| series.units[h].name.clone());
                is_block || header == *under
            };
            let places = both.into_iter().flatten().chain(alone).filter(fits);
            places
                .filter_map(stands)
                .next()
                .ok_or_else(|| "what it stood between is no longer there".to_string())
        }
    }
}

/// Returns how many parts at their beginning the addresses have in common.
fn common(unit: &str, at: &Place) -> usize {
    let at = at.segments().map(crate::place::path).unwrap_or_default();
    let same = unit.split('.').zip(at.split('.'));
    same.take_while(|(a, b)| a == b).count()
}

/// Returns the first line that is neither empty nor a comment.
fn first_statement(text: &str) -> &str {
    let mut lines = text.lines().map(str::trim_start);
    let found = lines.find(|l| !l.is_empty() && !l.starts_with('#'));
    found.unwrap_or_default()
}
