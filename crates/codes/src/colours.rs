//! Colour bands of resistors: three to six colours, in words or in two-letter form.
//!
//! In: a folded text. Out: readings, in both directions where the bands allow it.
//! Source: IEC 60062, clause 2, as given in one to four public charts per colour; the two-letter forms
//! are those of IEC 60757. Charts disagree on the tolerance bands grey, orange and yellow.

use crate::e_series;
use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, decimal, engineering};
use crate::tolerance::Tolerance;

/// A colour band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the colours name themselves")]
pub enum Colour {
    Black,
    Brown,
    Red,
    Orange,
    Yellow,
    Green,
    Blue,
    Violet,
    Grey,
    White,
    Gold,
    Silver,
    Pink,
}

/// Names in words and in the two-letter form of IEC 60757.
const NAMES: [(&str, Colour); 28] = [
    ("BLACK", Colour::Black),
    ("BK", Colour::Black),
    ("BROWN", Colour::Brown),
    ("BN", Colour::Brown),
    ("RED", Colour::Red),
    ("RD", Colour::Red),
    ("ORANGE", Colour::Orange),
    ("OG", Colour::Orange),
    ("YELLOW", Colour::Yellow),
    ("YE", Colour::Yellow),
    ("GREEN", Colour::Green),
    ("GN", Colour::Green),
    ("BLUE", Colour::Blue),
    ("BU", Colour::Blue),
    ("VIOLET", Colour::Violet),
    ("PURPLE", Colour::Violet),
    ("VT", Colour::Violet),
    ("GREY", Colour::Grey),
    ("GRAY", Colour::Grey),
    ("GY", Colour::Grey),
    ("WHITE", Colour::White),
    ("WH", Colour::White),
    ("GOLD", Colour::Gold),
    ("GD", Colour::Gold),
    ("SILVER", Colour::Silver),
    ("SR", Colour::Silver),
    ("PINK", Colour::Pink),
    ("PK", Colour::Pink),
];

impl Colour {
    /// Reads a colour in words or in two letters, in any case.
    pub fn parse(word: &str) -> Option<Self> {
        let word = word.to_ascii_uppercase();
        NAMES.iter().find(|(n, _)| *n == word).map(|(_, c)| *c)
    }

    /// Returns the digit it stands for.
    pub fn digit(self) -> Option<u64> {
        let digit = self as u64;
        (digit <= 9).then_some(digit)
    }

    /// Returns the power of ten it multiplies by.
    pub fn power(self) -> i32 {
        match self {
            Self::Gold => -1,
            Self::Silver => -2,
            Self::Pink => -3,
            colour => colour as i32,
        }
    }

    /// Returns the tolerance in per cent, and what is doubtful about it.
    pub fn tolerance(self) -> Option<(f64, &'static str)> {
        Some(match self {
            Self::Brown => (1.0, ""),
            Self::Red => (2.0, ""),
            Self::Orange => (
                0.05,
                "orange as tolerance: 0.05 % in IEC 60062:2016, 3 % on older charts",
            ),
            Self::Yellow => (
                0.02,
                "yellow as tolerance: 0.02 % in IEC 60062:2016, 4 % or 0/+100 % on older charts",
            ),
            Self::Green => (0.5, ""),
            Self::Blue => (0.25, ""),
            Self::Violet => (0.1, ""),
            Self::Grey => (
                0.05,
                "grey as tolerance depends on the edition: 0.05 % on two charts, 0.1 % on one, 0.01 % in IEC 60062:2016 as remembered",
            ),
            Self::Gold => (5.0, ""),
            Self::Silver => (10.0, ""),
            Self::Black | Self::White | Self::Pink => return None,
        })
    }

