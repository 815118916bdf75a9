//! Reading unit symbols, alone and joined, and writing joined ones.
//!
//! A joined unit has at most one solidus; a denominator of several units stands in brackets
//! (SI Brochure, 9th edition, 5.2). `°C` in a joined unit means a difference, so kelvin.

use super::scripts::international;
use super::table::{ATOMS, Atom, BINARY, MONEY, PREFIXES, Prefixes, SCALES, UNCLEAR};
use super::{Unit, UnitError};
use crate::Dimension;
use crate::glyph::{fold_to_string, superscript, superscript_digit};

/// Longest text taken for a unit, in characters.
const LONGEST: usize = 48;

/// One unit symbol with its prefix.
struct Part {
    symbol: String,
    mantissa: f64,
    exponent: i32,
    offset: f64,
    dimension: Dimension,
}

pub(super) fn unit(text: &str) -> Result<Unit, UnitError> {
    let text = fold_to_string(text).replace(['×', '*'], "·");
    if text.is_empty() || text == "1" {
        return Ok(super::units::one());
    }
    if text.chars().count() > LONGEST {
        let start: String = text.chars().take(16).collect();
        return Err(unclear(
            &format!("{start}…"),
            "is too long; write a symbol such as Wh/kg",
        ));
    }
    if let Some((symbol, reason)) = UNCLEAR.iter().find(|(s, _)| *s == text) {
        return Err(unclear(symbol, reason));
    }
    match simple(&text) {
        Some(part) => {
            let factor = scale(part.mantissa, 1.0, part.exponent);
            Ok(Unit::from_parts(
                part.symbol,
                factor,
                part.offset,
                part.dimension,
            ))
        }
        None => joined(&text),
    }
}

/// Returns whether this is one symbol that is written with a space (`dB SPL`, `V DC`).
pub(crate) fn has_spaced_word(text: &str) -> bool {
    text.contains(' ') && simple(text).is_some()
}

/// Returns the currency of a spelling that may stand before its number (`€`, `USD`).
pub(crate) fn money_prefix(text: &str) -> Option<Unit> {
    let (currency, _) = MONEY.iter().find(|(_, names)| names.contains(&text))?;
    Some(super::units::money(*currency))
}

fn unclear(symbol: &str, reason: &str) -> UnitError {
    UnitError::Unclear {
        symbol: symbol.to_string(),
        reason: reason.to_string(),
    }
}

/// Returns `mantissa / divisor × 10^exponent` with the decimal part rounded once.
fn scale(mantissa: f64, divisor: f64, exponent: i32) -> f64 {
    let decimal: f64 = format!("{mantissa}e{exponent}").parse().unwrap_or(f64::NAN);
    decimal / divisor
}

/// Finds a symbol or word without joins: exact first, then with a prefix, so that `min` is a
/// minute and `cd` a candela.
fn simple(text: &str) -> Option<Part> {
    let translated = international(text);
    let text = translated.as_deref().unwrap_or(text);
    let plain = |atom: &Atom| Part {
        symbol: atom.symbols[0].to_string(),
        mantissa: atom.mantissa,
        exponent: atom.exponent,
        offset: atom.offset,
        dimension: atom.dimension,
    };
    let is_word = |w: &str| w == text || (w.len() > 3 && w.eq_ignore_ascii_case(text));
    let known = |a: &&Atom| a.symbols.contains(&text) || a.words.iter().any(|w| is_word(w));
    if let Some(atom) = ATOMS.iter().chain(&SCALES).find(known) {
        return Some(plain(atom));
    }
    if let Some((currency, _)) = MONEY.iter().find(|(_, names)| names.contains(&text)) {
        return Some(Part {
            symbol: currency.code().to_string(),
            mantissa: 1.0,
            exponent: 0,
            offset: 0.0,
            dimension: Dimension::money(*currency),
        });
    }
    for (prefix, exponent) in PREFIXES {
        let Some(rest) = text.strip_prefix(prefix) else {
            continue;
        };
        let takes = |a: &&Atom| a.symbols.contains(&rest) && allowed(a.prefixes, exponent);
        if let Some(atom) = ATOMS.iter().find(takes) {
            let mut part = plain(atom);
            part.symbol
                .insert_str(0, if prefix == "u" { "µ" } else { prefix });
            part.exponent += exponent;
            return Some(part);
        }
    }
    for (prefix, factor) in BINARY {
        let Some(rest) = text.strip_prefix(prefix) else {
            continue;
        };
        let takes = |a: &&Atom| a.symbols.contains(&rest) && a.prefixes == Prefixes::Binary;
        if let Some(atom) = ATOMS.iter().find(takes) {
            let mut part = plain(atom);
            part.symbol.insert_str(0, prefix);
            part.mantissa *= factor;
            return Some(part);
        }
    }
    None
}

