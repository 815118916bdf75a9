//! Texts made alike: case, width, compatibility characters (µ, Ω, ²) and accents make no difference.
//!
//! In: text. Out: words of folded letters and digits.
//! Source: Unicode Standard Annex 15, normalisation form KD; marks are dropped after it.

use unicode_normalization::UnicodeNormalization as _;
use unicode_normalization::char::is_combining_mark;

/// Characters of a word that count; further ones make no difference.
const LONGEST: usize = 64;

/// Folds every character: `Ω` and `Ω` are one, `Ä` is `a`, `８` is `8`.
pub(crate) fn folded(text: &str) -> impl Iterator<Item = char> {
    // Taking a character apart may bring capitals (㎒), and making it small may bring marks (İ).
    text.nfkd()
        .filter(|c| !is_combining_mark(*c))
        .flat_map(char::to_lowercase)
        .nfkd()
        .filter(|c| !is_combining_mark(*c))
}

/// Returns the words of a text: its runs of letters and digits, folded.
pub(crate) fn words(text: &str) -> Vec<String> {
    if text.is_ascii() {
        // Of these only capitals fold, and nothing has to be taken apart.
        return parted(text.chars().map(|c| c.to_ascii_lowercase()));
    }
    parted(folded(text))
}

fn parted(folded: impl Iterator<Item = char>) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let mut length = 0;
    for c in folded {
        if c.is_alphanumeric() {
            if length < LONGEST {
                word.push(c);
            }
            length += 1;
        } else if length > 0 {
            words.push(std::mem::take(&mut word));
            length = 0;
        }
    }
    if length > 0 {
        words.push(word);
    }
    words
}

/// Returns the words of a name, and the name written in one: `TH-KARN2` is `th`, `karn2`, `thkarn2`.
pub(crate) fn name_words(name: &str) -> Vec<String> {
    let mut words = words(name);
    if words.len() > 1 {
        let whole: String = words.concat().chars().take(LONGEST).collect();
        words.push(whole);
    }
    words
}

/// Returns what two writings of one name have in common: `TH-KARN2` and `th karn2` are `th karn2`.
pub(crate) fn key(name: &str) -> String {
    words(name).join(" ")
}

#[cfg(test)]
mod tests {
    use super::{folded, key, name_words, words};
    use proptest::prelude::*;

    #[track_caller]
    fn check(text: &str, expected: &[&str]) {
        assert_eq!(words(text), expected, "{text}");
    }

    /// Source of the pairs: UnicodeData.txt, fields 5 and 13 (from memory).
    #[test]
    fn writings_of_one_word_are_one() {
        check("4.7 \u{b5}F", &["4", "7", "\u{3bc}f"]);
        check("4.7 \u{3bc}F", &["4", "7", "\u{3bc}f"]);
        check("10 k\u{2126}", &["10", "k\u{3c9}"]);
        check("10 k\u{3a9}", &["10", "k\u{3c9}"]);
        check("\u{ff2f}\u{ff38}\u{ff34}\u{ff17}", &["oxt7"]);
        check("caf\u{e9} CAFE\u{301}", &["cafe", "cafe"]);
        check("2.4 \u{3392}", &["2", "4", "mhz"]);
    }

    #[test]
    fn a_name_is_found_with_and_without_its_stroke() {
        assert_eq!(name_words("TH-KARN2"), ["th", "karn2", "thkarn2"]);
        assert_eq!(key("TH-KARN2"), key("th karn2"));
    }

    proptest! {
        #[test]
        fn the_short_way_is_the_long_one(text in "[ -~]{0,80}") {
            prop_assert_eq!(words(&text), super::parted(folded(&text)));
        }

        #[test]
        fn folding_twice_is_folding_once(text in "\\PC{0,40}") {
            let once: String = folded(&text).collect();
            let twice: String = folded(&once).collect();
            prop_assert_eq!(once, twice);
        }
    }
}
