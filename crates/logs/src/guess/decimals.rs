//! Which character begins the decimals of numbers.
//!
//! In: the first rows. Out: the character, with the reason. One separator with three digits behind it does not tell:
//! then the voltage decides, because `3,700` volts are no cell and 3.7 are one. Not here: reading numbers (`number`).

use super::{Seen, median};
use crate::head::Head;
use crate::mapping::{Decimal, Delimiter, Reason};
use crate::names::{self, Held};
use crate::number;

/// Volts that cells, packs and sockets have.
const PLAUSIBLE_V: std::ops::RangeInclusive<f64> = 0.5..=120.0;

pub(super) fn decimal(head: &Head, seen: &[Seen], reasons: &mut Vec<Reason>) -> Decimal {
    let (mut points, mut commas, mut open_commas) = (0, 0, 0);
    for row in head.data() {
        for column in seen {
            let cell = row.cell(column.index);
            if cell.is_empty() || cell.contains(':') || crate::clock::Written::read(cell).is_some()
            {
                continue;
            }
            match (cell.rfind('.'), cell.rfind(',')) {
                (Some(point), Some(comma)) if point > comma => points += 1,
                (Some(_), Some(_)) => commas += 1,
                (Some(_), None) => points += 1,
                (None, Some(_)) if number::is_open(cell, ',') => open_commas += 1,
                (None, Some(_)) => commas += 1,
                (None, None) => {}
            }
        }
    }
    if commas > points {
        if open_commas + commas > 0 {
            reasons.push(Reason::sure("decimals", "decimals begin with a comma"));
        }
        return Decimal::Comma;
    }
    if points > 0 || head.delimiter == Delimiter::Comma || open_commas == 0 {
        // Three digits behind a lone point are decimals: points that group thousands stand beside decimal commas.
        return Decimal::Point;
    }
    let volts = |decimal| middle_voltage(head, seen, decimal);
    let fits = |decimal| volts(decimal).is_some_and(|volts| PLAUSIBLE_V.contains(&volts));
    match (fits(Decimal::Comma), fits(Decimal::Point)) {
        (false, true) => {
            reasons.push(Reason::unsure(
                "decimals",
                "commas group thousands: the digits alone do not tell, read so the voltage is one that cells have",
            ));
            Decimal::Point
        }
        (true, _) => {
            reasons.push(Reason::unsure(
                "decimals",
                "decimals begin with a comma: the digits alone do not tell, read so the voltage is one that cells have",
            ));
            Decimal::Comma
        }
        (false, false) => {
            reasons.push(Reason::unsure(
                "decimals",
                "decimals begin with a comma: nothing in the file tells",
            ));
            Decimal::Comma
        }
    }
}

fn middle_voltage(head: &Head, seen: &[Seen], decimal: Decimal) -> Option<f64> {
    let column = seen
        .iter()
        .find(|column| column.heading.held == Some(Held::Voltage))?;
    let factor = column
        .heading
        .unit
        .and_then(names::unit)
        .map_or(1.0, |(.., factor)| factor);
    let numbers: Vec<f64> = head
        .data()
        .iter()
        .filter_map(|row| number::read(row.cell(column.index), decimal))
        .map(|(value, _)| value * factor)
        .collect();
    Some(median(&numbers))
}
