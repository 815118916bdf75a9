//! One row of a price book, from its cells.

use super::columns::Column;
use super::kinds::{Kind, Says};
use super::{Confidence, Entry, Value};
use crate::Ladder;
use crate::placement::Attrition;
use catalogue::{Loss, Remark, TextRow};
use jiff::civil::Date;
use quantity::{Currency, Unit};
use std::collections::BTreeMap;

/// Why a cell cannot be used: its column, reason, remedy.
struct Fault(Column, String, String);

fn fault<T>(column: Column, why: impl Into<String>, remedy: impl Into<String>) -> Result<T, Fault> {
    Err(Fault(column, why.into(), remedy.into()))
}

/// Reads a row.
pub(super) fn entry(
    row: &TextRow,
    columns: &[Option<Column>],
    headings: &[String],
    file: &str,
) -> Result<Entry, Remark> {
    let at = |column: Column| columns.iter().position(|c| *c == Some(column));
    let cell = |column: Column| {
        let text = at(column).and_then(|at| row.cells.get(at));
        text.map(|text| text.trim()).unwrap_or_default()
    };
    taken(&cell, file, row.line).map_err(|Fault(column, why, remedy)| Remark {
        file: file.to_string(),
        line: row.line,
        column: at(column)
            .and_then(|at| headings.get(at))
            .map_or_else(|| column.heading().to_string(), Clone::clone),
        loss: Loss::Row,
        why,
        remedy,
    })
}

fn taken<'a>(cell: &impl Fn(Column) -> &'a str, file: &str, line: u64) -> Result<Entry, Fault> {
    let kind = kind(cell(Column::Of))?;
    let says = kind.says();
    let currency = match (says, kind) {
        (Says::Prices(_), _) | (_, Kind::Rate) => Some(currency(cell(Column::Currency))?),
        _ => None,
    };
    let value = value(says, cell(Column::Value), cell(Column::Per))?;
    let confidence = confidence(cell(Column::Confidence))?;
    let within = match cell(Column::Within) {
        "" if confidence == Confidence::Estimate && !matches!(says, Says::Settings(_)) => {
            return fault(
                Column::Within,
                "an estimate without a spread would count as exact",
                "write within which share it lies 8 times in 10, as “30 %”",
            );
        }
        "" => 0.0,
        text => share(Column::Within, text)?,
    };
    if !(0.0..10.0).contains(&within) {
        return fault(
            Column::Within,
            "a spread of tenfold says nothing",
            "write a share below 1000 %",
        );
    }
    let optional = |column: Column| match cell(column) {
        "" => Ok(None),
        text => number(column, text).and_then(|x| match x > 0.0 {
            true => Ok(Some(x)),
            false => fault(
                column,
                format!("“{text}” is not above zero"),
                "write a number above zero",
            ),
        }),
    };
    let series = cell(Column::Series);
    Ok(Entry {
        kind,
        name: cell(Column::Name).to_string(),
        value,
        currency,
        within,
        confidence,
        date: date(cell(Column::Date))?,
        source: cell(Column::Source).to_string(),
        series: (!series.is_empty()).then(|| series.to_string()),
        life: optional(Column::Life)?,
        weight: optional(Column::Weight)?,
        attrition: attrition(cell(Column::Loss))?,
        file: file.to_string(),
        line,
    })
}

fn kind(text: &str) -> Result<Kind, Fault> {
    let folded = super::folded(text);
    let known = Kind::ALL
        .iter()
        .find(|(_, word)| super::folded(word) == folded);
    match known {
        Some((kind, _)) => Ok(*kind),
        None => {
            let words: Vec<&str> = Kind::ALL.iter().map(|(_, word)| *word).collect();
            fault(
                Column::Of,
                format!("{} is nothing that has a price here", shown(text)),
                format!("write one of {}", words.join(", ")),
            )
        }
    }
}

fn currency(text: &str) -> Result<Currency, Fault> {
    let known = Currency::ALL
        .into_iter()
        .find(|c| c.code().eq_ignore_ascii_case(text));
    known.map_or_else(
        || {
            let codes: Vec<&str> = Currency::ALL.iter().map(|c| c.code()).collect();
            let why = match text {
                "" => "a price without a currency".to_string(),
                _ => format!("{} is no currency that is known here", shown(text)),
            };
            fault(
                Column::Currency,
                why,
                format!(
                    "write one of {}, or convert the price and say so in its source",
                    codes.join(", ")
                ),
            )
        },
        Ok,
    )
}

fn confidence(text: &str) -> Result<Confidence, Fault> {
    let all = [Confidence::Quote, Confidence::List, Confidence::Estimate];
    match all
        .into_iter()
        .find(|c| c.word().eq_ignore_ascii_case(text))
    {
        Some(known) => Ok(known),
        // What nobody stands behind is an estimate.
        None if text.is_empty() => Ok(Confidence::Estimate),
        None => fault(
            Column::Confidence,
            format!("{} is no confidence", shown(text)),
            "write quote, list or estimate",
        ),
    }
}

fn date(text: &str) -> Result<Option<Date>, Fault> {
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<Date>() {
        Ok(date) => Ok(Some(date)),
        Err(_) => fault(
            Column::Date,
            format!("{} is no day", shown(text)),
            "write year, month and day, as 2026-05-31",
        ),
    }
}

/// Reads `2 %` or `2 %, at least 10`.
fn attrition(text: &str) -> Result<Option<Attrition>, Fault> {
    if text.is_empty() {
        return Ok(None);
    }
    let (lost, least) = text.split_once(',').unwrap_or((text, ""));
    let least = least.trim().trim_start_matches("at least").trim();
    let share = share(Column::Loss, lost.trim())?;
    let least = if least.is_empty() {
        0.0
    } else {
        number(Column::Loss, least)?
    };
    if share < 0.0 || least < 0.0 {
        return fault(
            Column::Loss,
            "a loss below zero",
            "write a share, as “2 %, at least 10”",
        );
    }
    Ok(Some(Attrition { share, least }))
}

