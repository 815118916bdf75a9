//! The unit of a column that states none, and where a meter sat.
//!
//! In: the numbers of the first rows. Out: a unit or a seat, with the reason. Not here: names (`names`).

use super::{Seen, median};
use crate::head::Head;
use crate::mapping::{Channel, Column, Decimal, Seat};
use crate::names::{self, Held};
use crate::number;

/// Numbers above this are thousandths, for a quantity: no cell, pack or USB source has so many units of it.
fn most(held: Held) -> f64 {
    match held {
        Held::Voltage => 200.0,
        Held::Current => 50.0,
        Held::Power => 500.0,
        _ => f64::INFINITY,
    }
}

/// Returns the unit of a column, and why where its name does not say it.
pub(super) fn unit(
    head: &Head,
    column: &Seen,
    held: Held,
    decimal: Decimal,
) -> (&'static str, Option<String>) {
    if let Some(unit) = column.heading.unit {
        return (unit, None);
    }
    let suffix = head
        .data()
        .first()
        .and_then(|row| number::read(row.cell(column.index), decimal))
        .and_then(|(_, suffix)| names::unit(suffix))
        .filter(|(_, measured, _)| *measured == names::measures(held));
    if let Some((unit, ..)) = suffix {
        return (unit, Some("it stands behind the numbers".into()));
    }
    let numbers = values(head, column.index, decimal);
    let large = median(&numbers.iter().map(|value| value.abs()).collect::<Vec<_>>()) > most(held);
    let (whole, thousandth) = match names::measures(held) {
        Held::Voltage => ("V", "mV"),
        Held::Current => ("A", "mA"),
        Held::Power => ("W", "mW"),
        Held::Charge => ("Ah", "Ah"),
        Held::Energy => ("Wh", "Wh"),
        Held::Temperature => ("°C", "°C"),
        _ => ("", ""),
    };
    if large {
        let why = "no unit is stated, and the numbers are too large for the whole unit";
        return (thousandth, Some(why.into()));
    }
    let why = "no unit is stated, and the numbers fit this one";
    (
        whole,
        matches!(
            held,
            Held::Charge | Held::Discharge | Held::Energy | Held::EnergyOut
        )
        .then(|| why.into()),
    )
}

fn values(head: &Head, index: usize, decimal: Decimal) -> Vec<f64> {
    head.data()
        .iter()
        .filter_map(|row| number::read(row.cell(index), decimal))
        .map(|(value, _)| value)
        .collect()
}

/// Returns where a channel sat, by its name or its voltage.
pub(super) fn seat(head: &Head, channel: &Channel, decimal: Decimal) -> (Seat, String) {
    match channel.name.as_str() {
        "cell" => return (Seat::Cell, "at the cell, by its name".into()),
        "in" => return (Seat::Socket, "at the input, by its name".into()),
        "out" => return (Seat::Output, "at an output, by its name".into()),
        _ => {}
    }
    let Some(Column { index, unit, .. }) = &channel.voltage else {
        return (Seat::Unknown, "no voltage tells where the meter sat".into());
    };
    let factor = names::unit(unit).map_or(1.0, |(.., factor)| factor);
    let volts: Vec<f64> = values(head, *index, decimal)
        .iter()
        .map(|value| value * factor)
        .collect();
    let middle = median(&volts);
    // USB sources are fixed at 5, 9, 12, 15 or 20 V; a lithium cell ends below 4.6 V.
    if (1.5..4.6).contains(&middle) {
        return (
            Seat::Cell,
            format!("at the cell: {middle:.2} V are the voltage of one"),
        );
    }
    let fixed = [5.0, 9.0, 12.0, 15.0, 20.0];
    if fixed
        .iter()
        .any(|nominal| (middle / nominal - 1.0).abs() < 0.05)
    {
        return (
            Seat::Socket,
            format!(
                "at the socket: {middle:.2} V are the voltage of a USB source; say so if it was a pack"
            ),
        );
    }
    (
        Seat::Unknown,
        format!("{middle:.2} V do not tell whether the meter sat at a cell or at a socket"),
    )
}
