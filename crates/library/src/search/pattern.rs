//! Markings as they were seen, held against markings as they are asked for; both may have doubts.
//!
//! In: lines of `record::marking`. Out: [`Pattern`]s, which of them fit, and the heads (first characters) under which tables keep them.
//! Not here: how likely a character is mistaken for another (`marking`).
//!
//! Logos and spaces make no difference, nor does case. `?` fits any character, `[8B]` any that it names, `~` any
//! number of any characters.

use super::fold::folded;
use record::marking::{Glyph, Line, Seen};
use std::fmt;

/// One character of a pattern.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Cell {
    Of(Vec<char>),
    Any,
    Gap,
}

/// One line of a marking, folded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Pattern(Vec<Cell>);

/// Characters that count of a line.
const LONGEST: usize = 48;

/// Characters of a head.
const HEAD: usize = 3;

/// Most heads of one line; with more doubts than that, a character counts as any.
const MOST_HEADS: usize = 16;

/// What a displayed character that is not read for itself begins with.
const DOUBTS: [char; 5] = ['?', '[', '~', '{', '\\'];

/// Stands for any character in a head. No folded character is a control character.
const ANY: char = '\u{1}';

impl Pattern {
    /// Makes a pattern of a line; `None` where nothing of it was read.
    pub(crate) fn of(line: &Line) -> Option<Self> {
        let mut cells = Vec::new();
        for glyph in &line.glyphs {
            match glyph {
                Glyph::Read(c) => cells.extend(visible(*c).map(|c| Cell::Of(vec![c]))),
                Glyph::OneOf(choices) => {
                    // A choice that folds to several characters counts by its first.
                    let firsts = choices.iter().filter_map(|c| visible(*c).next());
                    let mut firsts: Vec<char> = firsts.collect();
                    firsts.sort_unstable();
                    firsts.dedup();
                    if !firsts.is_empty() {
                        cells.push(Cell::Of(firsts));
                    }
                }
                Glyph::Unreadable => cells.push(Cell::Any),
                Glyph::Gap if cells.last() != Some(&Cell::Gap) => cells.push(Cell::Gap),
                Glyph::Gap => {}
                Glyph::Logo(_) => {}
            }
        }
        cells.truncate(LONGEST);
        let read = cells.iter().any(|cell| matches!(cell, Cell::Of(_)));
        read.then_some(Self(cells))
    }

    /// Makes a pattern of a name in which every character stands for itself.
    pub(crate) fn of_name(name: &str) -> Option<Self> {
        let glyphs = name.chars().map(Glyph::Read).collect();
        Self::of(&Line { glyphs })
    }

    /// Reads what [`Pattern`] displays.
    pub(crate) fn read(text: &str) -> Option<Self> {
        Self::of(Seen::parse(text).ok()?.lines.first()?)
    }

    /// Returns whether a line may begin with this, some character of it read on both sides.
    pub(crate) fn begins(&self, line: &Self) -> bool {
        agreed(&self.0, &line.0, End::OfLeft) > Some(0)
    }

    /// Returns whether the shorter of both may be the beginning of the other, some character read on both sides.
    pub(crate) fn may_be(&self, line: &Self) -> bool {
        agreed(&self.0, &line.0, End::OfEither) > Some(0)
    }

    /// Whether a displayed pattern surely differs from this where both are read, before anything in either is in doubt:
    /// neither may begin with the other. Few lines pass, so that few are read whole.
    pub(crate) fn differs_from(&self, displayed: &str) -> bool {
        for (cell, c) in self.0.iter().zip(displayed.chars()) {
            match cell {
                _ if DOUBTS.contains(&c) => return false,
                Cell::Gap => return false,
                Cell::Of(choices) if !choices.contains(&c) => return true,
                Cell::Of(_) | Cell::Any => {}
            }
        }
        false
    }

