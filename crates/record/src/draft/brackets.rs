//! Adding and removing what stands between commas, in `[ … ]` and `{ … }`.
//!
//! In: the brackets and a position in them. Out: the ranges to change. The way they are broken into
//! lines stays: a list with one element a line gets one more line.

use super::spot::View;
use crate::layout::{Form, Id};
use std::ops::Range;

type Changes = Vec<(Range<usize>, String)>;

/// Puts `part` in as the element at `at`, counted as it will be.
pub(super) fn insert(view: &View<'_>, brackets: Id, at: usize, part: &str) -> Changes {
    let node = view.node(brackets);
    let (open, close) = (node.span.start + 1, node.span.end - 1);
    let is_table = node.form == Form::Inline;
    let Some(before) = at.checked_sub(1) else {
        return match node.parts.first() {
            None => {
                let inner = &view.text[open..close];
                let new = match (is_table, inner.is_empty()) {
                    (true, true) => format!(" {part} "),
                    (true, false) => format!(" {part}"),
                    (false, _) => part.to_string(),
                };
                vec![(open..open, new)]
            }
            Some(first) => {
                let gap = own_line(view.text, open, first.span.start)
                    .map_or_else(|| " ".to_string(), |indent| view.line_break(&indent));
                let start = first.span.start;
                vec![(start..start, format!("{part},{gap}"))]
            }
        };
    };
    let previous = &node.parts[before];
    let mut changes = Vec::new();
    let is_last = before + 1 == node.parts.len();
    let behind = match previous.comma {
        Some(comma) => comma + 1,
        None => {
            let end = previous.span.end;
            changes.push((end..end, ",".to_string()));
            end
        }
    };
    let comma = if is_last && previous.comma.is_none() {
        ""
    } else {
        ","
    };
    // Where each element has a line of its own, so has the new one, below the comment of the last.
    let line_end = line_end(view.text, behind).filter(|end| *end < close);
    match (own_line(view.text, open, previous.span.start), line_end) {
        (Some(indent), Some(end)) => {
            let line = view.line_break(&indent);
            changes.push((end..end, format!("{line}{part}{comma}")));
        }
        _ => changes.push((behind..behind, format!(" {part}{comma}"))),
    }
    changes
}

/// Takes the element at `at` out, with its comma, its line and the comments on it and right above.
pub(super) fn remove(view: &View<'_>, brackets: Id, at: usize) -> Changes {
    let text = view.text;
    let node = view.node(brackets);
    let (open, close) = (node.span.start + 1, node.span.end - 1);
    let part = &node.parts[at];
    let end = part.comma.map_or(part.span.end, |comma| comma + 1);
    let mut changes = Vec::new();
    let previous_comma = at.checked_sub(1).and_then(|p| node.parts[p].comma);
    let lines = own_line(text, open, part.span.start).is_some();
    // The comma in front separates from nothing once the last is gone.
    let lonely = previous_comma.filter(|_| part.comma.is_none());
    let line = line_end(text, end).filter(|line| lines && *line < close);
    if let Some(line) = line {
        if let (Some(comma), Form::Inline) = (lonely, node.form) {
            changes.push((comma..comma + 1, String::new()));
        }
        let start = lead(text, open, part.span.start);
        changes.push((
            start..line + text[line..].find('\n').map_or(0, |n| n + 1),
            String::new(),
        ));
        return changes;
    }
    match lonely {
        Some(comma) if text[comma + 1..part.span.start].trim().is_empty() => {
            changes.push((comma..end, String::new()));
        }
        Some(comma) => {
            changes.push((comma..comma + 1, String::new()));
            changes.push((part.span.start..end, String::new()));
        }
        None => {
            let only = node.parts.len() == 1;
            let blank = |range: Range<usize>| text[range].chars().all(|c| c == ' ' || c == '\t');
            if only && blank(open..part.span.start) && blank(end..close) {
                changes.push((open..close, String::new()));
            } else {
                let gap =
                    text[end..close].len() - text[end..close].trim_start_matches([' ', '\t']).len();
                let gap = if part.comma.is_some() { gap } else { 0 };
                changes.push((part.span.start..end + gap, String::new()));
            }
        }
    }
    changes
}

/// Moves the element at `from` to `to`; those between move up. With a line for each, their comments
/// move along; the commas stay.
pub(super) fn shift(view: &View<'_>, brackets: Id, from: usize, to: usize) -> Changes {
    let text = view.text;
    let node = view.node(brackets);
    let (open, close) = (node.span.start + 1, node.span.end - 1);
    let mut order: Vec<usize> = (0..node.parts.len()).collect();
    let moved = order.remove(from);
    order.insert(to, moved);
    // What stands in front of each element and behind it, as far as it goes along.
    let around: Option<Vec<(Range<usize>, Range<usize>)>> = node
        .parts
        .iter()
        .map(|part| {
            own_line(text, open, part.span.start)?;
            let behind = part.comma.map_or(part.span.end, |comma| comma + 1);
            let end = line_end(text, behind).filter(|end| *end < close)?;
            let start = lead(text, open, part.span.start);
            Some((start..part.span.start, behind..end))
        })
        .collect();
    let mut changes = Vec::new();
    for (slot, &element) in order.iter().enumerate() {
        if slot == element {
            continue;
        }
        let (slot_part, part) = (&node.parts[slot], &node.parts[element]);
        changes.push((slot_part.span.clone(), text[part.span.clone()].to_string()));
        if let Some(around) = &around {
            let (slot, element) = (&around[slot], &around[element]);
            changes.push((slot.0.clone(), text[element.0.clone()].to_string()));
            changes.push((slot.1.clone(), text[element.1.clone()].to_string()));
        }
    }
    changes
}

impl View<'_> {
    fn line_break(&self, indent: &str) -> String {
        format!("{}{indent}", self.layout.newline)
    }
}

/// Returns the blanks in front of something that begins its line within the brackets.
fn own_line(text: &str, open: usize, start: usize) -> Option<String> {
    let line = text[..start].rfind('\n')? + 1;
    let indent = &text[line..start];
    (line >= open && indent.chars().all(|c| c == ' ' || c == '\t')).then(|| indent.to_string())
}

/// Returns the end of the line, before its break, where only blanks and a comment follow.
fn line_end(text: &str, from: usize) -> Option<usize> {
    let end = from + text[from..].find('\n')?;
    let rest = text[from..end].trim();
    let end = if text[from..end].ends_with('\r') {
        end - 1
    } else {
        end
    };
    (rest.is_empty() || rest.starts_with('#')).then_some(end)
}

/// Returns the start of the comment lines right above a line within the brackets, or of the line.
fn lead(text: &str, open: usize, start: usize) -> usize {
    let mut line = text[..start].rfind('\n').map_or(0, |n| n + 1);
    loop {
        let Some(above) = line.checked_sub(1) else {
            return line;
        };
        let start = text[..above].rfind('\n').map_or(0, |n| n + 1);
        if start < open || !text[start..above].trim_start().starts_with('#') {
            return line;
        }
        line = start;
    }
}
