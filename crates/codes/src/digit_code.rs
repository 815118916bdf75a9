//! Values in digits only: `473`, `4992`, `104`, with or without a tolerance letter; jumpers.
//!
//! In: a folded text. Out: readings as resistor, capacitor and inductor. Not here: letters at the
//! decimal point of resistors and capacitors (`rkm.rs`).
//! Source: common practice of makers, seen in an instrument manual, a board vendor's guide and pages
//! on imprinted markings. Third digits 8 and 9 on capacitors are from memory (× 0.01 and × 0.1); one
//! tutorial reads them as powers of ten instead, which is shown beside it.

use crate::e_series;
use crate::reading::{Draft, Kind, Value};
use crate::text::{Folded, all_digits, decimal, engineering, pointed};
use crate::tolerance;
use crate::voltage;

/// Reads codes in digits.
pub(crate) fn read(folded: &Folded) -> Vec<Draft> {
    let text = folded.upper.as_str();
    if text.len() > 5 || !text.is_ascii() {
        return Vec::new();
    }
    let mut drafts = Vec::new();
    drafts.extend(resistor(text));
    drafts.extend(capacitor(text));
    drafts.extend(inductor(text));
    drafts
}

/// The digits before a power of ten, and that power.
fn scaled(digits: &str) -> Option<(u64, i32)> {
    let (significand, power) = digits.split_at_checked(digits.len().checked_sub(1)?)?;
    Some((significand.parse().ok()?, power.parse().ok()?))
}

fn resistor(text: &str) -> Option<Draft> {
    if !all_digits(text) {
        return None;
    }
    if matches!(text, "0" | "000" | "0000" | "00") {
        return Some(
            Draft::new(
                Kind::ResistorDigits,
                0.02,
                "Jumper, 0 Ω.",
                "zeros only mark a jumper",
            )
            .value(Value::Resistance {
                ohm: 0.0,
                tolerance: None,
                ppm_per_kelvin: None,
            })
            .caution("jumper codes: common practice, not checked in a source"),
        );
    }
    if !matches!(text.len(), 3 | 4) {
        return None;
    }
    let (significand, power) = scaled(text)?;
    if significand == 0 {
        return None;
    }
    let four = text.len() == 4;
    let ohm = decimal(significand, power);
    let mut draft = Draft::new(
        Kind::ResistorDigits,
        e_series::share(ohm, 7.0, four),
        format!("Resistance {}.", engineering(ohm, "Ω")),
        format!(
            "{} significant digits and a power of ten: {significand} × 10^{power} Ω; {}",
            if four { "three" } else { "two" },
            e_series::remark(ohm, |v| engineering(v, "Ω"))
        ),
    )
    .value(Value::Resistance {
        ohm,
        tolerance: None,
        ppm_per_kelvin: None,
    });
    if text.starts_with('0') {
        draft = draft.weaker(0.05);
    }
    if ohm > 1e8 {
        draft = draft
            .weaker(0.05)
            .caution("more than 100 MΩ is rare on a chip resistor");
    }
    Some(draft)
}

fn farads(farad: f64, shown: &str, fit: f64, because: String) -> Draft {
    Draft::new(
        Kind::CapacitorDigits,
        fit,
        format!("Capacitance {}{shown}.", engineering(farad, "F")),
        because,
    )
}

fn capacitor(text: &str) -> Vec<Draft> {
    let (body, last) = match text.chars().last() {
        Some(c) if c.is_ascii_alphabetic() => (&text[..text.len() - 1], Some(c)),
        _ => (text, None),
    };
    if !all_digits(body) {
        return Vec::new();
    }
    let mut drafts = Vec::new();
    for (farad, fit, why, caution) in capacitances(body) {
        let because = format!(
            "{why}; {}",
            e_series::remark(farad, |v| engineering(v, "F"))
        );
        let letter = last.and_then(|c| tolerance::letter(c, Some(farad)));
        match (last, letter) {
            (Some(c), Some(letter)) => drafts.push(
                farads(
                    farad,
                    &tolerance::suffix(Some(letter.tolerance)),
                    fit * 0.3 * tolerance::usual_on_capacitor(letter.tolerance),
                    format!("{because}; {c} is the tolerance"),
                )
                .value(Value::Capacitance {
                    farad,
                    tolerance: Some(letter.tolerance),
                    rated_volt: None,
                })
                .caution(caution)
                .caution(letter.caution),
            ),
            (Some(_), None) => {}
            (None, _) => drafts.push(
                farads(farad, "", fit, because)
                    .value(Value::Capacitance {
                        farad,
                        tolerance: None,
                        rated_volt: None,
                    })
                    .caution(caution),
            ),
        }
    }
    if body.len() == 3 {
        drafts.extend(with_voltage(body, last));
    }
    drafts
}

