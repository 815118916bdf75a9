//! Chip resistors marked with a table number and a letter: `66B` = 4.75 kΩ.
//!
//! In: a folded text. Out: readings. Source: the 96 values of E96 in order (IEC 60063), numbered from 01;
//! multiplier letters as listed by two agreeing pages.

use crate::e_series::Series;
use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, all_digits, decimal, engineering};

/// Returns the power of ten of a multiplier letter.
pub fn multiplier(letter: char) -> Option<i32> {
    Some(match letter {
        'Z' => -3,
        'Y' | 'R' => -2,
        'X' | 'S' => -1,
        'A' => 0,
        'B' | 'H' => 1,
        'C' => 2,
        'D' => 3,
        'E' => 4,
        'F' => 5,
        _ => return None,
    })
}

/// Returns the three significant digits of a table number from 1 to 96.
pub fn significand(number: usize) -> Option<u32> {
    (1..=96)
        .contains(&number)
        .then(|| Series::E96.value(number - 1))
}

/// Reads a table number with a multiplier letter.
pub(crate) fn read(folded: &Folded) -> Option<Draft> {
    let text = &folded.upper;
    let (number, letter) = text.split_at_checked(2)?;
    let mut letters = letter.chars();
    let (Some(letter), None) = (letters.next(), letters.next()) else {
        return None;
    };
    let power = multiplier(letter)?;
    if !all_digits(number) {
        return None;
    }
    let value = significand(number.parse().ok()?)?;
    let ohm = decimal(u64::from(value), power);
    let mut draft = Draft::new(
        Kind::ResistorEia96,
        1.0 / (96.0 * 8.0),
        format!("Resistance {}, ± 1 %.", engineering(ohm, "Ω")),
        format!("table value {number} is {value}, and {letter} multiplies by 10^{power}"),
    )
    .value(Value::Resistance {
        ohm,
        tolerance: Some(crate::tolerance::Tolerance::percent(1.0)),
        ppm_per_kelvin: None,
    });
    if letter == 'R' {
        draft = draft
            .weaker(0.3)
            .caution("R after two digits may mark the decimal point instead (10R is then 10 Ω)");
    }
    if number.starts_with("01") && matches!(letter, 'A' | 'B' | 'Y') {
        draft = draft.caution(
            "a widely copied text lists other multipliers (01Y as 0.01 Ω); the tables agree on 1 Ω",
        );
    }
    if ohm > 2.2e7 {
        draft = draft.weaker(0.3);
    }
    Some(draft)
}
