//! Characters as people and fonts write them, folded to the few that the readers know.
//!
//! In: any text. Out: characters, each with its byte range in that text. Compatibility characters
//! are folded one by one (Unicode NFKC), except that superscripts, fractions and primes keep
//! their meaning. Micro, ohm and degree signs, dashes and spaces each become one character.

use std::ops::Range;
use unicode_normalization::UnicodeNormalization;

/// One folded character and the bytes it stands for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Glyph {
    pub(crate) c: char,
    pub(crate) at: Range<usize>,
}

/// Folds a text. Zero-width characters vanish; every kind of space becomes a plain one.
pub(crate) fn fold(text: &str) -> Vec<Glyph> {
    let mut out = Vec::with_capacity(text.len());
    for (start, c) in text.char_indices() {
        let at = start..start + c.len_utf8();
        match single(c) {
            Folded::Gone => {}
            Folded::One(c) => out.push(Glyph { c, at }),
            Folded::Compatible => {
                for c in std::iter::once(c).nfkc() {
                    let c = if let Folded::One(c) = single(c) { c } else { c };
                    out.push(Glyph { c, at: at.clone() });
                }
            }
        }
    }
    out
}

/// Folds a text to a plain string without places, ends trimmed, runs of spaces made one.
pub(crate) fn fold_to_string(text: &str) -> String {
    let folded: String = fold(text).into_iter().map(|g| g.c).collect();
    folded
        .split(' ')
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

enum Folded {
    Gone,
    One(char),
    Compatible,
}

fn single(c: char) -> Folded {
    Folded::One(match c {
        '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}' | '\u{ad}' => return Folded::Gone,
        // Arabic-Indic digits, both sets, and their decimal separator.
        '\u{660}'..='\u{669}' => digit(c, '\u{660}'),
        '\u{6f0}'..='\u{6f9}' => digit(c, '\u{6f0}'),
        '\u{66b}' => '.',
        c if c.is_whitespace() => ' ',
        c if c.is_ascii() => c,
        'µ' | 'μ' => 'µ',
        '\u{2126}' | 'Ω' => 'Ω',
        '\u{ba}' | '\u{2da}' => '°',
        '\u{2010}' | '\u{2011}' | '\u{2212}' | '\u{fe63}' | '\u{ff0d}' => '-',
        '\u{2012}' | '\u{2013}' | '\u{2015}' | '\u{2014}' => '–',
        '\u{2044}' | '\u{2215}' => '/',
        '\u{2219}' | '\u{22c5}' | '\u{2022}' => '·',
        '\u{223c}' | '\u{ff5e}' | '\u{301c}' => '~',
        '\u{2264}' | '\u{2a7d}' => '≤',
        '\u{2265}' | '\u{2a7e}' => '≥',
        '¹' | '²' | '³' | '⁰' | '⁴'..='⁹' | '⁺' | '⁻' => c,
        '…' | '′' | '″' | '¼'..='¾' | '⅐'..='⅞' => c,
        _ => return Folded::Compatible,
    })
}

/// Returns the plain digit for one of ten digits in a row.
fn digit(c: char, zero: char) -> char {
    let value = u32::from(c) - u32::from(zero);
    char::from_digit(value, 10).unwrap_or(c)
}

/// Returns the value of a superscript digit.
pub(crate) fn superscript_digit(c: char) -> Option<u8> {
    Some(match c {
        '⁰' => 0,
        '¹' => 1,
        '²' => 2,
        '³' => 3,
        '⁴'..='⁹' => (c as u32 - '⁴' as u32) as u8 + 4,
        _ => return None,
    })
}

/// Writes a number in superscript characters.
pub(crate) fn superscript(number: i32) -> String {
    const DIGITS: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    let digit = |c: char| c.to_digit(10).map_or('⁻', |d| DIGITS[d as usize]);
    number.to_string().chars().map(digit).collect()
}
