//! The legend: numbers and captions in columns under the picture.
//!
//! In: captions in the order of their numbers, the width, the size of the type. Out: lines with
//! their places. Not here: drawing them.

use super::plane::Point;
use super::typeset::{Face, PITCH, width};
use lettering::Typefaces;

/// Distance of base lines, em.
const LEADING: f64 = 1.22;
/// Height of a first line above its base line, em.
const ASCENT: f64 = 0.76;
/// Depth of a last line below its base line, em.
const DESCENT: f64 = 0.26;
/// Space between entries beyond the leading, em.
const BETWEEN: f64 = 0.14;
/// Space between columns, em.
const GUTTER: f64 = 1.4;
/// Least width of a column whose captions run over several lines, em.
const COLUMN: f64 = 15.0;
/// Least width of a column whose captions fit on one line each, em.
const NARROW: f64 = 8.0;
/// Most columns.
const COLUMNS: usize = 4;
/// Size of the numbers against that of the text: their digits are as tall as its capital letters.
const NUMBER: f64 = 0.9;
/// Share of a line left free, because a reader's substitute face may be wider.
const SPARE: f64 = 0.06;

/// One line of the legend.
#[derive(Debug, Clone, PartialEq)]
pub struct LegendLine {
    /// Number, on the first line of a caption.
    pub number: Option<u32>,
    /// Right end of the number on the base line, mm.
    pub number_at: Point,
    /// Start of the text on the base line, mm.
    pub text_at: Point,
    /// Text.
    pub text: String,
}

/// The legend as set.
#[derive(Debug, Clone, PartialEq)]
pub struct Legend {
    /// Size of the type, mm to the em.
    pub em: f64,
    /// Size of the numbers, mm to the em.
    pub number_em: f64,
    /// Lines, in the order of the numbers.
    pub lines: Vec<LegendLine>,
    /// Height over all, mm.
    pub height: f64,
}

/// Sets captions into columns of a block `wide` mm, starting at (`left`, `top`).
pub(super) fn set(
    entries: &[(u32, &str)],
    typefaces: &Typefaces,
    [left, top]: Point,
    wide: f64,
    em: f64,
) -> Legend {
    let digits = entries.iter().map(|(n, _)| n.to_string().len()).max();
    let number_em = digits.unwrap_or(1) as f64 * PITCH * NUMBER;
    let indent_em = number_em + 0.6;
    let column_of = |count: usize| (wide / em - GUTTER * (count - 1) as f64) / count as f64;
    let room_in = |column: f64| ((column - indent_em) * (1.0 - SPARE)).max(2.0);
    let longest = entries
        .iter()
        .map(|(_, caption)| width(Face::Caption, &clean(caption), typefaces))
        .fold(0.0, f64::max);
    // As many columns as keep every caption on one line, else as many as are wide enough.
    let columns = (1..=COLUMNS.min(entries.len().max(1)))
        .rev()
        .find(|count| {
            let column = column_of(*count);
            column >= COLUMN || (column >= NARROW && room_in(column) >= longest)
        })
        .unwrap_or(1);
    let column_em = column_of(columns);
    let room = room_in(column_em);
    let blocks: Vec<(u32, Vec<String>)> = entries
        .iter()
        .map(|(n, caption)| (*n, broken(&clean(caption), typefaces, room)))
        .collect();
    let tall = |lines: &[String]| lines.len() as f64 * LEADING + BETWEEN;
    let (limit, starts) = balanced(
        &blocks.iter().map(|b| tall(&b.1)).collect::<Vec<_>>(),
        columns,
    );

    let mut lines = Vec::new();
    for (column, &start) in starts.iter().enumerate() {
        let end = starts.get(column + 1).copied().unwrap_or(blocks.len());
        let x = left + (column_em + GUTTER) * em * column as f64;
        let mut y = top + ASCENT * em;
        for (number, texts) in &blocks[start..end] {
            for (i, text) in texts.iter().enumerate() {
                lines.push(LegendLine {
                    number: (i == 0).then_some(*number),
                    number_at: [x + number_em * em, y],
                    text_at: [x + indent_em * em, y],
                    text: text.clone(),
                });
                y += LEADING * em;
            }
            y += BETWEEN * em;
        }
    }
    let height = if entries.is_empty() {
        0.0
    } else {
        (limit - BETWEEN - LEADING + ASCENT + DESCENT) * em
    };
    Legend {
        em,
        number_em: em * NUMBER,
        lines,
        height,
    }
}