fn allowed(prefixes: Prefixes, exponent: i32) -> bool {
    match prefixes {
        Prefixes::No => false,
        Prefixes::All => true,
        Prefixes::Large | Prefixes::Binary => exponent >= 3,
        Prefixes::UpToKilo => (-9..=3).contains(&exponent) && exponent % 3 == 0,
    }
}

/// Reads products, powers and one quotient.
fn joined(text: &str) -> Result<Unit, UnitError> {
    let text = text.replace(" per ", "/");
    let (above, below) = match text.split_once('/') {
        Some((a, b)) => (a.trim(), Some(b.trim())),
        None => (&*text, None),
    };
    let mut parts: Vec<(Part, i8)> = Vec::new();
    if above != "1" {
        parts.extend(product(above)?);
    }
    if let Some(below) = below {
        if below.contains('/') {
            return Err(unclear(&text, "has two strokes; write one, as in W/(m²·K)"));
        }
        let bracketed = below.strip_prefix('(').and_then(|b| b.strip_suffix(')'));
        let factors = product(bracketed.unwrap_or(below))?;
        if factors.len() > 1 && bracketed.is_none() {
            return Err(unclear(
                &text,
                "needs brackets below the stroke, as in W/(m²·K)",
            ));
        }
        parts.extend(factors.into_iter().map(|(p, e)| (p, -e)));
    }
    let (mut mantissa, mut divisor, mut exponent) = (1.0, 1.0, 0);
    let mut dimension = Dimension::NONE;
    for (part, e) in &parts {
        let power = part.mantissa.powi(i32::from(e.abs()));
        *if *e > 0 { &mut mantissa } else { &mut divisor } *= power;
        exponent += part.exponent * i32::from(*e);
        dimension = dimension * part.dimension.powi(*e);
    }
    let factor = scale(mantissa, divisor, exponent);
    if !factor.is_normal() {
        return Err(unclear(&text, "is out of range"));
    }
    let symbol = join(parts.iter().map(|(p, e)| (&*p.symbol, *e)));
    Ok(Unit::from_parts(symbol, factor, 0.0, dimension))
}

/// Reads factors separated by spaces, dots or crosses.
fn product(text: &str) -> Result<Vec<(Part, i8)>, UnitError> {
    // `W·h/kg` is `Wh/kg`.
    if let Some(part) = joinable(text) {
        return Ok(vec![(part, 1)]);
    }
    let factors: Vec<&str> = text
        .split([' ', '·'])
        .filter(|factor| !factor.is_empty())
        .collect();
    if factors.is_empty() {
        return Err(unclear(text, "has nothing on one side of the stroke"));
    }
    factors.into_iter().map(factor).collect()
}

/// Reads a symbol with an exponent: `mm²`, `mm2`, `mm^2`, `s⁻¹`, `s^-1`.
fn factor(text: &str) -> Result<(Part, i8), UnitError> {
    let is_exponent =
        |c: char| c.is_ascii_digit() || "^+-⁺⁻".contains(c) || superscript_digit(c).is_some();
    let base = text.trim_end_matches(is_exponent);
    let exponent: String = text[base.len()..]
        .trim_start_matches('^')
        .chars()
        .map(|c| match superscript_digit(c) {
            Some(d) => char::from(b'0' + d),
            None if c == '⁻' => '-',
            None => c,
        })
        .collect();
    if let Some((symbol, reason)) = UNCLEAR.iter().find(|(s, _)| *s == base) {
        return Err(unclear(symbol, reason));
    }
    let part = joinable(base).ok_or_else(|| unknown(text, base))?;
    if exponent.is_empty() {
        return Ok((part, 1));
    }
    match exponent.parse::<i8>() {
        Ok(e @ (-9..=-1 | 1..=9)) => Ok((part, e)),
        _ => Err(unclear(
            text,
            "has an exponent that is not a whole number from 1 to 9",
        )),
    }
}

