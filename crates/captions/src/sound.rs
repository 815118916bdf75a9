//! How words, letters and digits sound.
//!
//! In: words as written. Out: sounds as bytes, one a phone (see `language`), digits and the decimal sign as
//! themselves. Not here: how near two sounds are (`likeness`), which words belong together.

use crate::language::{Language, Number};

/// What one word may be within a row of words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Piece {
    Sound(Vec<u8>),
    Number(Number),
    Digits(Vec<u8>),
}

/// The sounds of a word by the rules of its spelling.
pub(crate) fn phones(word: &str, language: &Language) -> Vec<u8> {
    let word: String = word
        .chars()
        .flat_map(char::to_lowercase)
        .filter(|c| c.is_ascii_alphabetic() || *c == '\'')
        .collect();
    if let Some((_, phones)) = language.exceptions.iter().find(|(w, _)| *w == word) {
        return phones.as_bytes().to_vec();
    }
    let word = word.replace('\'', "");
    // `milliohms` is said as `milli` and `ohms`.
    for prefix in language.prefixes {
        if let Some(rest) = word.strip_prefix(prefix).filter(|rest| rest.len() > 2) {
            return [phones(prefix, language), phones(rest, language)].concat();
        }
    }
    // The ending of a plural is not part of the spelling of its word.
    let stem = word
        .strip_suffix('s')
        .filter(|stem| stem.len() > 2 && !stem.ends_with(['s', 'u', 'i']));
    if let Some(stem) = stem {
        let mut found = phones(stem, language);
        let ending: &[u8] = match found.last() {
            Some(b's' | b'z' | b'S' | b'Z' | b'C' | b'J') => b"iz",
            Some(b'p' | b't' | b'k' | b'f' | b'T') => b"s",
            _ => b"z",
        };
        found.extend(ending);
        return found;
    }
    let is_vowel = |b: u8| b"aeiouy".contains(&b);
    let bytes = word.as_bytes();
    let vowels = bytes.iter().filter(|b| is_vowel(**b)).count();
    // A last `e` is silent, and makes the vowel before one consonant long; the only vowel of a word is long.
    let n = bytes.len();
    let silent = n > 2 && bytes[n - 1] == b'e' && vowels > 1;
    let long_at = match () {
        () if silent && n > 3 && !is_vowel(bytes[n - 2]) && is_vowel(bytes[n - 3]) => Some(n - 3),
        () if vowels == 1 && n > 1 && is_vowel(bytes[n - 1]) => Some(n - 1),
        () => None,
    };
    let mut found: Vec<u8> = Vec::with_capacity(n + 2);
    let mut at = 0;
    while at < n {
        if long_at == Some(at) && (at == 0 || !is_vowel(bytes[at - 1])) {
            found.push(match bytes[at] {
                b'a' => b'A',
                b'e' => b'I',
                b'o' => b'O',
                b'u' => b'u',
                _ => b'Y',
            });
            at += 1;
            continue;
        }
        if silent && at == n - 1 {
            break;
        }
        let rule = language.spellings.iter().find(|(spelling, _)| {
            let body = spelling.as_bytes();
            let (first, body) = match body.strip_prefix(b"^") {
                Some(body) => (true, body),
                None => (false, body),
            };
            if body.first() != bytes.get(at) {
                return false;
            }
            let (last, body) = match body.strip_suffix(b"$") {
                Some(body) => (true, body),
                None => (false, body),
            };
            bytes[at..].starts_with(body) && (!first || at == 0) && (!last || at + body.len() == n)
        });
        let Some((spelling, sounds)) = rule else {
            at += 1;
            continue;
        };
        at += spelling.trim_matches(['^', '$']).len();
        for sound in sounds.bytes() {
            if found.last() != Some(&sound) {
                found.push(sound);
            }
        }
    }
    found
}

/// The sounds of letters named one by one.
pub(crate) fn spelled(letters: &str, language: &Language) -> Vec<u8> {
    letters
        .bytes()
        .filter(u8::is_ascii_alphabetic)
        .flat_map(|b| language.letters[usize::from(b.to_ascii_lowercase() - b'a')].bytes())
        .collect()
}

/// Whether letters can be said as a word.
pub(crate) fn sayable(letters: &str) -> bool {
    letters.len() >= 3 && letters.bytes().any(|b| b"aeiouyAEIOUY".contains(&b))
}

/// Whether a word is likely letters named one by one: capitals, or no vowel, or two letters of no everyday word.
fn looks_spelled(word: &str, lower: &str, language: &Language) -> bool {
    let capitals = word.chars().all(char::is_uppercase) && word.len() <= 5;
    let no_vowel = word.len() <= 4 && !word.bytes().any(|b| b"aeiouyAEIOUY".contains(&b));
    let known = || {
        language
            .everyday
            .split_ascii_whitespace()
            .any(|w| w == lower)
    };
    capitals || (no_vowel || word.len() < 3) && !known()
}

