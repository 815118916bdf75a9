//! What the words beside a number say for or against a part number.
//!
//! In: the words of a sentence and the place of one. Out: logits. Not here: its shape (`shape`).
//! Source: common practice; weights fitted on the texts of `tests/fitted.rs`.

use crate::lists::{List, listed};
use crate::words::Word;

/// Words right before that speak for a part number.
static NAMES_A_PART: List = List::new(|| listed(include_str!("lists/hints-names-a-part.txt")));

/// Words right behind that do.
static PART_FOLLOWED_BY: List =
    List::new(|| listed(include_str!("lists/hints-part-followed-by.txt")));

/// Words right before that speak of another number.
static NAMES_OTHERS: List = List::new(|| listed(include_str!("lists/hints-names-others.txt")));

/// Words right behind that speak of the product as a whole, or of a tool.
static PRODUCT_DOES: List = List::new(|| listed(include_str!("lists/hints-product-does.txt")));

/// Two words before that speak of the product as a whole.
static PRODUCT_IS_MEANT: List =
    List::new(|| listed(include_str!("lists/hints-product-is-meant.txt")));

/// Words anywhere in a sentence that speak of parts.
static OF_PARTS: List = List::new(|| listed(include_str!("lists/hints-of-parts.txt")));

/// What speaks for, and what speaks against.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Hints {
    pub(crate) plus: f64,
    pub(crate) minus: f64,
}

/// Weighs the words around the word at a place.
pub(crate) fn hints(words: &[Word<'_>], at: usize) -> Hints {
    let before = |n: usize| at.checked_sub(n).map_or("", |n| words[n].lower.as_str());
    let behind = words.get(at + 1).map_or("", |word| word.lower.as_str());
    let behind = match words.get(at + 1).is_some_and(Word::follows) {
        true => behind,
        false => "",
    };
    let in_list = |list: &List, word: &str| list.contains(word);
    let mut hints = Hints::default();
    let first = before(1);
    let skips = matches!(
        first,
        "the" | "a" | "an" | "as" | "number" | "no" | "is" | "to" | "of" | "it"
    );
    let second = before(2);
    if in_list(&NAMES_A_PART, first)
        || first == "number" && second == "part"
        || skips && in_list(&NAMES_A_PART, second)
        || skips && second == "of" && in_list(&NAMES_A_PART, before(3))
    {
        hints.plus += 1.6;
    }
    if in_list(&PART_FOLLOWED_BY, behind) {
        hints.plus += 1.0;
    }
    if words
        .iter()
        .any(|word| OF_PARTS.contains(word.lower.as_str()))
    {
        hints.plus += 0.4;
    }
    // "Serial number is …", "model no. …", "FCC ID: …".
    let fillers = [
        "the", "a", "an", "number", "no", "is", "was", "it", "code", "of",
    ];
    let names = (1..=4).map(before).find(|word| !fillers.contains(word));
    if in_list(&NAMES_OTHERS, first) || names.is_some_and(|word| in_list(&NAMES_OTHERS, word)) {
        hints.minus += 3.5;
    }
    if in_list(&PRODUCT_DOES, behind) {
        hints.minus += 2.5;
    }
    if words[at].owns
        && words
            .get(at + 1)
            .is_some_and(|word| PRODUCT_DOES.contains(word.lower.as_str()))
    {
        hints.minus += 2.5;
    }
    if skips && in_list(&PRODUCT_IS_MEANT, second) || in_list(&PRODUCT_IS_MEANT, first) {
        hints.minus += 2.0;
    }
    hints
}