/// Finds a symbol that may stand in a joined unit: it has a printed form and no zero of its own.
fn joinable(text: &str) -> Option<Part> {
    let mut part = simple(text).filter(|part| !part.symbol.is_empty())?;
    if part.symbol == "°C" {
        part.symbol = "K".to_string();
    }
    part.offset = 0.0;
    Some(part)
}

fn unknown(text: &str, base: &str) -> UnitError {
    UnitError::Unknown {
        symbol: text.to_string(),
        part: base.to_string(),
    }
}

/// Returns the nearest symbol known: the same letters in another case first, then one slip away.
pub(super) fn nearest(text: &str) -> Option<String> {
    let length = text.chars().count();
    if length == 0 || length > 16 {
        return None;
    }
    let mut near: Option<(usize, String)> = None;
    let mut consider = |spelling: &str, printed: String| {
        let distance = if spelling.to_lowercase() == text.to_lowercase() {
            0
        } else if length < 3 || spelling.chars().count() < 2 {
            return;
        } else {
            1 + strsim::osa_distance(spelling, text)
        };
        let limit = 2 + length / 6;
        if distance <= limit && near.as_ref().is_none_or(|(d, _)| distance < *d) {
            near = Some((distance, printed));
        }
    };
    for atom in ATOMS
        .iter()
        .chain(&SCALES)
        .filter(|a| !a.symbols[0].is_empty())
    {
        for spelling in atom.symbols.iter().chain(atom.words) {
            consider(spelling, atom.symbols[0].to_string());
        }
        for (prefix, exponent) in [
            ("m", -3),
            ("k", 3),
            ("µ", -6),
            ("n", -9),
            ("M", 6),
            ("G", 9),
        ] {
            if allowed(atom.prefixes, exponent) {
                for symbol in atom.symbols {
                    consider(
                        &format!("{prefix}{symbol}"),
                        format!("{prefix}{}", atom.symbols[0]),
                    );
                }
            }
        }
    }
    for (currency, names) in MONEY {
        for name in names {
            consider(name, currency.code().to_string());
        }
    }
    near.map(|(_, symbol)| symbol)
}

/// Writes factors as one symbol: `m²·kg/(s³·A)`; without any above the stroke `s⁻¹`.
fn join<'a>(factors: impl Iterator<Item = (&'a str, i8)> + Clone) -> String {
    let write = |(symbol, e): (&str, i8)| match e {
        1 => symbol.to_string(),
        _ => format!("{symbol}{}", superscript(e.into())),
    };
    let above: Vec<String> = factors.clone().filter(|(_, e)| *e > 0).map(write).collect();
    if above.is_empty() {
        return factors.map(write).collect::<Vec<_>>().join("·");
    }
    let below: Vec<String> = factors
        .filter(|(_, e)| *e < 0)
        .map(|(s, e)| write((s, e.saturating_neg())))
        .collect();
    match &*below {
        [] => above.join("·"),
        [one] => format!("{}/{one}", above.join("·")),
        many => format!("{}/({})", above.join("·"), many.join("·")),
    }
}

/// Returns the usual symbol of the coherent unit: a named unit, else base units joined.
pub(super) fn coherent_symbol(dimension: Dimension) -> String {
    const NAMED: [(Dimension, &str); 12] = [
        (Dimension::FREQUENCY, "Hz"),
        (Dimension::CHARGE, "C"),
        (Dimension::VOLTAGE, "V"),
        (Dimension::ENERGY, "J"),
        (Dimension::POWER, "W"),
        (Dimension::RESISTANCE, "Ω"),
        (Dimension::CAPACITANCE, "F"),
        (Dimension::INDUCTANCE, "H"),
        (Dimension::PRESSURE, "Pa"),
        (Dimension::SPECIFIC_ENERGY, "J/kg"),
        (Dimension::of(&[1, 1, -2]), "N"),
        (Dimension::of(&[-2, -1, 3, 2]), "S"),
    ];
    match NAMED.iter().find(|(d, _)| *d == dimension) {
        Some((_, symbol)) => (*symbol).to_string(),
        None => join(dimension.exponents().collect::<Vec<_>>().into_iter()),
    }
}