/// What a written word may be, each as the pieces it is made of; the first is the likeliest.
pub(crate) fn pieces(word: &str, language: &Language) -> Vec<Vec<Piece>> {
    let lower = word.to_lowercase();
    let number = |w: &str| {
        language
            .numbers
            .iter()
            .find(|(n, _)| *n == w)
            .map(|(_, n)| *n)
    };
    if let Some(number) = number(&lower) {
        return vec![vec![Piece::Number(number)]];
    }
    if lower.contains('-') && lower.split('-').all(|w| number(w).is_some()) {
        let parts = lower.split('-').filter_map(number).map(Piece::Number);
        return vec![parts.collect()];
    }
    let digit = word.bytes().any(|b| b.is_ascii_digit());
    let mut readings = if digit || word.chars().count() == 1 {
        vec![runs(word, language, false), runs(word, language, true)]
    } else if looks_spelled(word, &lower, language) {
        vec![
            vec![Piece::Sound(spelled(word, language))],
            vec![Piece::Sound(phones(word, language))],
        ]
    } else {
        vec![vec![Piece::Sound(phones(word, language))]]
    };
    if let Some((_, digit)) = language.like_digits.iter().find(|(w, _)| *w == lower) {
        readings.push(vec![Piece::Number(Number::Digit(*digit))]);
    }
    if let Some((_, prefix)) = language.like_prefixes.iter().find(|(w, _)| *w == lower) {
        readings.push(vec![Piece::Sound(phones(prefix, language))]);
    }
    readings.dedup();
    readings
}

/// Runs of letters and of digits; letters are named, or said as words where they can be; unit symbols by their word.
fn runs(word: &str, language: &Language, said: bool) -> Vec<Piece> {
    let mut found = Vec::new();
    let characters: Vec<char> = word.chars().collect();
    let mut at = 0;
    while at < characters.len() {
        let start = at;
        let digit = |n: usize| characters.get(n).is_some_and(char::is_ascii_digit);
        if digit(at) || characters[at] == '.' && digit(at + 1) {
            let mut digits = Vec::new();
            while digit(at) || matches!(characters.get(at), Some('.' | ',')) && digit(at + 1) {
                match characters[at] {
                    ',' => {}
                    c => digits.push(c as u8),
                }
                at += 1;
            }
            found.push(Piece::Digits(digits));
            continue;
        }
        while at < characters.len() && !digit(at) && characters[at] != '-' {
            at += 1;
        }
        if at == start {
            at += 1;
            continue;
        }
        let letters: String = characters[start..at].iter().collect();
        let after_digits = matches!(found.last(), Some(Piece::Digits(_)));
        let unit = language
            .units
            .iter()
            .find(|(symbol, ..)| *symbol == letters);
        found.push(Piece::Sound(match unit {
            Some((_, _, several)) if after_digits && said => words_sound(several, language),
            _ if said && sayable(&letters) => phones(&letters, language),
            _ => spelled(&letters, language),
        }));
    }
    found
}

/// The sounds of several words.
pub(crate) fn words_sound(words: &str, language: &Language) -> Vec<u8> {
    words.split(' ').flat_map(|w| phones(w, language)).collect()
}

/// The sound of pieces in a row: number words become the digits they say.
pub(crate) fn fold<'a>(pieces: impl Iterator<Item = &'a Piece>, language: &Language) -> Vec<u8> {
    let pieces: Vec<&Piece> = pieces.collect();
    let number = |at: usize| match pieces.get(at) {
        Some(Piece::Number(number)) => Some(*number),
        _ => None,
    };
    let mut found = Vec::new();
    let mut at = 0;
    while at < pieces.len() {
        let word = |n: Number| {
            let name = language.numbers.iter().find(|(_, known)| *known == n);
            name.map_or_else(Vec::new, |(name, _)| phones(name, language))
        };
        match pieces[at] {
            Piece::Sound(sound) => found.extend(sound),
            Piece::Digits(digits) => found.extend(digits),
            Piece::Number(Number::Point) => {
                let counted = matches!(
                    number(at + 1),
                    Some(Number::Digit(_) | Number::Teen(_) | Number::Ten(_) | Number::Repeat(_))
                ) || matches!(pieces.get(at + 1), Some(Piece::Digits(_)));
                if counted {
                    found.push(b'.');
                } else {
                    found.extend(word(Number::Point));
                }
            }
            Piece::Number(Number::Repeat(times)) => match number(at + 1) {
                Some(Number::Digit(digit)) => {
                    found.extend((0..*times).flat_map(|_| digit.to_string().into_bytes()));
                    at += 1;
                }
                _ => found.extend(word(Number::Repeat(*times))),
            },
            Piece::Number(Number::And) => found.extend(word(Number::And)),
            Piece::Number(_) => {
                let (value, next) = whole(&number, at);
                found.extend(value.to_string().into_bytes());
                at = next;
                continue;
            }
        }
        at += 1;
    }
    // "Point six two" and "zero point six two" are one.
    if found.starts_with(b"0.") {
        found.remove(0);
    }
    found
}

