//! Rated voltages of capacitors: two characters (`1E` = 25 V) and the one letter of tantalum chips.
//!
//! In: a folded text. Out: readings. Source: ordering-code pages of two capacitor makers and a comment
//! list (two characters), a tantalum data sheet (one letter). The one letter is the two-character code
//! without its decade. What was not seen in a source says so.

use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, plain};

/// One meaning of a voltage letter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Voltage {
    pub(crate) volt: f64,
    /// Whether it was seen in a data sheet.
    pub(crate) checked: bool,
    pub(crate) caution: &'static str,
}

/// Codes seen in sources; others follow the rule without having been seen.
const SEEN: [&str; 17] = [
    "0G", "0J", "1A", "1C", "1E", "1V", "1G", "1H", "1J", "2A", "2C", "2D", "2E", "2V", "2G", "2W",
    "2J",
];

/// Ten times the number a letter stands for.
fn tenths(letter: char) -> Option<u32> {
    Some(match letter {
        'A' => 10,
        'C' => 16,
        'D' => 20,
        'E' => 25,
        'V' => 35,
        'G' => 40,
        'W' => 45,
        'H' => 50,
        'J' => 63,
        'N' => 75,
        'K' => 80,
        _ => return None,
    })
}

/// Returns the meanings of a one-letter code, the usual first.
pub(crate) fn one_letter(letter: char) -> Vec<Voltage> {
    let sheet = |volt: f64| Voltage {
        volt,
        checked: true,
        caution: "",
    };
    let soft = |volt: f64| Voltage {
        volt,
        checked: false,
        caution: "common practice, not checked in a source",
    };
    let chart = |volt: f64| Voltage {
        volt,
        checked: false,
        caution: "one popular chart only; data sheets read C 16, D 20, E 25, V 35 V",
    };
    match letter {
        'G' => vec![sheet(4.0)],
        'J' => vec![sheet(6.3)],
        'A' => vec![sheet(10.0)],
        'B' => vec![chart(16.0)],
        'C' => vec![sheet(16.0), chart(20.0)],
        'D' => vec![sheet(20.0), chart(25.0)],
        'E' => vec![sheet(25.0), chart(35.0)],
        'V' => vec![sheet(35.0)],
        'e' => vec![soft(2.5)],
        'T' | 'H' => vec![soft(50.0)],
        _ => Vec::new(),
    }
}

/// Reads voltage codes.
pub(crate) fn read(folded: &Folded) -> Vec<Draft> {
    let chars: Vec<char> = folded.text.chars().collect();
    match *chars.as_slice() {
        [letter] => single(letter),
        [decade, letter] => pair(decade, letter).into_iter().collect(),
        _ => Vec::new(),
    }
}

fn single(letter: char) -> Vec<Draft> {
    one_letter(letter)
        .into_iter()
        .map(|v| {
            Draft::new(
                Kind::VoltageLetter,
                if v.checked { 0.12 } else { 0.01 },
                format!("Rated voltage {} V.", plain(v.volt)),
                format!("{letter} as the voltage letter of tantalum capacitors"),
            )
            .value(Value::Voltage { volt: v.volt })
            .caution(v.caution)
        })
        .collect()
}

fn pair(decade: char, letter: char) -> Option<Draft> {
    let written_as_letter = decade == 'O';
    let digit = if written_as_letter {
        0
    } else {
        decade.to_digit(10)?
    };
    let tenths = tenths(letter)?;
    if digit > 3 {
        return None;
    }
    // Whole tenths keep the value exact.
    let volt = f64::from(tenths * 10u32.pow(digit)) / 10.0;
    let seen = SEEN.contains(&format!("{digit}{letter}").as_str());
    let mut draft = Draft::new(
        Kind::VoltageTwoCharacters,
        if seen { 0.05 } else { 0.004 },
        format!("Rated voltage {} V.", plain(volt)),
        format!(
            "{letter} = {} times 10^{digit}",
            plain(f64::from(tenths) / 10.0)
        ),
    )
    .value(Value::Voltage { volt });
    if !seen {
        draft = draft.caution("follows the rule, this pair was not seen in a source");
    }
    if written_as_letter {
        draft = draft
            .weaker(0.5)
            .caution("the zero is written as the letter O, as some makers print it");
    }
    Some(draft)
}
