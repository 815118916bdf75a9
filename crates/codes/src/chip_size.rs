//! Sizes of chip parts: imperial and metric codes side by side, and moulded tantalum cases.
//!
//! In: a folded text. Out: readings. `0201`, `0402` and `0603` exist in both systems with different
//! sizes: both are always shown, unless the text says which is meant.
//! Source: sizes as given by a set of footprints and a chip resistor sheet; 008004 is from memory. The
//! published limits are tested against, not printed: chips of one code differ by up to 0.15 mm and more.

use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, plain};

/// A chip size: imperial code, metric code, length and width in mm, how common it is.
struct Size {
    imperial: &'static str,
    metric: &'static str,
    length: f64,
    width: f64,
    common: f64,
}

const fn size(
    imperial: &'static str,
    metric: &'static str,
    length: f64,
    width: f64,
    common: f64,
) -> Size {
    Size {
        imperial,
        metric,
        length,
        width,
        common,
    }
}

const SIZES: [Size; 14] = [
    size("008004", "0201", 0.25, 0.125, 0.01),
    size("01005", "0402", 0.4, 0.2, 0.05),
    size("0201", "0603", 0.6, 0.3, 0.2),
    size("0402", "1005", 1.0, 0.5, 0.3),
    size("0603", "1608", 1.6, 0.8, 0.2),
    size("0805", "2012", 2.0, 1.25, 0.1),
    size("1206", "3216", 3.2, 1.6, 0.1),
    size("1210", "3225", 3.2, 2.5, 0.05),
    size("1806", "4516", 4.5, 1.6, 0.005),
    size("1812", "4532", 4.5, 3.2, 0.02),
    size("1825", "4564", 4.6, 6.3, 0.005),
    size("2010", "5025", 5.0, 2.5, 0.02),
    size("2220", "5650", 5.7, 5.0, 0.01),
    size("2512", "6332", 6.3, 3.2, 0.03),
];

/// Metric code with height, case letter, length, width, height in mm.
const CASES: [(&str, char, f64, f64, f64); 8] = [
    ("3216-18", 'A', 3.2, 1.6, 1.8),
    ("3528-21", 'B', 3.5, 2.8, 2.1),
    ("6032-28", 'C', 6.0, 3.2, 2.8),
    ("7343-31", 'D', 7.3, 4.3, 3.1),
    ("7343-43", 'E', 7.3, 4.3, 4.3),
    ("3216-12", 'S', 3.2, 1.6, 1.2),
    ("3528-12", 'T', 3.5, 2.8, 1.2),
    ("2012-12", 'R', 2.0, 1.25, 1.2),
];

/// Splits a word for the system from a code: `0603M`, `0603 metric`, `imperial 0402`.
fn system(text: &str) -> (&str, Option<Kind>) {
    let words = [
        ("METRIC", Kind::ChipSizeMetric),
        ("IMPERIAL", Kind::ChipSizeImperial),
        ("INCH", Kind::ChipSizeImperial),
        ("MM", Kind::ChipSizeMetric),
        ("M", Kind::ChipSizeMetric),
    ];
    for (word, kind) in words {
        let rest = text.strip_suffix(word).or_else(|| text.strip_prefix(word));
        if let Some(rest) = rest {
            return (rest.trim_matches([' ', '(', ')', '-', ',']), Some(kind));
        }
    }
    (text, None)
}

/// Reads a size code.
pub(crate) fn read(folded: &Folded) -> Vec<Draft> {
    let mut drafts: Vec<Draft> = case(&folded.upper).into_iter().collect();
    let (code, said) = system(&folded.upper);
    let imperial = SIZES.iter().find(|s| s.imperial == code);
    let metric = SIZES.iter().find(|s| s.metric == code);
    let both = imperial.is_some() && metric.is_some();
    for (size, kind) in [
        (imperial, Kind::ChipSizeImperial),
        (metric, Kind::ChipSizeMetric),
    ] {
        let Some(size) = size else { continue };
        if said.is_some_and(|s| s != kind) {
            continue;
        }
        drafts.push(chip(size, kind, said.is_some(), both));
    }
    drafts
}

fn chip(size: &Size, kind: Kind, said: bool, both: bool) -> Draft {
    // Longer side first, as it is measured.
    let (length, width) = (size.length.max(size.width), size.length.min(size.width));
    let (name, other, unit) = if kind == Kind::ChipSizeImperial {
        (
            "imperial",
            format!("metric {}", size.metric),
            "hundredths of an inch",
        )
    } else {
        (
            "metric",
            format!("imperial {}", size.imperial),
            "tenths of a millimetre",
        )
    };
    let mut draft = Draft::new(
        kind,
        size.common * if said { 10.0 } else { 0.1 },
        format!(
            "Chip size by the {name} code: {} x {} mm (the same as {other}).",
            plain(length),
            plain(width)
        ),
        format!("length and width in {unit}, rounded"),
    )
    .value(Value::Size {
        length_mm: length,
        width_mm: width,
        height_mm: None,
    });
    if both && !said {
        draft = draft.caution(
            "this code exists in both systems with different sizes; measure the part or state the system",
        );
    }
    if size.imperial == "008004" {
        draft = draft.caution("size 008004: not checked in a source");
    }
    draft
}

fn case(text: &str) -> Option<Draft> {
    let (code, letter, length, width, height) = CASES
        .into_iter()
        .find(|(code, letter, ..)| *code == text || text == format!("CASE {letter}"))?;
    Some(
        Draft::new(
            Kind::TantalumCase,
            0.1,
            format!(
                "Moulded tantalum case {letter} ({code}): {} x {} mm, {} mm high.",
                plain(length),
                plain(width),
                plain(height)
            ),
            "length and width in tenths of a millimetre, then the height",
        )
        .value(Value::Size {
            length_mm: length,
            width_mm: width,
            height_mm: Some(height),
        }),
    )
}
