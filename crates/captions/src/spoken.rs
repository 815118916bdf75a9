//! How a written sentence is said: figures with their units in words, part numbers letter by letter.
//!
//! In: text as it is printed, names with how they are said. Out: everyday words; figures with both forms.
//! Not here: how anything sounds (`sound`). Source: num2words for whole numbers and decimals.

use crate::language::{Language, Number};

/// A figure as it is written and as it is said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SaidFigure {
    /// `3.62 V`.
    pub written: String,
    /// `three point six two volts`.
    pub spoken: String,
}

/// Signs that are said as words.
const SIGNS: [(&str, &str); 10] = [
    ("±", "plus or minus"),
    ("≥", "at least"),
    ("≤", "at most"),
    (">", "more than"),
    ("<", "less than"),
    ("=", "equals"),
    ("×", "by"),
    ("&", "and"),
    ("⎓", ""),
    ("·", ""),
];

/// Says a sentence. `said` are names as they are written, with how they are said.
pub fn spoken(text: &str, said: &[(String, String)], language: &Language) -> String {
    let mut out: Vec<String> = Vec::new();
    walk(text, said, language, |_, _, spoken| {
        if !spoken.is_empty() {
            out.push(spoken.to_string());
        }
    });
    out.join(" ")
}

/// The figures of a sentence with their units, in its order.
pub fn figures(text: &str, said: &[(String, String)], language: &Language) -> Vec<SaidFigure> {
    let mut found = Vec::new();
    walk(text, said, language, |is_figure, written, spoken| {
        if is_figure {
            let trim = |text: &str| text.trim_matches(is_mark).to_string();
            found.push(SaidFigure {
                written: trim(written),
                spoken: trim(spoken),
            });
        }
    });
    found
}

/// A number in words: `forty-one point one three`, `six hundred and forty`. None for what is no number.
pub fn number_words(number: &str, language: &Language) -> Option<String> {
    let number = number.replace(',', "");
    let mut parts = number.split('.');
    let first = parts.next()?;
    let mut words = if first.is_empty() {
        digit_words("0", language)?
    } else {
        whole(first, language)?
    };
    for part in parts {
        let point = name(Number::Point, language)?;
        words = format!("{words} {point} {}", digit_words(part, language)?);
    }
    Some(words)
}

/// Words of a text one after the other: whether it is a figure, as written, as said.
fn walk(
    text: &str,
    said: &[(String, String)],
    language: &Language,
    mut told: impl FnMut(bool, &str, &str),
) {
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut at = 0;
    while at < words.len() {
        if let Some((count, spoken)) = named(&words[at..], said) {
            told(false, &words[at..at + count].join(" "), &spoken);
            at += count;
            continue;
        }
        let (before, core, after) = parted(words[at]);
        let next = words
            .get(at + 1)
            .filter(|_| after.is_empty())
            .map(|w| parted(w));
        if let Some(amount) = amount(core, language) {
            let unit = next.and_then(|(b, unit, after)| {
                let name = unit_words(unit, core, language).filter(|_| b.is_empty())?;
                Some((name, after))
            });
            match unit {
                Some((unit, after)) => {
                    let written = format!("{} {}", words[at], words[at + 1]);
                    told(true, &written, &format!("{before}{amount} {unit}{after}"));
                    at += 2;
                }
                None => {
                    told(false, words[at], &format!("{before}{amount}{after}"));
                    at += 1;
                }
            }
            continue;
        }
        let (is_figure, spoken) = word(core, language);
        told(is_figure, words[at], &format!("{before}{spoken}{after}"));
        at += 1;
    }
}

/// A name at the beginning of words, and how it is said with the marks around it.
fn named(words: &[&str], said: &[(String, String)]) -> Option<(usize, String)> {
    said.iter()
        .filter_map(|(written, spoken)| {
            let count = written.split_whitespace().count();
            let row = words.get(..count).filter(|row| !row.is_empty())?.join(" ");
            let (before, core, after) = parted(&row);
            (core == written).then(|| (count, format!("{before}{spoken}{after}")))
        })
        .max_by_key(|(count, _)| *count)
}

