//! The text of a log with some of its words replaced.
//!
//! In: bytes, and what is to stand in place of a text. Out: the same lines in UTF-8, their numbers as they came.
//! Not here: which words (the caller knows).

use super::decode::Decoded;
use super::lines::text_of;
use crate::error::{Fault, LogError};
use crate::mapping::Decimal;
use crate::number;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::io::Read;

/// What parts cells, whichever of them it is in this file.
const BETWEEN: [char; 4] = [',', ';', '\t', '|'];

/// Asks for every text of a log what shall stand in its place; the numbers of its samples are left as they came, so that
/// what was measured stays what it is. Returns nothing where nothing is replaced.
///
/// # Errors
/// Bytes that are no text, or cannot be read.
pub fn replaced(
    mut log: impl Read,
    file: &str,
    instead: impl Fn(&str) -> Option<String>,
) -> Result<Option<Vec<u8>>, LogError> {
    let (mut decoded, _) = Decoded::open(&mut log, file)?;
    let mut bytes = Vec::new();
    decoded.read_to_end(&mut bytes).map_err(|error| LogError {
        fault: Fault::Unreadable,
        file: file.to_owned(),
        line: None,
        what: format!("reading stopped: {error}"),
        remedy: "copy the file from the meter again".into(),
    })?;
    let lines: Vec<(Cow<'_, str>, Option<Shape>)> = bytes
        .split_inclusive(|byte| matches!(byte, b'\n' | b'\r'))
        .map(|line| {
            let (text, _) = text_of(line);
            let shape = shape(&text);
            (text, shape)
        })
        .collect();
    let samples = commonest(lines.iter().filter_map(|(_, shape)| *shape));
    let mut out = String::with_capacity(bytes.len());
    let mut changed = false;
    for (line, shape) in &lines {
        let text = match shape.is_some() && *shape == samples {
            true => sample_replaced(line, &instead),
            false => instead(line),
        };
        changed |= text.is_some();
        out.push_str(text.as_deref().unwrap_or(line));
    }
    Ok(changed.then(|| out.into_bytes()))
}

/// What lines of samples have in common: how many cells, and whether the first begins with a digit. None where a line
/// holds no number.
type Shape = (usize, bool);

fn shape(line: &str) -> Option<Shape> {
    let mut cells = line.split(BETWEEN);
    let first = cells.next().unwrap_or_default();
    let first = first.trim_start_matches(['"', '\'', ' ', '+', '-', '.']);
    line.split(BETWEEN).any(is_number).then(|| {
        (
            1 + cells.count(),
            first.starts_with(|c: char| c.is_ascii_digit()),
        )
    })
}

fn commonest(shapes: impl Iterator<Item = Shape>) -> Option<Shape> {
    let mut seen: BTreeMap<Shape, usize> = BTreeMap::new();
    shapes.for_each(|shape| *seen.entry(shape).or_default() += 1);
    let most = seen.into_iter().max_by_key(|(_, times)| *times);
    most.map(|(shape, _)| shape)
}

/// Of a line of samples every cell that is no number is looked at by itself.
fn sample_replaced(line: &str, instead: impl Fn(&str) -> Option<String>) -> Option<String> {
    let mut out = String::with_capacity(line.len());
    let mut changed = false;
    for cell in line.split_inclusive(BETWEEN) {
        let text = (!is_number(cell)).then(|| instead(cell)).flatten();
        changed |= text.is_some();
        out.push_str(text.as_deref().unwrap_or(cell));
    }
    changed.then_some(out)
}

fn is_number(cell: &str) -> bool {
    let cell = cell.trim_end_matches(BETWEEN).trim();
    let cell = cell.trim_matches(['"', '\'']);
    matches!(number::read(cell, Decimal::Point), Some((_, "")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hide(text: &str) -> Option<String> {
        let hidden = text.replace("0417", "[gone]").replace("Nuß", "[gone]");
        (hidden != text).then_some(hidden)
    }

    fn of(log: &[u8]) -> Option<String> {
        let out = replaced(log, "log.csv", hide).expect("a text");
        out.map(|bytes| String::from_utf8(bytes).expect("UTF-8"))
    }

    #[test]
    fn words_are_replaced_and_numbers_stay() {
        let log = "serial;0417\r\ntime;U 0417;\r\n0;4.0417;\r\n0417;4.1;unit 0417\r\nend; 0417\r\n";
        let want = log
            .replace(";0417\r", ";[gone]\r")
            .replace(" 0417", " [gone]");
        assert_eq!(of(log.as_bytes()), Some(want));
    }

    #[test]
    fn other_encodings_are_looked_through() {
        // Windows-1252: ß is DF (WHATWG, index windows-1252).
        assert_eq!(of(b"of Nu\xdf\n1,2\n").as_deref(), Some("of [gone]\n1,2\n"));
        let wide: Vec<u8> = "\u{feff}of Nuß\n1,2\n"
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        assert_eq!(of(&wide).as_deref(), Some("of [gone]\n1,2\n"));
    }

    #[test]
    fn what_holds_nothing_of_it_is_left_alone() {
        assert_eq!(of(b"time,U\n0417,4.1\n"), None);
    }
}