    /// Returns the temperature coefficient, ± ppm/K.
    pub fn ppm_per_kelvin(self) -> Option<f64> {
        Some(match self {
            Self::Black => 250.0,
            Self::Brown => 100.0,
            Self::Red => 50.0,
            Self::Orange => 15.0,
            Self::Yellow => 25.0,
            Self::Green => 20.0,
            Self::Blue => 10.0,
            Self::Violet => 5.0,
            Self::Grey => 1.0,
            _ => return None,
        })
    }

    fn word(self) -> String {
        format!("{self:?}").to_ascii_lowercase()
    }
}

/// Splits a text into colours; `None` if any word is not one, or there are not three to six.
fn colours(text: &str) -> Option<Vec<Colour>> {
    let words: Vec<&str> = text
        .split(|c: char| !c.is_ascii_alphabetic())
        .filter(|w| !w.is_empty())
        .collect();
    if !(3..=6).contains(&words.len()) || text.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    words.into_iter().map(Colour::parse).collect()
}

/// Reads colour bands as given, and from the other end.
pub(crate) fn read(folded: &Folded) -> Vec<Draft> {
    let Some(bands) = colours(&folded.upper) else {
        return Vec::new();
    };
    let mut turned = bands.clone();
    turned.reverse();
    let mut drafts = resistor(&bands, false);
    if turned != bands {
        drafts.extend(resistor(&turned, true));
    }
    drafts
}

fn resistor(bands: &[Colour], turned: bool) -> Vec<Draft> {
    let digits = if bands.len() >= 5 { 3 } else { 2 };
    let mut significand = 0;
    for band in &bands[..digits] {
        let Some(digit) = band.digit() else {
            return Vec::new();
        };
        significand = significand * 10 + digit;
    }
    let power = bands[digits].power();
    let ohm = decimal(significand, power);
    let ppm = match bands.get(digits + 2) {
        Some(colour) => match colour.ppm_per_kelvin() {
            Some(ppm) => Some(ppm),
            None => return Vec::new(),
        },
        None => None,
    };
    let choices: Vec<(f64, String, f64)> = match bands.get(digits + 1) {
        None => vec![(20.0, String::new(), 1.0)],
        Some(colour) => match colour.tolerance() {
            None => return Vec::new(),
            Some((percent, caution)) => {
                let mut all = vec![(percent, caution.to_string(), 1.0)];
                // What other charts say, where they disagree.
                all.extend(match colour {
                    Colour::Orange => vec![(3.0, "older charts".to_string(), 0.2)],
                    Colour::Yellow => vec![(4.0, "older charts".to_string(), 0.1)],
                    Colour::Grey => vec![
                        (0.1, "one chart".to_string(), 0.3),
                        (0.01, "not checked in a source".to_string(), 0.3),
                    ],
                    _ => Vec::new(),
                });
                all
            }
        },
    };
    let names: Vec<String> = bands.iter().map(|b| b.word()).collect();
    choices
        .into_iter()
        .map(|(percent, caution, factor)| {
            let tolerance = Tolerance::percent(percent);
            let ppm_text = ppm.map_or_else(String::new, |p| format!(", ± {p} ppm/K"));
            let mut draft = Draft::new(
                Kind::ResistorColours,
                e_series::share(ohm, 9.0, digits == 3) * factor,
                format!(
                    "Resistance {}, {tolerance}{ppm_text}.",
                    engineering(ohm, "Ω")
                ),
                format!(
                    "{}{}: {digits} digits {significand}, multiplier 10^{power}; {}",
                    if turned { "from the other end, " } else { "" },
                    names.join(" "),
                    e_series::remark(ohm, |v| engineering(v, "Ω"))
                ),
            )
            .value(Value::Resistance {
                ohm,
                tolerance: Some(tolerance),
                ppm_per_kelvin: ppm,
            })
            .caution(caution);
            if turned {
                // Resistors are read from the end that the bands stand nearer to, so the order given
                // is more often the right one.
                draft = draft
                    .weaker(0.2)
                    .caution("read from the other end than written");
            }
            if significand < 10 {
                draft = draft.weaker(0.1);
            }
            draft
        })
        .collect()
}
