//! What a sentence says a part does.
//!
//! In: words of a sentence. Out: phrases that name a role, and which part each belongs to. Not here: makers.
//! Source: common practice; the list of nouns is our own.

use crate::lists::{List, listed};
use crate::words::Word;
use std::ops::Range;

/// Nouns that name what a part does.
static HEADS: List = List::new(|| listed(include_str!("lists/roles-heads.txt")));

/// Words that name a role only before "chip" or "IC", or as modifiers.
static MODIFIERS: List = List::new(|| listed(include_str!("lists/roles-modifiers.txt")));

/// Goods that a modifier makes a role of.
const GOODS: &[&str] = &["ic", "chip", "controller"];

/// Words before a role that say what a part is not.
const DENY: &[&str] = &[
    "like",
    "not",
    "no",
    "without",
    "instead",
    "than",
    "resembles",
    "isn't",
    "never",
];

/// Farthest that a role stands from its part, words.
const FARTHEST: usize = 10;

/// Whether a word names what a part does, one of it or several.
fn is_head(lower: &str) -> bool {
    HEADS.contains(lower)
        || lower
            .strip_suffix('s')
            .is_some_and(|single| HEADS.contains(single))
}

pub(crate) fn is_role_word(lower: &str) -> bool {
    is_head(lower) || MODIFIERS.contains(lower)
}

/// Finds the roles that a sentence names.
pub(crate) fn roles(words: &[Word<'_>]) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    let lower = |at: usize| words[at].lower.as_str();
    let head = |at: usize| is_head(lower(at));
    let mut at = 0;
    while at < words.len() {
        let goods = GOODS.contains(&lower(at))
            && at > 0
            && words[at].follows()
            && MODIFIERS.contains(lower(at - 1));
        if !(head(at) || goods) || words[at].owns {
            at += 1;
            continue;
        }
        // The last noun of several in a row is what it is: "flash memory", "buck converter".
        let mut end = at;
        while end + 1 < words.len()
            && words[end + 1].follows()
            && (head(end + 1) || GOODS.contains(&lower(end + 1)))
        {
            end += 1;
        }
        let mut begin = at;
        while begin > 0
            && at - begin < 3
            && words[begin].follows()
            && !words[begin - 1].owns
            && MODIFIERS.contains(lower(begin - 1))
        {
            begin -= 1;
        }
        // "Looked like a sensor", "not a charger".
        let denied = words[begin.saturating_sub(2)..begin]
            .iter()
            .any(|word| DENY.contains(&word.lower.as_str()));
        if !denied && found.last().is_none_or(|last| last.end <= begin) {
            found.push(begin..end + 1);
        }
        at = end + 1;
    }
    found
}

/// Gives each part of a sentence at most one role: the nearest pairs first.
pub(crate) fn shared(
    words: &[Word<'_>],
    roles: &[Range<usize>],
    parts: &[usize],
) -> Vec<Option<usize>> {
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (p, part) in parts.iter().enumerate() {
        for (r, role) in roles.iter().enumerate() {
            let (low, high) = match role.end <= *part {
                true => (role.end - 1, *part),
                false => (*part, role.start),
            };
            let between = high - low - 1;
            if between > FARTHEST {
                continue;
            }
            let crossed = parts
                .iter()
                .filter(|other| **other > low && **other < high)
                .count();
            let mut cost = between as f64 + 6.0 * crossed as f64;
            let gap = |at: usize| words.get(at).map_or("", |word| word.gap);
            // A clause that ends between them parts them.
            let ends = |at: usize| {
                gap(at).contains([';', '|'])
                    || matches!(words[at].text, "and" | "while" | "but" | "plus" | "whereas")
            };
            if (low + 1..=high).any(ends) {
                cost += 4.0;
            }
            // PART, a charger; PART is the charger.
            let says =
                |at: usize| matches!(words[at].text, "is" | "are" | "was" | "as" | "a" | "an");
            if role.start > *part && (part + 1..role.start).any(says) {
                cost -= 1.5;
            }
            pairs.push((cost, p, r));
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut given = vec![None; parts.len()];
    let mut taken = vec![false; roles.len()];
    for (cost, part, role) in pairs {
        if cost <= FARTHEST as f64 && given[part].is_none() && !taken[role] {
            given[part] = Some(role);
            taken[role] = true;
        }
    }
    given
}

/// A role as it is recorded: one of it, in lower case unless it is an abbreviation.
pub(crate) fn named(words: &[Word<'_>], role: &Range<usize>) -> String {
    let mut named = String::new();
    for (n, word) in words[role.clone()].iter().enumerate() {
        if n > 0 {
            named.push(' ');
        }
        let rest = word.text.chars().skip(1);
        let plain = rest.clone().next().is_some() && rest.clone().all(|c| !c.is_uppercase());
        let proper = matches!(
            word.text,
            "Bluetooth" | "Hall" | "Wi-Fi" | "Ethernet" | "Zigbee"
        );
        match plain && !proper {
            true => named.push_str(&word.lower),
            false => named.push_str(word.text),
        }
    }
    let last = words[role.end - 1].lower.as_str();
    let single = last.strip_suffix('s');
    if single.is_some_and(|single| HEADS.contains(single) || GOODS.contains(&single))
        && !HEADS.contains(last)
    {
        named.pop();
    }
    named
}
