//! Round cells by size: `CR2032` = 20 mm across, 3.2 mm high.
//!
//! In: a folded text. Out: readings. Source: the size code of coin cells (an encyclopaedia entry and a
//! coin cell's sheet): diameter in millimetres, height in tenths. A 2450 cell measures 24.5 mm, so the
//! code cuts the diameter off. Letters of chemistries are from memory of IEC 60086.

use crate::reading::{CellSize, Draft, Kind, Value};
use crate::text::{Folded, compact, plain};

/// Common sizes in four digits, used to tell a bare number from other codes.
const COMMON: [&str; 20] = [
    "1025", "1216", "1220", "1225", "1254", "1454", "1616", "1620", "1625", "1632", "2012", "2016",
    "2025", "2032", "2320", "2330", "2354", "2430", "2450", "2477",
];

fn chemistry(letters: &str) -> Option<&'static str> {
    Some(match letters {
        "CR" => "lithium and manganese dioxide, not rechargeable",
        "BR" => "lithium and carbon monofluoride, not rechargeable",
        "LR" => "alkaline, not rechargeable",
        "SR" => "silver oxide, not rechargeable",
        "PR" => "zinc and air, not rechargeable",
        "LIR" => "lithium ion, rechargeable",
        "ML" => "manganese and lithium, rechargeable",
        "VL" => "vanadium and lithium, rechargeable",
        _ => return None,
    })
}

/// Reads a size of a round cell, with or without letters before it.
pub(crate) fn read(folded: &Folded) -> Option<Draft> {
    let text = compact(&folded.upper);
    let letters: String = text.chars().take_while(char::is_ascii_alphabetic).collect();
    let rest = &text[letters.len()..];
    let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
    let after = &rest[digits.len()..];
    // At most two letters of the maker or of the contact form follow.
    if after.chars().count() > 2 || !after.bytes().all(|b| b.is_ascii_alphabetic()) {
        return None;
    }
    let chemistry = if letters.is_empty() {
        None
    } else {
        Some(chemistry(&letters)?)
    };
    if letters.is_empty() && (digits.len() != 4 || !after.is_empty()) {
        return None;
    }
    let (diameter, tenths) = match digits.len() {
        3 => (&digits[..1], &digits[1..]),
        4 => (&digits[..2], &digits[2..]),
        // Tall cells have three digits of height.
        5 => (&digits[..2], &digits[2..]),
        _ => return None,
    };
    let diameter: u32 = diameter.parse().ok()?;
    let tenths: u32 = tenths.parse().ok()?;
    if !(4..=40).contains(&diameter) || tenths < 10 {
        return None;
    }
    let height = f64::from(tenths) / 10.0;
    let common = COMMON.contains(&digits.as_str());
    let fit = match (chemistry, common) {
        (Some(_), _) => 0.02,
        (None, true) => 0.01,
        (None, false) => 0.000_02,
    };
    let mut draft = Draft::new(
        Kind::RoundCell,
        fit,
        format!(
            "Round cell{}, {diameter} mm across, {} mm high.",
            chemistry.map_or_else(String::new, |c| format!(", {c}")),
            plain(height)
        ),
        format!("{diameter} is the diameter in mm, {tenths} the height in tenths of a mm"),
    )
    .value(Value::Cell(CellSize {
        chemistry: chemistry.map(String::from),
        diameter_mm: Some(f64::from(diameter)),
        height_mm: Some(height),
        series: 1,
        parallel: 1,
        ..CellSize::default()
    }))
    .caution(format!(
        "the code cuts fractions of the diameter off: it is at least {diameter} mm and below {} mm",
        diameter + 1
    ));
    if chemistry.is_none() {
        draft = draft.caution("a bare number does not say the chemistry");
    }
    if digits.len() == 3 {
        draft = draft.caution(
            "older two-digit and watch-cell numbers are not sizes; measure before relying on it",
        );
    }
    Some(draft)
}
