//! One cell of a catalogue: from text to a value of a [`Part`], and back.
//!
//! In: a column and the text of a cell. Out: the value set, or why not. [`text`] is the inverse of
//! [`set`] for every tidy part.
//!
//! In a list the items stand between bars; inside an item a bar is written `\|`, a backslash `\\`.
//! A cell that is only `-` clears the value, so a text that is only `-` is written `\-`. In a code an
//! `@` that does not part it from its package is written `\@`.

use crate::columns::Kind;
use crate::number;
use crate::remark::shown;
use crate::top_code;
use crate::{Column, Part, TopCode};

/// What is wrong with one cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Fault {
    pub(crate) why: String,
    pub(crate) remedy: String,
}

impl Fault {
    pub(crate) fn new(why: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            why: why.into(),
            remedy: remedy.into(),
        }
    }
}

/// Which signs part the items of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lists {
    /// Bars only, with escapes: a catalogue.
    Bars,
    /// Bars, semicolons, commas and line breaks: somebody's own table.
    Any,
}

/// Longest text of one cell, in bytes: what a spreadsheet cell can hold.
pub(crate) const LONGEST_CELL: usize = 32_767;

/// Returns the text of a cell; empty when the part has no value there.
pub(crate) fn text(column: &Column, part: &Part) -> String {
    match column.kind {
        Kind::Text(get, _) => guard(get(part)),
        Kind::List(get, _) => {
            let items: Vec<String> = get(part).iter().map(|item| escape(item, false)).collect();
            guard_list(items.join(" | "))
        }
        Kind::Codes(get, _) => {
            let items = get(part).iter().map(|code| code.item(|t| escape(t, false)));
            guard_list(items.collect::<Vec<_>>().join(" | "))
        }
        Kind::Ratings(get, _) => {
            let items: Vec<String> = get(part)
                .iter()
                .map(|(name, value)| format!("{}={}", escape(name, true), escape(value, false)))
                .collect();
            items.join(" | ")
        }
        Kind::Pins => part.pins.map(|n| n.to_string()).unwrap_or_default(),
        Kind::Body => part
            .body_mm
            .map(|[l, w]| format!("{l} x {w}"))
            .unwrap_or_default(),
        Kind::Pitch => part.pitch_mm.map(|p| p.to_string()).unwrap_or_default(),
    }
}

/// Sets the value of a column from the text of a cell that is neither empty nor `-`.
///
/// # Errors
/// Why the text is not a value of this column.
pub(crate) fn set(column: &Column, part: &mut Part, cell: &str, lists: Lists) -> Result<(), Fault> {
    if cell.len() > LONGEST_CELL {
        return Err(Fault::new(
            format!("the cell holds {} bytes", cell.len()),
            format!("write {LONGEST_CELL} bytes at most; look for a missing quotation mark"),
        ));
    }
    match column.kind {
        Kind::Text(_, edit) => *edit(part) = unguard(&tidy(cell)),
        Kind::List(_, edit) => *edit(part) = items(cell, lists),
        Kind::Codes(_, edit) => {
            let pieces = pieces(cell, lists).into_iter();
            let codes = pieces.map(|piece| TopCode::read(&piece, |text| unescape(text, lists)));
            edit(part).clear();
            top_code::add(edit(part), codes);
        }
        Kind::Ratings(_, edit) => *edit(part) = ratings(cell, lists)?,
        Kind::Pins => part.pins = Some(number::pins(cell)?),
        Kind::Body => part.body_mm = Some(number::body(cell)?),
        Kind::Pitch => part.pitch_mm = Some(number::length(cell)?),
    }
    Ok(())
}

/// Forgets the value of a column.
pub(crate) fn clear(column: &Column, part: &mut Part) {
    match column.kind {
        Kind::Text(_, edit) => edit(part).clear(),
        Kind::List(_, edit) => edit(part).clear(),
        Kind::Codes(_, edit) => edit(part).clear(),
        Kind::Ratings(_, edit) => edit(part).clear(),
        Kind::Pins => part.pins = None,
        Kind::Body => part.body_mm = None,
        Kind::Pitch => part.pitch_mm = None,
    }
}

/// Copies the value of a column from one part to another.
pub(crate) fn copy(column: &Column, from: &Part, to: &mut Part) {
    match column.kind {
        Kind::Text(get, edit) => edit(to).clone_from(get(from)),
        Kind::List(get, edit) => edit(to).clone_from(get(from)),
        Kind::Codes(get, edit) => edit(to).clone_from(get(from)),
        Kind::Ratings(get, edit) => edit(to).clone_from(get(from)),
        Kind::Pins => to.pins = from.pins,
        Kind::Body => to.body_mm = from.body_mm,
        Kind::Pitch => to.pitch_mm = from.pitch_mm,
    }
}