fn is_mark(c: char) -> bool {
    !(c.is_alphanumeric()
        || matches!(
            c,
            '%' | '°'
                | '±'
                | '≥'
                | '≤'
                | '<'
                | '>'
                | '='
                | '×'
                | '&'
                | '⎓'
                | '·'
                | '+'
                | '-'
                | '−'
        ))
}

/// The marks before a word, the word, the marks behind it.
fn parted(word: &str) -> (&str, &str, &str) {
    let rest = word.trim_start_matches(is_mark);
    let core = rest.trim_end_matches(is_mark);
    let before = &word[..word.len() - rest.len()];
    (before, core, &rest[core.len()..])
}

/// A bare number, or two with a dash between.
fn amount(core: &str, language: &Language) -> Option<String> {
    let bare = |text: &str| {
        let digits = text
            .bytes()
            .all(|b| b.is_ascii_digit() || b == b'.' || b == b',');
        let one = text.bytes().any(|b| b.is_ascii_digit());
        (digits && one)
            .then(|| number_words(text, language))
            .flatten()
    };
    let ends = ['-', '–', '…'];
    match core.split_once(ends) {
        Some((low, high)) if !low.is_empty() => Some(format!("{} to {}", bare(low)?, bare(high)?)),
        _ => match core.strip_prefix(['-', '−']) {
            Some(rest) => Some(format!("minus {}", bare(rest)?)),
            None => bare(core),
        },
    }
}

/// The word of a unit, for one or for several.
fn unit_words(unit: &str, number: &str, language: &Language) -> Option<&'static str> {
    let (_, one, several) = language.units.iter().find(|(symbol, ..)| *symbol == unit)?;
    Some(if number == "1" { one } else { several })
}

/// A word that is no bare number, and whether it is a figure.
fn word(core: &str, language: &Language) -> (bool, String) {
    if let Some((_, said)) = SIGNS.iter().find(|(sign, _)| *sign == core) {
        return (false, (*said).to_string());
    }
    let letters = core.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','));
    if let Some(at) = letters.filter(|at| *at > 0) {
        let (number, rest) = core.split_at(at);
        if let (Some(number_said), Some(unit)) = (
            number_words(number, language),
            unit_words(rest, number, language),
        ) {
            return (true, format!("{number_said} {unit}"));
        }
        let tail = rest.strip_prefix('-').filter(|tail| tail.len() > 1);
        let plain = tail.filter(|tail| tail.chars().all(char::is_alphabetic));
        if let (Some(number_said), Some(tail)) = (number_words(number, language), plain) {
            return (false, format!("{number_said} {tail}"));
        }
    }
    let capitals = core.chars().filter(|c| c.is_uppercase()).count();
    let digits = core.bytes().filter(u8::is_ascii_digit).count();
    let vowels = core.bytes().any(|b| b"AEIOUY".contains(&b));
    let all_capitals = core.chars().all(char::is_uppercase) && capitals > 1;
    if digits > 0 && core.chars().any(char::is_alphabetic)
        || all_capitals && (!vowels || capitals < 4)
    {
        return (false, letter_by_letter(core, language));
    }
    (false, core.to_string())
}

/// A part number: capitals named one by one, digits in words, runs of small letters as they are.
fn letter_by_letter(core: &str, language: &Language) -> String {
    let mut out: Vec<String> = Vec::new();
    let mut small = String::new();
    for c in core.chars() {
        if c.is_lowercase() {
            small.push(c);
            continue;
        }
        if !small.is_empty() {
            out.push(std::mem::take(&mut small));
        }
        match c {
            c if c.is_ascii_digit() => out.extend(digit_words(&c.to_string(), language)),
            c if c.is_alphabetic() => out.push(c.to_string()),
            '.' => out.extend(name(Number::Point, language).map(str::to_string)),
            _ => {}
        }
    }
    if !small.is_empty() {
        out.push(small);
    }
    out.join(" ")
}

fn name(number: Number, language: &Language) -> Option<&'static str> {
    language
        .numbers
        .iter()
        .find(|(_, n)| *n == number)
        .map(|(name, _)| *name)
}

fn digit_words(digits: &str, language: &Language) -> Option<String> {
    let words: Option<Vec<&str>> = digits
        .bytes()
        .map(|b| name(Number::Digit(u32::from(b.checked_sub(b'0')?)), language))
        .collect();
    Some(words?.join(" ")).filter(|words| !words.is_empty())
}

