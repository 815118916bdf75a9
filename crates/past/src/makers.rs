//! Which maker a sentence names for a part.
//!
//! In: words of a sentence, the place of a part, phrases of the kind of names. Out: the phrase, and how strongly the
//! sentence says it. Not here: part numbers (`shape`), roles.
//! Source: common practice of trade English ("X's", "from X", "by X", "X makes", "(X)"); weights fitted on the texts
//! of `tests/fitted.rs`.

use crate::lists::{List, listed};
use crate::roles;
use crate::words::Word;

/// From which strength on a maker is told.
pub(crate) const TOLD: f64 = 1.2;

/// Words with a capital letter that are no names.
static NO_NAMES: List = List::new(|| listed(include_str!("lists/makers-no-names.txt")));

/// Words before "from" or "by" that speak of something else than making.
static NOT_MADE: List = List::new(|| listed(include_str!("lists/makers-not-made.txt")));

static MADE: List = List::new(|| listed(include_str!("lists/makers-made.txt")));
static MAKES: List = List::new(|| listed(include_str!("lists/makers-makes.txt")));
static GOODS: List = List::new(|| listed(include_str!("lists/makers-goods.txt")));

/// Words of names, in the words of a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Phrase {
    pub(crate) first: usize,
    pub(crate) last: usize,
}

/// Whether a word can belong to a name.
fn is_name(word: &Word<'_>) -> bool {
    let lower = word.lower.as_str();
    word.capital()
        && word
            .text
            .chars()
            .all(|c| c.is_alphabetic() || matches!(c, '-' | '.' | '&'))
        && word.text.chars().filter(|c| c.is_alphabetic()).count() >= 2
        && !NO_NAMES.contains(lower)
        && !roles::is_role_word(lower)
}

/// Finds what may be names: up to three words with capitals in a row.
pub(crate) fn phrases(words: &[Word<'_>]) -> Vec<Phrase> {
    let mut found: Vec<Phrase> = Vec::new();
    for (at, word) in words.iter().enumerate() {
        if !is_name(word) {
            continue;
        }
        let goes_on = word.gap == " " || word.gap == " & ";
        match found.last_mut() {
            Some(last)
                if last.last + 1 == at
                    && goes_on
                    && !words[last.last].owns
                    && at - last.first < 3 =>
            {
                last.last = at
            }
            _ => found.push(Phrase {
                first: at,
                last: at,
            }),
        }
    }
    found
}

/// How strongly a sentence says that a phrase names the maker of the part at a place; `others` are other parts.
pub(crate) fn strength(words: &[Word<'_>], phrase: Phrase, part: usize, others: &[usize]) -> f64 {
    let lower = |at: usize| words.get(at).map_or("", |word| word.lower.as_str());
    let (low, high) = match phrase.last < part {
        true => (phrase.last, part),
        false => (part, phrase.first),
    };
    if others.iter().any(|other| *other > low && *other < high) {
        return 0.0;
    }
    let before = phrase.last < part;
    let between = high - low - 1;
    let mut best: f64 = 0.0;
    let mut say = |strength: f64| best = best.max(strength);
    let gap = |at: usize| words.get(at).map_or("", |word| word.gap);
    // X's PART, X's linear charger, the PART.
    if words[phrase.last].owns && before && between <= 6 {
        say(3.0 - 0.1 * between as f64);
    }
    // PART is X's charger.
    if words[phrase.last].owns && !before && between <= 5 {
        say(2.4);
    }
    // from X, by X, made by X.
    let mut lead = phrase.first.checked_sub(1);
    if lead.is_some_and(|at| lower(at) == "the") {
        lead = lead.and_then(|at| at.checked_sub(1));
    }
    if let Some(at) = lead.filter(|at| matches!(lower(*at), "from" | "by")) {
        let leads: Vec<&str> = (at.saturating_sub(3)..at).map(lower).collect();
        let made = leads.iter().any(|word| MADE.contains(word));
        let other = leads.iter().any(|word| NOT_MADE.contains(word));
        if made && !other && between <= 14 {
            say(3.2 - 0.05 * between as f64);
        } else if !other && between <= 10 {
            say(2.8 - 0.08 * between as f64);
        }
    }
    // X makes the PART.
    let next = phrase.last + 1;
    if before && MAKES.contains(lower(next)) && between <= 9 {
        say(2.8);
    }
    // PART, which X builds.
    let relative = phrase
        .first
        .checked_sub(1)
        .is_some_and(|at| matches!(lower(at), "which" | "that"));
    if !before && relative && MAKES.contains(lower(next)) && between <= 6 {
        say(2.8);
    }
    // A charger of X, PART.
    if let Some(at) = lead.filter(|at| lower(*at) == "of" && *at > 0) {
        let of = lower(at - 1);
        if (roles::is_role_word(of) || matches!(of, "courtesy" | "chip" | "ic" | "part"))
            && between <= 8
        {
            say(2.4);
        }
    }
    // X PART, the X PART.
    if before
        && between == 0
        && matches!(gap(part).trim(), "" | "“" | "\"" | "`" | "**")
        && !words[phrase.last].owns
    {
        say(2.5);
    }
    // the X charger PART: nothing but what it does stands between.
    if before && (1..=6).contains(&between) {
        let plain = (phrase.last + 1..part).all(|at| {
            roles::is_role_word(lower(at))
                || matches!(
                    lower(at),
                    "chip" | "ic" | "marked" | "labelled" | "called" | "of" | "type"
                )
        });
        let open = (phrase.last + 1..=part).all(|at| matches!(gap(at).trim(), "" | "(" | ","));
        if plain && open {
            say(2.1);
        }
    }
    // PART (X), PART (X, charger).
    if !before && between <= 4 && gap(phrase.first).contains('(') {
        say(2.5);
    }
    // PART (charger, X): whatever stands before it between the same brackets.
    let opens = gap(part + 1).contains('(');
    if !before
        && opens
        && between <= 6
        && !(part + 2..=phrase.first).any(|at| gap(at).contains(')'))
    {
        say(2.2);
    }
    // X is behind the charger, PART.
    let behind = (next..next + 3).any(|at| matches!(lower(at), "behind" | "responsible"));
    if before && behind && matches!(lower(next), "is" | "was" | "are" | "stands") && between <= 12 {
        say(2.3);
    }
    // PART is a X part.
    if !before && between <= 4 && GOODS.contains(lower(next)) {
        say(2.3);
    }
    // X: PART; PART, X.
    if between == 0 && matches!(gap(high).trim(), "," | ":" | "–" | "—" | "/") {
        let closes = next >= words.len() || !words[next].follows();
        if before || closes {
            say(1.3);
        }
    }
    // What begins a sentence has a capital anyway.
    if phrase.first == 0 && phrase.first == phrase.last && !words[0].owns && best < 2.6 {
        best -= 0.6;
    }
    best
}