/// Returns a text without control characters, with single spaces and none at the ends.
///
/// Line breaks would part a row over several lines of the file, which no comparison of two
/// versions shows well.
pub(crate) fn tidy(text: &str) -> String {
    let mut tidy = String::with_capacity(text.len());
    for word in text.split(|c: char| c.is_whitespace() || c.is_control() || c == '\u{feff}') {
        if word.is_empty() {
            continue;
        }
        if !tidy.is_empty() {
            tidy.push(' ');
        }
        tidy.push_str(word);
    }
    tidy
}

fn guard(text: &str) -> String {
    if text.trim_start_matches('\\') == "-" {
        format!("\\{text}")
    } else {
        text.to_string()
    }
}

fn unguard(text: &str) -> String {
    match text.strip_prefix('\\') {
        Some(rest) if rest.trim_start_matches('\\') == "-" => rest.to_string(),
        _ => text.to_string(),
    }
}

/// A list whose only item is `-` would clear the value; the escape of a list item already doubles
/// backslashes, so one more before the dash cannot be mistaken.
fn guard_list(text: String) -> String {
    if text == "-" { "\\-".to_string() } else { text }
}

fn escape(item: &str, equals: bool) -> String {
    let mut escaped = String::with_capacity(item.len());
    for c in item.chars() {
        if c == '\\' || c == '|' || (equals && c == '=') {
            escaped.push('\\');
        }
        escaped.push(c);
    }
    escaped
}

/// Parts a cell into items; empty items and repetitions are dropped.
fn items(cell: &str, lists: Lists) -> Vec<String> {
    let mut items: Vec<String> = Vec::new();
    for piece in pieces(cell, lists) {
        let item = tidy(&unescape(&piece, lists));
        if !item.is_empty() && !items.contains(&item) {
            items.push(item);
        }
    }
    items
}

/// Parts a cell at its separators, escapes still in place.
fn pieces(cell: &str, lists: Lists) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut escaped = false;
    for c in cell.chars() {
        let part_here = match lists {
            Lists::Bars => c == '|' && !escaped,
            Lists::Any => matches!(c, '|' | ';' | ',' | '\n' | '\r'),
        };
        escaped = lists == Lists::Bars && c == '\\' && !escaped;
        if part_here {
            pieces.push(String::new());
        } else if let Some(last) = pieces.last_mut() {
            last.push(c);
        }
    }
    pieces
}

fn unescape(piece: &str, lists: Lists) -> String {
    if lists == Lists::Any {
        return piece.to_string();
    }
    let mut text = String::with_capacity(piece.len());
    let mut chars = piece.chars().peekable();
    while let Some(c) = chars.next() {
        match (c, chars.peek()) {
            ('\\', Some(&next @ ('\\' | '|' | '=' | '-' | '@'))) => {
                text.push(next);
                chars.next();
            }
            _ => text.push(c),
        }
    }
    text
}

fn ratings(cell: &str, lists: Lists) -> Result<std::collections::BTreeMap<String, String>, Fault> {
    let mut ratings = std::collections::BTreeMap::new();
    for piece in pieces(cell, lists) {
        if piece.trim().is_empty() {
            continue;
        }
        let at = equals_sign(&piece).ok_or_else(|| {
            Fault::new(
                format!("the rating {} has no name", shown(piece.trim())),
                "write ratings as name=value, parted by |",
            )
        })?;
        let name = tidy(&unescape(&piece[..at], lists));
        let value = tidy(&unescape(&piece[at + 1..], lists));
        if name.is_empty() || value.is_empty() {
            return Err(Fault::new(
                format!(
                    "the rating {} lacks its name or its value",
                    shown(piece.trim())
                ),
                "write ratings as name=value, parted by |",
            ));
        }
        if ratings.insert(name.clone(), value).is_some() {
            return Err(Fault::new(
                format!("the rating {} stands there twice", shown(&name)),
                "keep one of them",
            ));
        }
    }
    Ok(ratings)
}

fn equals_sign(piece: &str) -> Option<usize> {
    let mut escaped = false;
    for (at, c) in piece.char_indices() {
        if c == '=' && !escaped {
            return Some(at);
        }
        escaped = c == '\\' && !escaped;
    }
    None
}
