//! Ceramic chip capacitors marked with a letter and a power of ten: `A1` = 10 pF, `J5` = 0.22 µF.
//!
//! In: a folded text. Out: readings. Source: the same table of 33 letters in two pages (EIA-198 style);
//! a leading letter may be the maker's (`KA2`). The power 9 for 10^-1 is given in one page.

use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, decimal, engineering};

/// Returns ten times the number a letter stands for; small letters have values of their own.
pub fn tenths(letter: char) -> Option<u32> {
    Some(match letter {
        'A' => 10,
        'B' => 11,
        'C' => 12,
        'D' => 13,
        'E' => 15,
        'F' => 16,
        'G' => 18,
        'H' => 20,
        'J' => 22,
        'K' => 24,
        'L' => 27,
        'M' => 30,
        'N' => 33,
        'P' => 36,
        'Q' => 39,
        'R' => 43,
        'S' => 47,
        'T' => 51,
        'U' => 56,
        'V' => 62,
        'W' => 68,
        'X' => 75,
        'Y' => 82,
        'Z' => 91,
        'a' => 25,
        'b' => 35,
        'd' => 40,
        'e' => 45,
        'f' => 50,
        'm' => 60,
        'n' => 70,
        't' => 80,
        'y' => 90,
        _ => return None,
    })
}

/// Reads a letter with a power of ten, with or without a maker's letter before it.
pub(crate) fn read(folded: &Folded) -> Option<Draft> {
    let chars: Vec<char> = folded.text.chars().collect();
    let (maker, letter, digit) = match *chars.as_slice() {
        [letter, digit] => (None, letter, digit),
        [maker, letter, digit] if maker.is_ascii_alphabetic() => (Some(maker), letter, digit),
        _ => return None,
    };
    let tenths = tenths(letter)?;
    let power = match digit.to_digit(10)? {
        9 => -1,
        power => i32::try_from(power).ok()?,
    };
    let farad = decimal(u64::from(tenths), power - 1 - 12);
    let common = if letter.is_ascii_uppercase() {
        1.0
    } else {
        0.3
    };
    let mut draft = Draft::new(
        Kind::CapacitorTable,
        common / (33.0 * 7.0),
        format!("Capacitance {}.", engineering(farad, "F")),
        format!(
            "{letter} = {:.1}, times 10^{power} pF",
            f64::from(tenths) / 10.0
        ),
    )
    .value(Value::Capacitance {
        farad,
        tolerance: None,
        rated_volt: None,
    });
    if let Some(maker) = maker {
        draft = draft
            .weaker(0.1)
            .caution(format!("{maker} is then a letter of the maker"));
    }
    if power == -1 {
        draft = draft.caution("9 as 10^-1 is given in one page only");
    }
    if power > 6 {
        draft = draft.weaker(0.02);
    }
    Some(draft)
}
