//! What a product is called, by its texts.
//!
//! In: titles, names of files. Out: a name that a person may change. Source: common practice of headlines.

use super::PastText;

/// Longest name, characters.
const LONGEST: usize = 80;

/// Words that headlines of openings begin with.
const BEGINS: &[&str] = &[
    "teardown of the ",
    "teardown of ",
    "teardown: ",
    "inside the ",
    "inside: ",
    "opening the ",
    "opened: ",
    "taking apart the ",
    "taking the ",
    "what is inside the ",
    "what is in the ",
    "a look inside the ",
    "a look into the ",
    "disassembly of the ",
    "review: ",
];

/// Words that they end with.
const ENDS: &[&str] = &[
    " teardown",
    " taken apart",
    " opened",
    " disassembled",
    ": what is in it",
    ": what is inside",
    ": what is inside?",
    " (teardown)",
    " review",
    " apart",
];

pub(super) fn named(texts: &[PastText]) -> String {
    let title = texts.iter().find_map(|text| text.found.title.as_deref());
    let title = title
        .unwrap_or_default()
        .split(" | ")
        .next()
        .unwrap_or_default()
        .trim();
    let mut name = title;
    for begin in BEGINS {
        if let Some(head) = name.get(..begin.len())
            && head.eq_ignore_ascii_case(begin)
        {
            name = &name[begin.len()..];
        }
    }
    for end in ENDS {
        let at = name.len().saturating_sub(end.len());
        if let Some(tail) = name.get(at..)
            && tail.eq_ignore_ascii_case(end)
        {
            name = &name[..at];
        }
    }
    let name: String = name.trim().chars().take(LONGEST).collect();
    match name.trim() {
        "" => texts
            .first()
            .map_or_else(String::new, |text| of_file(&text.file)),
        name => name.to_string(),
    }
}

/// The name of a file in words.
pub(super) fn of_file(file: &str) -> String {
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let words: Vec<&str> = stem
        .split(['_', ' '])
        .filter(|word| !word.is_empty())
        .collect();
    words.join(" ")
}
