//! What to write instead: the sentences for figures that do not fit.

use super::cursor::Cursor;
use super::{ReadError, Stated};
use crate::{Dimension, Unit};

/// Says that a figure has another dimension than its place asks for.
pub(super) fn other_dimension(text: &str, stated: &Stated, dimension: Dimension) -> ReadError {
    let written = text.trim();
    let at = text.len() - text.trim_start().len()..text.trim_end().len();
    let found = match stated.unit.symbol() {
        "" => "a number without unit".to_string(),
        _ => stated.dimension().to_string(),
    };
    let hint = match (stated.unit.symbol(), dimension) {
        ("C", Dimension::TEMPERATURE) => "C is the coulomb; ",
        ("m", Dimension::TIME) => "m is the metre, a minute is min; ",
        ("mA", Dimension::CHARGE) => "mA is a current, a capacity is in mAh; ",
        ("W", Dimension::ENERGY) => "W is a power, an energy is in Wh; ",
        _ => "",
    };
    let example = example(dimension);
    let message = format!(
        "expected {dimension}, found {found} ({written}); {hint}write for example {example}"
    );
    ReadError { at, message }
}

/// Says what to do about text after the figure.
pub(super) fn leftover(cursor: &Cursor) -> ReadError {
    let rest = cursor.excerpt();
    let figure = rest.trim_start_matches(|c: char| !c.is_ascii_digit());
    // `14 x 20 mm` holds two figures, `14 mm wide` a word too many.
    let starts_with_word = rest.starts_with(char::is_alphabetic) && !rest.starts_with(['x', 'X']);
    cursor.error_ahead(if figure.is_empty() || starts_with_word {
        format!("'{rest}' is not understood after the figure; write for example 620 mAh")
    } else {
        format!(
            "more than one figure: '{rest}' is left over; write one figure, or a range such as \
             10-12 h"
        )
    })
}

/// The remedy for a place that asks for `dimension`.
fn example(dimension: Dimension) -> String {
    const EXAMPLES: [(Dimension, &str); 22] = [
        (Dimension::NONE, "0.85 or 85 %"),
        (Dimension::LENGTH, "14.2 mm"),
        (Dimension::AREA, "120 mm²"),
        (Dimension::VOLUME, "3.4 cm³"),
        (Dimension::MASS, "83.4 g"),
        (Dimension::TIME, "1.5 h or 20 min"),
        (Dimension::CURRENT, "310 mA"),
        (Dimension::TEMPERATURE, "85 °C"),
        (Dimension::FREQUENCY, "60 Hz"),
        (Dimension::CHARGE, "620 mAh"),
        (Dimension::VOLTAGE, "3.85 V"),
        (Dimension::ENERGY, "2.4 Wh"),
        (Dimension::POWER, "15 W"),
        (Dimension::RESISTANCE, "35 mΩ"),
        (Dimension::CAPACITANCE, "10 µF"),
        (Dimension::INDUCTANCE, "2.2 µH"),
        (
            Dimension::PRESSURE,
            "2 bar, or 500 Wh/L as an energy density",
        ),
        (Dimension::SPECIFIC_ENERGY, "230 Wh/kg"),
        (Dimension::COUNT, "4 pcs"),
        (Dimension::LEVEL, "35 dB"),
        (Dimension::MEMORY, "64 KiB"),
        (Dimension::money(crate::Currency::Eur), "12.50 EUR"),
    ];
    match EXAMPLES.iter().find(|(d, _)| *d == dimension) {
        Some((_, text)) => (*text).to_string(),
        None => format!("1 {}", Unit::coherent(dimension)),
    }
}