fn value(says: Says, text: &str, per: &str) -> Result<Value, Fault> {
    match says {
        Says::Prices(unit) => prices(text, factor(per, unit)?),
        Says::Seconds => Ok(Value::Number(
            above_zero(text, "seconds")? * factor(per, "s")?.recip(),
        )),
        Says::Factor => Ok(Value::Number(above_zero(text, "a factor")?)),
        Says::Share => match share(Column::Value, text)? {
            share if (0.0..=1.0).contains(&share) => Ok(Value::Number(share)),
            _ => fault(
                Column::Value,
                format!("{} is no share from 0 to 1", shown(text)),
                "write it as “98 %” or 0.98",
            ),
        },
        Says::Settings(names) => settings(text, names),
    }
}

/// Returns by what a price per `per` is divided to be one per `unit`.
fn factor(per: &str, unit: &str) -> Result<f64, Fault> {
    let pieces = ["", "piece", "pieces", "pcs", "pc", "each", "1"];
    if per.is_empty() || per == unit || (unit.is_empty() && pieces.contains(&per)) {
        return Ok(1.0);
    }
    let (count, symbol) = match per.split_once(' ') {
        Some((count, symbol)) if count.parse::<f64>().is_ok() => (count, symbol.trim()),
        _ if per.parse::<f64>().is_ok() => (per, ""),
        _ => ("1", per),
    };
    let count = count.parse::<f64>().unwrap_or(f64::NAN);
    let wrong = || {
        let wanted = if unit.is_empty() { "pieces" } else { unit };
        fault(
            Column::Per,
            format!("{} cannot be told in {wanted}", shown(per)),
            format!("leave it empty for a price per {wanted}"),
        )
    };
    let size = match (unit, symbol) {
        ("", symbol) if pieces.contains(&symbol) => 1.0,
        _ => match (Unit::parse(symbol), Unit::parse(unit)) {
            (Ok(own), Ok(wanted)) if own.dimension() == wanted.dimension() => {
                own.factor() / wanted.factor()
            }
            _ => return wrong(),
        },
    };
    match count * size {
        factor if factor > 0.0 && factor.is_finite() => Ok(factor),
        _ => wrong(),
    }
}

/// Reads `0.42` or `1: 1.00 | 10: 0.80 | 100: 0.55`.
fn prices(text: &str, per: f64) -> Result<Value, Fault> {
    let remedy = "write a price, or “1: 1.00 | 10: 0.80”, from which quantity each holds";
    if text.is_empty() {
        return fault(Column::Value, "there is no price", remedy);
    }
    let breaks = pairs(text);
    let breaks: Result<Vec<(f64, f64)>, Fault> = match breaks.as_slice() {
        [("", price)] => Ok(vec![(1.0, number(Column::Value, price)? / per)]),
        all => all
            .iter()
            .map(|(from, price)| {
                let price = number(Column::Value, price)? / per;
                Ok((number(Column::Value, from)? * per, price))
            })
            .collect(),
    };
    Ladder::new(breaks?)
        .map(Value::Prices)
        .or_else(|error| fault(Column::Value, format!("{}: {error}", shown(text)), remedy))
}

fn settings(text: &str, names: &[&str]) -> Result<Value, Fault> {
    let mut all = BTreeMap::new();
    for (name, value) in pairs(text) {
        if !names.contains(&name) {
            return fault(
                Column::Value,
                format!("{} is not among its settings", shown(name)),
                format!(
                    "write numbers for {}, as “{} = 1 | …”",
                    names.join(", "),
                    names[0]
                ),
            );
        }
        all.insert(name.to_string(), number(Column::Value, value)?);
    }
    Ok(Value::Settings(all))
}

/// Splits `a: 1 | b = 2`; a text without sign has no name.
fn pairs(text: &str) -> Vec<(&str, &str)> {
    let pair = |piece: &'_ str| -> (usize, usize) {
        piece.find([':', '=']).map_or((0, 0), |at| (at, at + 1))
    };
    text.split('|')
        .map(|piece| {
            let (end, from) = pair(piece);
            (piece[..end].trim(), piece[from..].trim())
        })
        .collect()
}

fn above_zero(text: &str, what: &str) -> Result<f64, Fault> {
    match number(Column::Value, text)? {
        x if x > 0.0 => Ok(x),
        _ => fault(
            Column::Value,
            format!("{} is not above zero", shown(text)),
            format!("write {what} above zero"),
        ),
    }
}

/// Reads `30 %`, `± 30 %` or `0.3`.
fn share(column: Column, text: &str) -> Result<f64, Fault> {
    let bare = text.trim_start_matches(['±', '+', '-', ' ']);
    let negative = text.starts_with('-');
    let value = match bare.strip_suffix('%') {
        Some(percent) => number(column, percent.trim())? / 100.0,
        None => number(column, bare)?,
    };
    Ok(if negative { -value } else { value })
}

fn number(column: Column, text: &str) -> Result<f64, Fault> {
    match text.trim().parse::<f64>() {
        Ok(x) if x.is_finite() => Ok(x),
        _ => fault(
            column,
            format!("{} is no number", shown(text)),
            "write digits with a decimal point, without thousands",
        ),
    }
}

/// A piece of a cell, quoted and cut.
fn shown(text: &str) -> String {
    let mut cut: String = text.chars().take(40).collect();
    if cut.len() < text.len() {
        cut.push('…');
    }
    format!("{cut:?}")
}