    /// Returns the heads under which a line is kept, one for each way to read its first characters.
    pub(crate) fn heads(&self) -> Vec<String> {
        let mut heads = vec![String::new()];
        for at in 0..HEAD {
            let gap = self.0.iter().take(at + 1).any(|cell| *cell == Cell::Gap);
            let choices: &[char] = match self.0.get(at) {
                _ if gap => &[ANY],
                Some(Cell::Of(choices)) if choices.len() * heads.len() <= MOST_HEADS => choices,
                Some(_) => &[ANY],
                None => break,
            };
            heads = heads
                .iter()
                .flat_map(|head| choices.iter().map(move |c| format!("{head}{c}")))
                .collect();
        }
        heads
    }
}

/// As the record writes markings.
impl fmt::Display for Pattern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let glyphs = self.0.iter().map(|cell| match cell {
            Cell::Of(choices) => match choices[..] {
                [c] => Glyph::Read(c),
                _ => Glyph::OneOf(choices.clone()),
            },
            Cell::Any => Glyph::Unreadable,
            Cell::Gap => Glyph::Gap,
        });
        let glyphs = glyphs.collect();
        Line { glyphs }.fmt(f)
    }
}

fn visible(c: char) -> impl Iterator<Item = char> {
    let folded: Vec<char> = folded(c.encode_utf8(&mut [0; 4]))
        .filter(|c| !c.is_whitespace() && !c.is_control())
        .collect();
    folded.into_iter()
}

/// Where two patterns need not agree any further.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    OfLeft,
    OfEither,
}

/// Returns how many characters that were read on both sides can agree where two patterns are read alike up to the end;
/// `None` where they cannot be. Each place of one is held against each of the other, once.
fn agreed(left: &[Cell], right: &[Cell], end: End) -> Option<usize> {
    // The row of `left[i..]`, by how much of `right` is gone; built from the end.
    let wide = right.len() + 1;
    let mut after = vec![Some(0); wide];
    for (i, cell) in left.iter().enumerate().rev() {
        let mut row = vec![None; wide];
        for j in (0..wide).rev() {
            let Some(other) = right.get(j) else {
                let only_gaps = left[i..].iter().all(|cell| *cell == Cell::Gap);
                row[j] = (end == End::OfEither || only_gaps).then_some(0);
                continue;
            };
            row[j] = match (cell, other) {
                (Cell::Gap, _) | (_, Cell::Gap) => after[j].max(row[j + 1]),
                (Cell::Any, _) | (_, Cell::Any) => after[j + 1],
                (Cell::Of(a), Cell::Of(b)) if a.iter().any(|c| b.contains(c)) => {
                    after[j + 1].map(|count: usize| count + 1)
                }
                (Cell::Of(_), Cell::Of(_)) => None,
            };
        }
        after = row;
    }
    after[0]
}

/// Which heads lines may be kept under that a pattern fits.
#[derive(Debug, Clone)]
pub(crate) struct Heads<'p> {
    cells: &'p [Cell],
    end: End,
}

impl<'p> Heads<'p> {
    /// Heads of lines that begin with a pattern.
    pub(crate) fn begun_by(pattern: &'p Pattern) -> Self {
        let (cells, end) = (pattern.0.as_slice(), End::OfLeft);
        Self { cells, end }
    }

    /// Heads of lines that may be the beginning of a pattern, or begin with it.
    pub(crate) fn like(pattern: &'p Pattern) -> Self {
        let (cells, end) = (pattern.0.as_slice(), End::OfEither);
        Self { cells, end }
    }

    /// Returns the first characters of heads that it takes; `None` where that may be any.
    pub(crate) fn firsts(&self) -> Option<Vec<char>> {
        match self.cells.first()? {
            Cell::Of(choices) => Some(choices.iter().copied().chain([ANY]).collect()),
            Cell::Any | Cell::Gap => None,
        }
    }