/// What plain digits may say in farads: value, share, why, caution.
fn capacitances(body: &str) -> Vec<(f64, f64, String, &'static str)> {
    let mut found = Vec::new();
    match body.len() {
        3 => {
            let Some((significand, power)) = scaled(body).filter(|(s, _)| *s > 0) else {
                return found;
            };
            let leading = if body.starts_with('0') { 0.05 } else { 1.0 };
            let mut push = |exponent: i32, factor: f64, caution: &'static str| {
                let farad = decimal(significand, exponent - 12);
                let fit = e_series::share(farad, 6.0, false) * factor * leading;
                let why = format!(
                    "two significant digits and a power of ten: {significand} × 10^{exponent} pF"
                );
                found.push((farad, fit, why, caution));
            };
            match power {
                8 => {
                    push(
                        -2,
                        0.5,
                        "third digit 8 as × 0.01: not checked in a source; one tutorial reads 10^8",
                    );
                    push(
                        8,
                        0.01,
                        "third digit 8 as 10^8: one tutorial only, usual tables read × 0.01",
                    );
                }
                9 => {
                    push(
                        -1,
                        0.8,
                        "third digit 9 as × 0.1: not checked in a source; one tutorial reads 10^9",
                    );
                    push(
                        9,
                        0.01,
                        "third digit 9 as 10^9: one tutorial only, usual tables read × 0.1",
                    );
                }
                _ => push(power, 1.0, ""),
            }
            // Electrolytic capacitors in cans print plain microfarads.
            if let Some(value) = body.parse().ok().filter(|v: &u64| *v >= 100) {
                let farad = decimal(value, -6);
                found.push((
                    farad,
                    e_series::share(farad, 6.0, false) * 0.1,
                    "plain microfarads, as printed on electrolytic capacitors in cans".to_string(),
                    "plain microfarads: practice, only on electrolytic capacitors",
                ));
            }
        }
        1 | 2 => {
            if let Some(value) = body.parse().ok().filter(|v: &u64| *v > 0) {
                let farad = decimal(value, -12);
                found.push((
                    farad,
                    e_series::share(farad, 2.0, false) * 0.2,
                    "plain picofarads".to_string(),
                    "one or two digits: practice on disc capacitors",
                ));
            }
        }
        _ => {}
    }
    found
}

/// `106C`: three digits of picofarads and the voltage letter of tantalum capacitors.
fn with_voltage(body: &str, last: Option<char>) -> Vec<Draft> {
    let Some(letter) = last else {
        return Vec::new();
    };
    let Some((significand, power)) = scaled(body).filter(|(s, p)| *s > 0 && *p < 8) else {
        return Vec::new();
    };
    let farad = decimal(significand, power - 12);
    voltage::one_letter(letter)
        .into_iter()
        .filter(|v| v.checked && farad >= 1e-7)
        .map(|v| {
            farads(
                farad,
                &format!(", {} V", crate::text::plain(v.volt)),
                e_series::share(farad, 6.0, false) * 0.2,
                format!("three digits in picofarads, and {letter} is the voltage letter of tantalum capacitors"),
            )
            .value(Value::Capacitance {
                farad,
                tolerance: None,
                rated_volt: Some(v.volt),
            })
            .caution("the letter may be a tolerance instead")
        })
        .collect()
}

/// Inductors print microhenries: `100`, `4R7`; or nanohenries with an N at the point.
fn inductor(text: &str) -> Option<Draft> {
    let (body, last) = match text.chars().last() {
        Some(c) if c.is_ascii_alphabetic() && text.len() == 4 => (&text[..text.len() - 1], Some(c)),
        _ => (text, None),
    };
    let letter = match last {
        Some(c) => Some(tolerance::letter(c, None)?),
        None => None,
    };
    let tolerance = letter.map(|l| l.tolerance);
    let (significand, exponent, why) = if all_digits(body) && body.len() == 3 {
        let (s, p) = scaled(body).filter(|(s, _)| *s >= 10)?;
        (
            s,
            p - 6,
            "two significant digits and a power of ten in microhenries",
        )
    } else if let Some((whole, fraction)) = body.split_once('R') {
        let (s, p) = pointed(whole, fraction)?;
        (s, p - 6, "R marks the decimal point of microhenries")
    } else if let Some((whole, fraction)) = body.split_once('N') {
        let (s, p) = pointed(whole, fraction)?;
        (s, p - 9, "N marks the decimal point of nanohenries")
    } else {
        return None;
    };
    if significand == 0 {
        return None;
    }
    let henry = decimal(significand, exponent);
    let mut draft = Draft::new(
        Kind::Inductor,
        e_series::share(henry, 5.0, false),
        format!(
            "Inductance {}{}.",
            engineering(henry, "H"),
            tolerance::suffix(tolerance)
        ),
        format!(
            "{why}; {}",
            e_series::remark(henry, |v| engineering(v, "H"))
        ),
    )
    .value(Value::Inductance { henry, tolerance })
    .caution(letter.map_or("", |l| l.caution));
    // Real parts lie between.
    if !(5e-10..=0.1).contains(&henry) {
        draft = draft.weaker(0.02);
    }
    Some(draft)
}
