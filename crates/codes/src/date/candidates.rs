//! Which words of a line may be date codes.
//!
//! In: one line of a marking or label. Out: candidates with their place in the line. Not here: deciding
//! which line of a marking carries the date.
//!
//! A word is a candidate if it reads as a date by one of the forms of [`super`]. Two forms say enough by
//! themselves to be taken as a date: a written-out date or week, and year and week (or week and year) in four digits, on its
//! own or followed by at most two letters or one digit (a plant or line of the maker: `2628B`). Everything
//! shorter may as well be something else and is marked so.

use super::Span;
use crate::reading::{Kind, Reading, Value};
use crate::{Context, likelihood, text};
use jiff::civil::Date;
use std::ops::Range;

/// A word of a line that may be a date code.
#[derive(Debug, Clone, PartialEq)]
pub struct DateCandidate {
    /// Bytes of the line that it takes.
    pub range: Range<usize>,
    /// Those characters.
    pub text: String,
    /// The characters of it that say the date; a maker's sign after them is left off.
    pub core: String,
    /// How it is read; the likelihood is the share among the date readings of this word.
    pub reading: Reading,
    /// The days it may mean, the most plausible first.
    pub spans: Vec<Span>,
    /// Whether the form alone says that it is a date.
    pub distinct: bool,
}

/// Returns the date codes a line may hold, in the order of the line and then of likelihood. Dates after
/// `opened` come last and are unlikely, but are not left out.
pub fn date_candidates(line: &str, opened: Option<Date>) -> Vec<DateCandidate> {
    let context = Context {
        opened,
        ..Context::default()
    };
    // Longer lines than any label are searched at their beginning only.
    let line = match line.char_indices().nth(400) {
        Some((end, _)) => &line[..end],
        None => line,
    };
    let mut found = Vec::new();
    for range in words(line) {
        let word = &line[range.clone()];
        let Some(folded) = text::fold(word) else {
            continue;
        };
        let (core, suffix) = core(&folded.upper);
        let whole = likelihood::settle(super::read(&folded, &context), &context);
        // 18650 is a size, not week 18 of 2065 with a maker's 0 after it.
        let size = crate::round_cell::read(&folded).is_some();
        let cut = whole.is_empty() && !suffix.is_empty() && !size;
        let (read, said) = if cut {
            let read = text::fold(core).map_or_else(Vec::new, |f| {
                likelihood::settle(super::read(&f, &context), &context)
            });
            (read, core.to_string())
        } else {
            (whole, folded.text.clone())
        };
        for mut reading in read {
            let Some(Value::Dates { spans }) = &reading.value else {
                continue;
            };
            let spans = spans.clone();
            let distinct = matches!(
                reading.kind,
                Kind::DateYearWeek | Kind::DateWeekYear | Kind::DateIsoWeek | Kind::DateCalendar
            );
            if cut {
                reading.because = format!("{}; {suffix} after it is the maker's", reading.because);
            }
            found.push(DateCandidate {
                range: range.clone(),
                text: word.to_string(),
                core: said.clone(),
                reading,
                spans,
                distinct,
            });
        }
    }
    found
}

/// Splits a word into four leading digits and what follows, if that is short enough to be a maker's sign.
fn core(word: &str) -> (&str, &str) {
    let digits = word.bytes().take_while(u8::is_ascii_digit).count();
    let (Some(head), Some(tail)) = (word.get(..4), word.get(4..)) else {
        return (word, "");
    };
    let letters = tail.len() <= 2 && tail.bytes().all(|b| b.is_ascii_alphabetic());
    let one_digit = tail.len() == 1 && tail.bytes().all(|b| b.is_ascii_digit());
    if (digits == 4 && letters) || (digits == 5 && one_digit) {
        (head, tail)
    } else {
        (word, "")
    }
}

/// Words of a line: parts between spaces, commas, colons, semicolons and brackets; a word with hyphens is
/// also tried in its parts unless it is a date as a whole.
fn words(line: &str) -> Vec<Range<usize>> {
    let mut all = Vec::new();
    for range in split(line, 0, |c| {
        c.is_whitespace() || matches!(c, ',' | ';' | ':' | '(' | ')')
    }) {
        let word = &line[range.clone()];
        let inner = |c: char| matches!(c, '-' | '_' | '/');
        let whole_is_date = text::fold(word).is_some_and(|f| {
            !super::calendar::read(&f, &Context::default()).is_empty()
                || !super::week::read(&f, &Context::default()).is_empty()
        });
        if word.contains(inner) && !whole_is_date {
            all.extend(split(word, range.start, inner));
        } else {
            all.push(range);
        }
    }
    all
}

fn split(text: &str, offset: usize, between: impl Fn(char) -> bool) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = None;
    for (i, c) in text.char_indices() {
        match (between(c), start) {
            (false, None) => start = Some(i),
            (true, Some(s)) => {
                found.push(offset + s..offset + i);
                start = None;
            }
            _ => {}
        }
    }
    found.extend(start.map(|s| offset + s..offset + text.len()));
    found
}
