//! Ingress protection: `IP67`, `IPX4`, `IP69K`.
//!
//! In: a folded text. Out: readings. Source: IEC 60529 as summarised by five pages. 12.5 mm for the first
//! digit 2, the half hour of the second digit 7, the letters after the digits and X as "not tested" are
//! from memory.

use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, compact};

/// Returns what the first digit promises.
pub fn solids(digit: u8) -> Option<&'static str> {
    Some(match digit {
        0 => "no protection against solids",
        1 => "solids of 50 mm and more kept out",
        2 => "solids of 12.5 mm and more kept out",
        3 => "solids of 2.5 mm and more kept out",
        4 => "solids of 1.0 mm and more kept out",
        5 => "dust protected",
        6 => "dust tight",
        _ => return None,
    })
}

/// Returns what the second digit promises.
pub fn water(digit: u8) -> Option<&'static str> {
    Some(match digit {
        0 => "no protection against water",
        1 => "vertical drops",
        2 => "drops at up to 15 degrees of tilt",
        3 => "spray to 60 degrees",
        4 => "splashes from all directions",
        5 => "jets",
        6 => "strong jets",
        7 => "temporary immersion to 1 m",
        8 => "continuous immersion, harder than 7, under conditions by agreement",
        9 => "jets of high pressure and temperature",
        _ => return None,
    })
}

fn digit(c: char) -> Option<Option<u8>> {
    match c {
        'X' => Some(None),
        c => c.to_digit(10).and_then(|d| u8::try_from(d).ok()).map(Some),
    }
}

/// Reads an ingress code.
pub(crate) fn read(folded: &Folded) -> Option<Draft> {
    let text = compact(&folded.upper);
    let mut chars = text.strip_prefix("IP")?.chars();
    let first = digit(chars.next()?)?;
    let second = digit(chars.next()?)?;
    let solid_words = match first {
        None => "solids not stated",
        Some(d) => solids(d)?,
    };
    let water_words = match second {
        None => "water not stated",
        Some(d) => water(d)?,
    };
    let after: String = chars.collect();
    let mut caution = Vec::new();
    let mut extra = String::new();
    for (i, c) in after.chars().enumerate() {
        let said = match (i, c) {
            (0, 'K') if second == Some(9) && after.len() == 1 => {
                caution.push("the letter K is from ISO 20653 (road vehicles), not from IEC 60529");
                continue;
            }
            (0, 'A') => "hazardous parts safe from the back of a hand",
            (0, 'B') => "hazardous parts safe from a finger",
            (0, 'C') => "hazardous parts safe from a tool",
            (0, 'D') => "hazardous parts safe from a wire",
            (_, 'H') => "high-voltage equipment",
            (_, 'M') => "moving during the water test",
            (_, 'S') => "standing still during the water test",
            (_, 'W') => "for stated weather conditions",
            _ => return None,
        };
        if i > 1 {
            return None;
        }
        extra = format!("{extra}; {said}");
        caution.push("letters after the digits: not checked in a source");
    }
    if matches!(second, Some(7 | 8)) {
        caution.push("7 and 8 do not imply 5 or 6: immersion was tested, jets were not unless both are stated");
    }
    if second == Some(9) {
        caution.push("9 does not imply 7 or 8");
    }
    if first.is_none() || second.is_none() {
        caution.push("X means not stated, which is neither zero nor a promise");
    }
    caution.dedup();
    let mut draft = Draft::new(
        Kind::Ingress,
        0.05,
        format!("Protection: {solid_words}; {water_words}{extra}."),
        format!(
            "IP with {} for solids and {} for water",
            first.map_or("X".to_string(), |d| d.to_string()),
            second.map_or("X".to_string(), |d| d.to_string())
        ),
    )
    .value(Value::Ingress {
        solids: first,
        water: second,
    });
    for text in caution {
        draft = draft.caution(text);
    }
    Some(draft)
}
