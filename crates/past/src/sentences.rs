//! Where sentences end.
//!
//! In: the text of a block. Out: ranges of sentences. Not here: words.
//! Source: common practice: a full stop before a blank and something that can begin a sentence, unless a short form
//! stands before it.

use std::ops::Range;

/// Longest sentence, bytes; a text without full stops is cut at blanks.
const LONGEST: usize = 400;

/// Short forms that a full stop does not end a sentence after.
const SHORT: &[&str] = &[
    "e.g", "i.e", "approx", "ca", "no", "fig", "co", "inc", "ltd", "corp", "dr", "mr", "mrs", "vs",
    "etc", "incl", "max", "min", "typ", "pcs", "st", "cf", "al",
];

pub(crate) fn sentences(text: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut begin = 0;
    let mut last_blank = None;
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        if c == ' ' {
            last_blank = Some(at);
        }
        let after = at + c.len_utf8();
        let stops = matches!(c, '.' | '!' | '?' | '…') && ends(text, begin, at, after);
        let long = after - begin >= LONGEST && last_blank.is_some_and(|blank| blank > begin);
        let very_long = after - begin >= 2 * LONGEST;
        let end = match (stops, long, very_long) {
            (true, ..) => after + closing(&text[after..]),
            (_, true, _) => last_blank.unwrap_or(after),
            (_, _, true) => after,
            _ => continue,
        };
        add(text, begin..end, &mut found);
        begin = end;
        while chars.peek().is_some_and(|(at, _)| *at < end) {
            chars.next();
        }
    }
    add(text, begin..text.len(), &mut found);
    found
}

fn add(text: &str, range: Range<usize>, found: &mut Vec<Range<usize>>) {
    let inside = &text[range.clone()];
    let lead = inside.len() - inside.trim_start().len();
    let whole = inside.trim().len();
    if whole > 0 {
        found.push(range.start + lead..range.start + lead + whole);
    }
}

/// Bytes of what closes behind a full stop.
fn closing(rest: &str) -> usize {
    let closes = |c: &char| matches!(c, '"' | '\'' | '”' | '’' | ')' | ']' | '.' | '!' | '?');
    rest.chars().take_while(closes).map(char::len_utf8).sum()
}

fn ends(text: &str, begin: usize, at: usize, after: usize) -> bool {
    let rest = &text[after..];
    let rest = &rest[closing(rest)..];
    if rest.is_empty() {
        return true;
    }
    let Some(next) = rest.strip_prefix(' ') else {
        return false;
    };
    let starts = next.chars().next().is_some_and(|c| !c.is_lowercase());
    let before = &text[begin..at];
    let word = before.rsplit([' ', '(']).next().unwrap_or_default();
    let word = word.to_lowercase();
    let initial = word.chars().count() == 1 && word.chars().all(char::is_alphabetic);
    starts && !initial && !SHORT.contains(&word.as_str())
}
