//! Dielectric codes of ceramic capacitors: `C0G`, `X7R`.
//!
//! In: a folded text. Out: readings. Source: EIA RS-198 letter tables; classes 2 and 3 as given in an
//! application note and four other pages, class 1 in two pages of the same ancestor.

use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, plain};

/// Reads dielectric codes of class 1 and of classes 2 and 3.
pub(crate) fn read(folded: &Folded) -> Vec<Draft> {
    let text = match folded.upper.as_str() {
        // The middle sign is a zero; it is often read or typed as the letter. NP0 is the older name.
        "COG" | "NP0" | "NPO" => "C0G",
        text => text,
    };
    let spelled = text != folded.upper;
    let chars: Vec<char> = text.chars().collect();
    let &[a, b, c] = chars.as_slice() else {
        return Vec::new();
    };
    let mut drafts = class1(a, b, c);
    if spelled {
        drafts = drafts
            .into_iter()
            .map(|d| d.caution(format!("{} is another way of writing C0G", folded.upper)))
            .collect();
    }
    drafts.extend(class2(a, b, c));
    drafts
}

fn class1(a: char, b: char, c: char) -> Vec<Draft> {
    let significand: f64 = match a {
        'C' => 0.0,
        'B' => 0.3,
        'L' => 0.8,
        'A' => 0.9,
        'M' => 1.0,
        'P' => 1.5,
        'R' => 2.2,
        'S' => 3.3,
        'T' => 4.7,
        'V' => 5.6,
        'U' => 7.5,
        _ => return Vec::new(),
    };
    let (multiplier, caution): (f64, &str) = match b {
        '0' => (-1.0, ""),
        '1' => (-10.0, ""),
        '2' => (-100.0, ""),
        '3' => (-1000.0, ""),
        '6' => (10.0, ""),
        '7' => (100.0, ""),
        '8' => (1000.0, ""),
        '4' => (
            1.0,
            "multiplier 4 as +1: given in two pages of one ancestor, other tables use 5",
        ),
        '5' => (
            1.0,
            "multiplier 5 as +1: not checked in a source, two pages use 4",
        ),
        _ => return Vec::new(),
    };
    let tolerance = match c {
        'G' => 30.0,
        'H' => 60.0,
        'J' => 120.0,
        'K' => 250.0,
        'L' => 500.0,
        'M' => 1000.0,
        'N' => 2500.0,
        _ => return Vec::new(),
    };
    // 0.0 × -1 would print as a negative zero.
    let ppm = (significand * multiplier * 1000.0).round() / 1000.0 + 0.0;
    let usual = matches!((a, b, c), ('C', '0', 'G')) as u8 as f64;
    let mut draft = Draft::new(
        Kind::DielectricClass1,
        0.005 + 0.5 * usual,
        format!(
            "Class 1 dielectric: {} ppm/K, ± {} ppm/K.",
            plain(ppm),
            plain(tolerance)
        ),
        format!(
            "{a} = {significand:.1}, {b} multiplies by {multiplier}, {c} = ± {tolerance} ppm/K"
        ),
    )
    .value(Value::Coefficient {
        ppm_per_kelvin: ppm,
        tolerance_ppm_per_kelvin: tolerance,
    });
    if !caution.is_empty() {
        draft = draft.weaker(0.2).caution(caution);
    }
    vec![draft]
}

fn class2(a: char, b: char, c: char) -> Vec<Draft> {
    let low = match a {
        'X' => -55,
        'Y' => -30,
        'Z' => 10,
        _ => return Vec::new(),
    };
    let high = match b {
        '2' => 45,
        '4' => 65,
        '5' => 85,
        '6' => 105,
        '7' => 125,
        '8' => 150,
        '9' => 200,
        _ => return Vec::new(),
    };
    let (up, down, caution) = match c {
        'A' => (1.0, 1.0, ""),
        'B' => (1.5, 1.5, ""),
        'C' => (2.2, 2.2, ""),
        'D' => (3.3, 3.3, ""),
        'E' => (4.7, 4.7, ""),
        'F' => (7.5, 7.5, ""),
        'P' => (10.0, 10.0, ""),
        'R' => (15.0, 15.0, ""),
        'S' => (22.0, 22.0, ""),
        'T' => (22.0, 33.0, ""),
        'U' => (22.0, 56.0, ""),
        'V' => (22.0, 82.0, ""),
        'L' => (15.0, 40.0, "letter L: not checked in a source"),
        _ => return Vec::new(),
    };
    let make = |low: i32, high: i32| {
        Draft::new(
            Kind::DielectricClass2,
            0.01,
            format!(
                "Dielectric for {low} to {high} °C, capacitance within +{} / -{} % of its value at 25 °C.",
                plain(up),
                plain(down)
            ),
            format!("{a} = {low} °C, {b} = {high} °C, {c} = +{}/-{} %", plain(up), plain(down)),
        )
        .value(Value::Change {
            low_celsius: low,
            high_celsius: high,
            up_percent: up,
            down_percent: down,
        })
    };
    let mut first = make(low, high).caution(caution);
    if !caution.is_empty() {
        first = first.weaker(0.2);
    }
    if matches!((a, b, c), ('X', '5' | '7', 'R') | ('Y', '5', 'V')) {
        first = first.weaker(8.0);
    }
    let mut drafts = vec![first];
    // One forum table differs in two places from four other sources.
    let other = (
        if a == 'Z' { -10 } else { low },
        if b == '7' { 120 } else { high },
    );
    if other != (low, high) {
        drafts.push(
            make(other.0, other.1)
                .weaker(0.01)
                .caution("one public table only; four others give Z = +10 °C and 7 = 125 °C"),
        );
    }
    drafts
}
