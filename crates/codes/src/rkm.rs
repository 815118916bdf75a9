//! Values with a letter at the decimal point: `4K7`, `R47`, `4n7`, with or without a tolerance letter.
//!
//! In: a folded text. Out: readings as resistor and as capacitor. Not here: codes in digits only
//! (`digit_code.rs`), table numbers (`eia96.rs`).
//! Source: IEC 60062, clause 3. The letter L for milliohms and the multipliers of whole ohms are from
//! memory of the standard; lower-case and capital variants of the prefixes are practice.

use crate::e_series;
use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, decimal, engineering, pointed};
use crate::tolerance::{self, Letter};

/// The longest such code: four digits, a letter at the point and a tolerance letter.
const LONGEST: usize = 6;

/// A text split at the letter that stands for the decimal point.
struct Split {
    whole: String,
    letter: char,
    fraction: String,
    last: Option<char>,
}

/// Splits a text in every way that leaves one letter among digits and at most one letter after them.
fn splits(text: &str) -> Vec<Split> {
    let chars: Vec<char> = text.chars().collect();
    if chars.len() < 2 || chars.len() > LONGEST {
        return Vec::new();
    }
    let mut found = Vec::new();
    let mut push = |body: &[char], last: Option<char>| {
        let letters: Vec<usize> = (0..body.len())
            .filter(|i| !body[*i].is_ascii_digit())
            .collect();
        if let [at] = letters[..] {
            found.push(Split {
                whole: body[..at].iter().collect(),
                letter: body[at],
                fraction: body[at + 1..].iter().collect(),
                last,
            });
        }
    };
    push(&chars, None);
    if let Some((last, body)) = chars.split_last()
        && last.is_ascii_alphabetic()
    {
        push(body, Some(*last));
    }
    found
}

/// Reads a resistance; for its own test and for the readings below.
fn resistance(split: &Split) -> Option<(f64, &'static str)> {
    let (power, caution) = match split.letter {
        'R' => (0, ""),
        'K' => (3, ""),
        'M' => (6, ""),
        'G' => (9, ""),
        'r' => (0, "written with a small r"),
        'k' => (3, "written with a small k"),
        'L' => (
            -3,
            "L for milliohms: not checked in a source, some makers use it for the tolerance",
        ),
        _ => return None,
    };
    let (significand, exponent) = pointed(&split.whole, &split.fraction)?;
    Some((decimal(significand, exponent + power), caution))
}

fn capacitance(split: &Split) -> Option<(f64, &'static str)> {
    let (power, caution) = match split.letter {
        'p' => (-12, ""),
        'n' => (-9, ""),
        // The micro sign is folded to the Greek letter.
        '\u{3bc}' | 'u' => (-6, ""),
        'm' => (-3, ""),
        'F' => (0, "F as the letter at the point: whole farads"),
        'P' => (-12, "capital P for pico"),
        'N' => (-9, "capital N for nano"),
        'U' => (-6, "capital U for micro"),
        _ => return None,
    };
    let (significand, exponent) = pointed(&split.whole, &split.fraction)?;
    Some((decimal(significand, exponent + power), caution))
}

/// How much a second letter that has to be explained as a tolerance takes away.
fn ending(last: Option<char>, farad: Option<f64>) -> Option<(Option<Letter>, f64)> {
    match last {
        None => Some((None, 1.0)),
        Some(c) => tolerance::letter(c, farad).map(|l| (Some(l), 0.3)),
    }
}

/// Reads letter-and-digit codes.
pub(crate) fn read(folded: &Folded) -> Vec<Draft> {
    let mut drafts = Vec::new();
    for split in splits(&folded.text) {
        drafts.extend(resistor(&split));
        drafts.extend(capacitor(&split));
        drafts.extend(capacitor_point(&split));
    }
    drafts
}

/// Says which letter stands for what, and how the value lies in the preferred series.
fn because(split: &Split, value: f64, unit: &str) -> String {
    let tolerance = |c| format!(" and {c} is the tolerance");
    format!(
        "{} marks the decimal point{}; {}",
        split.letter,
        split.last.map_or_else(String::new, tolerance),
        e_series::remark(value, |v| engineering(v, unit))
    )
}

fn resistor(split: &Split) -> Option<Draft> {
    let (ohm, caution) = resistance(split)?;
    let (letter, factor) = ending(split.last, None)?;
    let tolerance = letter.map(|l| l.tolerance);
    let share = e_series::share(ohm, 8.0, false).max(e_series::share(ohm, 8.0, true));
    let because = because(split, ohm, "Ω");
    let meaning = format!(
        "Resistance {}{}.",
        engineering(ohm, "Ω"),
        tolerance::suffix(tolerance)
    );
    let unusual = if caution.is_empty() { 1.0 } else { 0.3 };
    Some(
        Draft::new(
            Kind::ResistorLetters,
            share * factor * unusual,
            meaning,
            because,
        )
        .value(Value::Resistance {
            ohm,
            tolerance,
            ppm_per_kelvin: None,
        })
        .caution(caution)
        .caution(letter.map_or("", |l| l.caution)),
    )
}

fn capacitor(split: &Split) -> Option<Draft> {
    let (farad, caution) = capacitance(split)?;
    let (letter, factor) = ending(split.last, Some(farad))?;
    let tolerance = letter.map(|l| l.tolerance);
    let because = because(split, farad, "F");
    let meaning = format!(
        "Capacitance {}{}.",
        engineering(farad, "F"),
        tolerance::suffix(tolerance)
    );
    let unusual = if caution.is_empty() { 1.0 } else { 0.2 };
    Some(
        Draft::new(
            Kind::CapacitorLetters,
            e_series::share(farad, 9.0, false) * factor * unusual,
            meaning,
            because,
        )
        .value(Value::Capacitance {
            farad,
            tolerance,
            rated_volt: None,
        })
        .caution(caution)
        .caution(letter.map_or("", |l| l.caution)),
    )
}

/// `4R7` on a capacitor: the letter R at the decimal point of picofarads.
fn capacitor_point(split: &Split) -> Option<Draft> {
    if split.letter != 'R' {
        return None;
    }
    let (significand, exponent) = pointed(&split.whole, &split.fraction)?;
    let farad = decimal(significand, exponent - 12);
    let (letter, factor) = ending(split.last, Some(farad))?;
    let tolerance = letter.map(|l| l.tolerance);
    Some(
        Draft::new(
            Kind::CapacitorDigits,
            e_series::share(farad, 9.0, false) * factor * 0.3,
            format!(
                "Capacitance {}{}.",
                engineering(farad, "F"),
                tolerance::suffix(tolerance)
            ),
            format!(
                "on capacitors R marks the decimal point of picofarads; {}",
                e_series::remark(farad, |v| engineering(v, "F"))
            ),
        )
        .value(Value::Capacitance {
            farad,
            tolerance,
            rated_volt: None,
        })
        .caution(letter.map_or("", |l| l.caution)),
    )
}