    /// Returns whether lines under this head may fit.
    pub(crate) fn take(&self, head: &str) -> bool {
        let head = head.chars().map(|c| match c {
            ANY => Cell::Any,
            c => Cell::Of(vec![c]),
        });
        let mut head: Vec<Cell> = head.collect();
        // What follows a head of full length is not in it.
        if head.len() == HEAD {
            head.push(Cell::Gap);
        }
        agreed(self.cells, &head, self.end).is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::{Heads, Pattern};
    use proptest::prelude::*;

    #[track_caller]
    fn check(asked: &str, seen: &str, expected: bool) {
        let (a, b) = (Pattern::read(asked).unwrap(), Pattern::read(seen).unwrap());
        assert_eq!(a.begins(&b), expected, "{asked} of {seen}");
    }

    #[test]
    fn doubts_of_both_sides_are_met() {
        check("TH31?", "TH310", true);
        check("TH310", "TH31?", true);
        check("th31b", "TH31[8B]", true);
        check("TH310", "TH31[8B]", false);
        check("TH3", "{Threndova} TH 310", true);
        check("TH310", "TH3", false);
        check("TH310", "TH~", true);
        check("?8D2", "Q[8B]D2", true);
        check("~D2", "Q8D2", true);
        check("TH310", "OXT7", false);
        // Nothing that was read speaks for these.
        check("TH31?", "~2", false);
        check("?A", "B?", false);
    }

    proptest! {
        /// A second way to say it: every way to read both lines is written out, one is to begin with the other, and
        /// somewhere neither has a doubt about the whole character.
        #[test]
        fn fits_where_some_way_to_read_both_does(asked in "([ab]|\\?|\\[ab\\]){1,4}", seen in "([ab]|\\?|\\[ab\\]){1,5}") {
            let (Some(a), Some(b)) = (Pattern::read(&asked), Pattern::read(&seen)) else { return Ok(()) };
            let both = cells(&asked).into_iter().zip(cells(&seen)).any(|(a, b)| a != '?' && b != '?');
            let fits = both && readings(&asked).iter().any(|a| readings(&seen).iter().any(|b| b.starts_with(a.as_str())));
            // Only a and b are written, so an unreadable character is one of these too.
            prop_assert_eq!(a.begins(&b), fits);
        }

        #[test]
        fn what_is_displayed_reads_back(text in "[a-bA?~|\\[\\]{}\\\\ ]{1,8}") {
            if let Some(pattern) = Pattern::read(&text) {
                prop_assert_eq!(Pattern::read(&pattern.to_string()), Some(pattern));
            }
        }

        #[test]
        fn what_surely_differs_does_not_fit(asked in "([abc]|\\?|\\[ab\\]|~){1,5}", seen in "([abc]|\\?|\\[bc\\]|~|\\\\\\?){1,5}") {
            let (Some(a), Some(b)) = (Pattern::read(&asked), Pattern::read(&seen)) else { return Ok(()) };
            prop_assert!(!a.differs_from(&b.to_string()) || !(a.begins(&b) || a.may_be(&b)));
            // Where nothing is in doubt nothing else is asked.
            if seen.chars().all(char::is_alphabetic) && asked.chars().all(char::is_alphabetic) {
                prop_assert_eq!(!a.differs_from(&b.to_string()), a.may_be(&b));
            }
        }

        #[test]
        fn no_head_is_left_out(asked in "([abc]|\\?|\\[ab\\]|\\[bc\\]){1,5}~?[abc]?", seen in "([abc]|\\?|\\[ab\\]|\\[bc\\]){1,5}~?[abc]?") {
            let (Some(a), Some(b)) = (Pattern::read(&asked), Pattern::read(&seen)) else { return Ok(()) };
            let under = |heads: Heads<'_>| b.heads().iter().any(|head| heads.take(head));
            prop_assert!(!a.begins(&b) || under(Heads::begun_by(&a)));
            prop_assert!(!a.may_be(&b) || under(Heads::like(&a)));
        }
    }

    /// `.` for one of a and b.
    fn cells(text: &str) -> Vec<char> {
        text.replace("[ab]", ".").chars().collect()
    }

    fn readings(text: &str) -> Vec<String> {
        let text = text.replace("[ab]", "?");
        text.chars().fold(vec![String::new()], |all, c| {
            let choices = if c == '?' { vec!['a', 'b'] } else { vec![c] };
            let longer = |text: &String| {
                choices
                    .iter()
                    .map(|c| format!("{text}{c}"))
                    .collect::<Vec<_>>()
            };
            all.iter().flat_map(longer).collect()
        })
    }
}