/// A whole number below one million; longer ones digit by digit, as numbers on labels are.
fn whole(digits: &str, language: &Language) -> Option<String> {
    if digits.len() > 1 && digits.starts_with('0') || digits.len() > 6 {
        return digit_words(digits, language);
    }
    let value: u32 = digits.parse().ok()?;
    let (thousands, rest) = (value / 1000, value % 1000);
    if thousands == 0 {
        return below_thousand(rest, language);
    }
    let thousand = name(Number::Times(1000), language)?;
    let head = format!("{} {thousand}", below_thousand(thousands, language)?);
    Some(match rest {
        0 => head,
        1..100 => format!(
            "{head} {} {}",
            name(Number::And, language)?,
            below_thousand(rest, language)?
        ),
        _ => format!("{head} {}", below_thousand(rest, language)?),
    })
}

fn below_thousand(value: u32, language: &Language) -> Option<String> {
    let below_hundred = |value: u32| -> Option<String> {
        match value {
            0..10 => name(Number::Digit(value), language).map(str::to_string),
            10..20 => name(Number::Teen(value), language).map(str::to_string),
            _ => {
                let tens = name(Number::Ten(value / 10 * 10), language)?;
                match value % 10 {
                    0 => Some(tens.to_string()),
                    ones => Some(format!("{tens}-{}", name(Number::Digit(ones), language)?)),
                }
            }
        }
    };
    if value < 100 {
        return below_hundred(value);
    }
    let head = format!(
        "{} {}",
        name(Number::Digit(value / 100), language)?,
        name(Number::Times(100), language)?
    );
    match value % 100 {
        0 => Some(head),
        rest => Some(format!(
            "{head} {} {}",
            name(Number::And, language)?,
            below_hundred(rest)?
        )),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use crate::language::ENGLISH;

    /// num2words 0.5.14, English of Britain; commas between thousands and hundreds left out.
    #[test]
    fn numbers_are_said_as_a_library_of_number_words_says_them() {
        for (number, words) in [
            ("3.62", "three point six two"),
            ("0.62", "zero point six two"),
            ("38.42", "thirty-eight point four two"),
            ("640", "six hundred and forty"),
            ("155", "one hundred and fifty-five"),
            ("1200", "one thousand two hundred"),
            ("1,200", "one thousand two hundred"),
            ("1005", "one thousand and five"),
            ("40000", "forty thousand"),
            ("100", "one hundred"),
            ("12353", "twelve thousand three hundred and fifty-three"),
            ("0", "zero"),
        ] {
            assert_eq!(number_words(number, &ENGLISH).unwrap(), words);
        }
    }

    #[test]
    fn a_sentence_is_said_with_units_signs_and_part_numbers() {
        let names = [("Ondrelkamp".to_string(), "on drel camp".to_string())];
        for (text, words) in [
            (
                "The lamp by Ondrelkamp weighs 41.13 ± 0.03\u{202f}g.",
                "The lamp by on drel camp weighs forty-one point one three plus or minus zero point zero three grams.",
            ),
            ("“Only 1 V” (80%)", "“Only one volt” (eighty percent)"),
            (
                "10-12 h, or 620mAh",
                "ten to twelve hours, or six hundred and twenty milliamp hours",
            ),
            (
                "U2 is TH310, not ZV5A",
                "U two is T H three one zero, not Z V five A",
            ),
            (
                "9 V ⎓ 2 A at −5 °C",
                "nine volts two amps at minus five degrees",
            ),
            ("the 16-contact socket", "the sixteen contact socket"),
            (
                "IEEE 802.15.4 radio",
                "IEEE eight hundred and two point one five point four radio",
            ),
        ] {
            assert_eq!(spoken(text, &names, &ENGLISH), words);
        }
    }

    #[test]
    fn the_figures_of_a_sentence_stand_in_both_forms() {
        let found = figures("It takes 75 min, not (141 min), at 60 °C.", &[], &ENGLISH);
        let rows: Vec<(&str, &str)> = found.iter().map(|f| (&*f.written, &*f.spoken)).collect();
        assert_eq!(
            rows,
            [
                ("75 min", "seventy-five minutes"),
                ("141 min", "one hundred and forty-one minutes"),
                ("60 °C", "sixty degrees")
            ]
        );
    }
}
