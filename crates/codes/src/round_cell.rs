//! Round cells by size: `CR2032` = 20 mm across, 3.2 mm high.
//!
//! In: a folded text. Out: readings. Source: the size code of coin cells (an encyclopaedia entry and a
//! coin cell's sheet): diameter in millimetres, height in tenths. A 2450 cell measures 24.5 mm, so the
//! code cuts the diameter off. Tall cells have three digits of height: an 18650 is 18 mm across and 65 mm
//! high (a cell's sheet: 18.0 mm by 65.0 mm); the list of their usual sizes, the sizes of which no rule
//! gives the height, the numbered sizes (`LR6`) and the letters of chemistries are from memory of IEC 60086
//! and of catalogues.

use crate::reading::{CellSize, Draft, Kind, Value};
use crate::text::{Folded, compact, plain};

/// Common sizes in four digits, used to tell a bare number from other codes.
const COMMON: [&str; 20] = [
    "1025", "1216", "1220", "1225", "1254", "1454", "1616", "1620", "1625", "1632", "2012", "2016",
    "2025", "2032", "2320", "2330", "2354", "2430", "2450", "2477",
];

/// Common sizes of tall cells, for a bare number of five digits is mostly something else.
const TALL: [&str; 36] = [
    "10180", "10220", "10280", "10440", "10450", "10500", "13400", "14250", "14300", "14430",
    "14450", "14500", "14505", "14650", "15270", "16340", "16500", "16650", "17335", "17500",
    "17650", "17670", "18350", "18490", "18500", "18650", "18700", "20700", "21700", "22650",
    "25500", "26350", "26500", "26650", "26700", "32650",
];

/// Wide cells whose code gives the height in whole millimetres, with both sizes in millimetres.
const WIDE: [(&str, u32, f64); 8] = [
    ("32700", 32, 70.0),
    ("33140", 33, 140.0),
    ("38120", 38, 120.0),
    ("40135", 40, 135.0),
    ("46120", 46, 120.0),
    ("46800", 46, 80.0),
    ("4680", 46, 80.0),
    ("4695", 46, 95.0),
];

/// Numbered sizes after the letters: number, diameter and height at most in millimetres.
const NUMBERED: [(&str, f64, f64); 19] = [
    ("03", 10.5, 44.5),
    ("1", 12.0, 30.2),
    ("6", 14.5, 50.5),
    ("14", 26.2, 50.0),
    ("20", 34.2, 61.5),
    ("41", 7.9, 3.6),
    ("42", 11.6, 3.6),
    ("43", 11.6, 4.2),
    ("44", 11.6, 5.4),
    ("48", 7.9, 5.4),
    ("54", 11.6, 3.05),
    ("55", 11.6, 2.1),
    ("57", 9.5, 2.7),
    ("58", 7.9, 2.1),
    ("59", 7.9, 2.6),
    ("60", 6.8, 2.15),
    ("66", 6.8, 2.6),
    ("69", 9.5, 2.1),
    ("70", 5.8, 3.6),
];

fn chemistry(letters: &str) -> Option<&'static str> {
    Some(match letters {
        "CR" => "lithium and manganese dioxide, not rechargeable",
        "BR" => "lithium and carbon monofluoride, not rechargeable",
        "LR" => "alkaline, not rechargeable",
        "FR" => "lithium and iron disulfide, not rechargeable",
        "HR" => "nickel-metal hydride, rechargeable",
        "KR" => "nickel-cadmium, rechargeable",
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
    if let Some(chemistry) = chemistry
        && let Some((_, diameter, height)) = NUMBERED.iter().find(|n| n.0 == digits)
    {
        return Some(numbered(chemistry, &digits, *diameter, *height));
    }
    let tall = TALL.contains(&digits.as_str());
    let wide = WIDE.iter().find(|w| w.0 == digits);
    if letters.is_empty() && !tall && wide.is_none() && (digits.len() != 4 || !after.is_empty()) {
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
    if wide.is_none() && (!(4..=40).contains(&diameter) || tenths < 10) {
        return None;
    }
    let (diameter, height) = match wide {
        Some((_, diameter, height)) => (*diameter, *height),
        None => (diameter, f64::from(tenths) / 10.0),
    };
    let common = tall || wide.is_some() || COMMON.contains(&digits.as_str());
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
        match wide {
            Some(_) => format!(
                "a usual size of wide cells, {diameter} mm by {} mm",
                plain(height)
            ),
            None => {
                format!("{diameter} is the diameter in mm, {tenths} the height in tenths of a mm")
            }
        },
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

/// `LR6`, `SR44`: a number stands for the size.
fn numbered(chemistry: &str, number: &str, diameter: f64, height: f64) -> Draft {
    Draft::new(
        Kind::RoundCell,
        0.02,
        format!(
            "Round cell, {chemistry}, {} mm across, {} mm high at most.",
            plain(diameter),
            plain(height)
        ),
        format!("{number} is a numbered size"),
    )
    .value(Value::Cell(CellSize {
        chemistry: Some(chemistry.to_string()),
        diameter_mm: Some(diameter),
        height_mm: Some(height),
        series: 1,
        parallel: 1,
        ..CellSize::default()
    }))
}