/// A whole number said in words, and the place after it.
fn whole(number: &impl Fn(usize) -> Option<Number>, at: usize) -> (u32, usize) {
    let (value, next) = below_thousand(number, at).unwrap_or((1, at));
    if number(next) != Some(Number::Times(1000)) {
        return (value, next);
    }
    let thousands = value * 1000;
    let rest = next + 1;
    let skipped = rest + usize::from(number(rest) == Some(Number::And));
    match below_thousand(number, skipped) {
        Some((value, next)) => (thousands + value, next),
        None => (thousands, rest),
    }
}

fn below_thousand(number: &impl Fn(usize) -> Option<Number>, at: usize) -> Option<(u32, usize)> {
    let bare = number(at) == Some(Number::Times(100));
    let (value, next) = if bare {
        (1, at)
    } else {
        below_hundred(number, at)?
    };
    if number(next) != Some(Number::Times(100)) {
        return Some((value, next));
    }
    let rest = next + 1;
    let skipped = rest + usize::from(number(rest) == Some(Number::And));
    Some(match below_hundred(number, skipped) {
        Some((ones, next)) => (value * 100 + ones, next),
        None => (value * 100, rest),
    })
}

fn below_hundred(number: &impl Fn(usize) -> Option<Number>, at: usize) -> Option<(u32, usize)> {
    match (number(at)?, number(at + 1)) {
        (Number::Ten(tens), Some(Number::Digit(ones))) if ones > 0 => Some((tens + ones, at + 2)),
        (Number::Digit(n) | Number::Teen(n) | Number::Ten(n), _) => Some((n, at + 1)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::language::ENGLISH;

    fn said(words: &str) -> Vec<String> {
        let mut all = vec![Vec::new()];
        for word in words.split(' ') {
            let readings = pieces(word, &ENGLISH);
            all = all
                .iter()
                .flat_map(|row| {
                    readings
                        .iter()
                        .map(move |r| [row.as_slice(), r.as_slice()].concat())
                })
                .collect();
        }
        let fold = |row: &Vec<Piece>| String::from_utf8(fold(row.iter(), &ENGLISH)).unwrap();
        all.iter().map(fold).collect()
    }

    /// Words that sound exactly like a letter: CMU Pronouncing Dictionary, over 20,000 words.
    #[test]
    fn homophones_of_letters_sound_like_them() {
        for (letter, words) in [
            ("B", "be bee"),
            ("C", "see sea"),
            ("I", "eye aye"),
            ("K", "kay"),
            ("O", "oh owe"),
            ("P", "pea"),
            ("Q", "queue cue que"),
            ("R", "are our"),
            ("T", "tea tee"),
            ("U", "you"),
            ("Y", "why"),
            ("M", "em"),
            ("X", "ex"),
            ("J", "jay"),
            ("G", "gee"),
            ("L", "ell"),
            ("H", "aitch"),
            ("Z", "zed"),
            ("F", "eff"),
        ] {
            for word in words.split(' ') {
                assert_eq!(
                    phones(word, &ENGLISH),
                    spelled(letter, &ENGLISH),
                    "{letter} {word}"
                );
            }
        }
        assert_eq!(words_sound("double you", &ENGLISH), spelled("W", &ENGLISH));
    }

    /// num2words, and short forms from common practice.
    #[test]
    fn numbers_are_the_digits_they_say() {
        for (words, digits) in [
            ("three point six two", "3.62"),
            ("zero point six two", ".62"),
            ("point six two", ".62"),
            ("thirty-eight point four two", "38.42"),
            ("six hundred and forty", "640"),
            ("six forty", "640"),
            ("one hundred and fifty-five", "155"),
            ("one fifty five", "155"),
            ("twelve hundred", "1200"),
            ("one thousand two hundred", "1200"),
            ("double five", "55"),
            ("one sixty three", "163"),
            ("triple seven", "777"),
            ("two five eight nine six", "25896"),
            ("3 point 62", "3.62"),
            ("twenty one eighty", "2180"),
            ("seven hundred thousand", "700000"),
            ("1,200", "1200"),
            ("three hundred and five", "305"),
            ("five thousand and five", "5005"),
            ("two thousand five hundred", "2500"),
        ] {
            assert_eq!(said(words)[0], digits, "{words}");
        }
        assert!(said("three oh five").contains(&"305".to_string()));
        assert!(said("three for five").contains(&"345".to_string()));
    }

    #[test]
    fn letters_and_digits_of_one_token_and_of_many_sound_alike() {
        let wanted = "elem358".to_string();
        for heard in [
            "LM358",
            "ell em three fifty eight",
            "L M 358",
            "el M three five eight",
            "lm 358",
        ] {
            assert!(said(heard).contains(&wanted), "{heard}: {:?}", said(heard));
        }
        assert!(said("MAX77650").contains(&"maks77650".to_string()));
        assert!(said("3.62V").contains(&"3.62volts".to_string()));
    }
}