/// Divides blocks into at most `columns` runs so that the tallest run is as short as it can be;
/// returns its height and where each run starts.
fn balanced(heights: &[f64], columns: usize) -> (f64, Vec<usize>) {
    // The best height is that of some run of blocks.
    let mut limits = Vec::new();
    for start in 0..heights.len() {
        let mut sum = 0.0;
        for height in &heights[start..] {
            sum += height;
            limits.push(sum);
        }
    }
    limits.sort_by(f64::total_cmp);
    for limit in limits {
        let (mut starts, mut used) = (vec![0], 0.0);
        for (i, height) in heights.iter().enumerate() {
            if used + height > limit + 1e-9 && used > 0.0 {
                starts.push(i);
                used = 0.0;
            }
            used += height;
        }
        let fits = heights.iter().all(|h| *h <= limit + 1e-9);
        if fits && starts.len() <= columns {
            return (limit, starts);
        }
    }
    (0.0, vec![0])
}

/// Returns a caption on one line: control characters and runs of spaces become one space.
pub(super) fn clean(caption: &str) -> String {
    caption
        .split(|c: char| c.is_control() || c == ' ')
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Breaks a text into lines at most `room` em wide; words that are wider are cut.
fn broken(text: &str, typefaces: &Typefaces, room: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut used = 0.0;
    for word in text.split(' ') {
        let wide = width(Face::Caption, word, typefaces);
        let space = if used > 0.0 {
            width(Face::Caption, " ", typefaces)
        } else {
            0.0
        };
        if used > 0.0 && used + space + wide > room {
            lines.push(String::new());
            used = 0.0;
        }
        if used > 0.0 {
            push(&mut lines, ' ');
            used += space;
        }
        if used + wide <= room {
            used += wide;
            word.chars().for_each(|c| push(&mut lines, c));
            continue;
        }
        for character in word.chars() {
            let step = width(Face::Caption, &character.to_string(), typefaces);
            if used > 0.0 && used + step > room {
                lines.push(String::new());
                used = 0.0;
            }
            push(&mut lines, character);
            used += step;
        }
    }
    lines
}

fn push(lines: &mut [String], character: char) {
    if let Some(last) = lines.last_mut() {
        last.push(character);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_captions_break_between_words_and_lose_nothing() {
        let text = "Twin transistor of the protector, beside the connector of the cell";
        let lines = broken(text, &Typefaces::default(), 12.0);
        assert!(lines.len() > 1);
        assert_eq!(lines.join(" "), text);
        assert!(
            lines
                .iter()
                .all(|l| width(Face::Caption, l, &Typefaces::default()) <= 12.0)
        );
    }

    #[test]
    fn words_without_a_break_are_cut() {
        let text = "m".repeat(100);
        let lines = broken(&text, &Typefaces::default(), 10.0);
        assert_eq!(lines.concat(), text);
        assert!(
            lines
                .iter()
                .all(|l| width(Face::Caption, l, &Typefaces::default()) <= 10.0)
        );
    }

    #[test]
    fn control_characters_become_spaces() {
        assert_eq!(clean(" a\u{0}b\n\n  c "), "a b c");
    }

    #[test]
    fn columns_are_balanced_in_reading_order() {
        assert_eq!(balanced(&[1.0, 1.0, 1.0], 2), (2.0, vec![0, 2]));
        assert_eq!(balanced(&[3.0, 1.0, 1.0, 1.0], 2), (3.0, vec![0, 1]));
        assert_eq!(balanced(&[], 2), (0.0, vec![0]));
    }

    #[test]
    fn lines_stay_within_the_block() {
        let long = "x".repeat(400);
        let entries: Vec<(u32, &str)> = (1..=31)
            .map(|n| {
                (
                    n,
                    if n % 7 == 0 {
                        long.as_str()
                    } else {
                        "Connector of the cell"
                    },
                )
            })
            .collect();
        let legend = set(&entries, &Typefaces::default(), [2.0, 60.0], 85.0, 2.6);
        assert_eq!(
            legend.lines.iter().filter(|l| l.number.is_some()).count(),
            31
        );
        for line in &legend.lines {
            let [x, y] = line.text_at;
            assert!(
                x >= 2.0
                    && x + width(Face::Caption, &line.text, &Typefaces::default()) * 2.6 <= 87.0
            );
            assert!(y >= 60.0 && y <= 60.0 + legend.height);
        }
    }

    #[test]
    fn short_captions_take_more_columns() {
        let columns = |caption: &str| {
            let entries: Vec<(u32, &str)> = (1..=12).map(|n| (n, caption)).collect();
            let legend = set(&entries, &Typefaces::default(), [0.0, 0.0], 85.0, 2.6);
            let first = legend.lines[0].text_at[1];
            legend
                .lines
                .iter()
                .filter(|l| l.number.is_some() && l.text_at[1] == first)
                .count()
        };
        assert_eq!(columns("Crystal"), 3);
        assert_eq!(columns("Connector of the light board"), 2);
        assert_eq!(columns(&"Connector of the light board ".repeat(3)), 2);
    }

    #[test]
    fn nothing_to_explain_takes_no_room() {
        assert_eq!(
            set(&[], &Typefaces::default(), [0.0, 0.0], 85.0, 2.6).height,
            0.0
        );
    }
}
