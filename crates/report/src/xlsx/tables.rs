//! The sheets of parts, masses, steps and readings.

use super::sheet::Sheet;
use super::value::full;
use crate::compose::value_and_half;
use crate::csv::{PartColumn, part_columns, part_rows};
use crate::words::Words as _;
use methods::{Cell, Column, Detail, Findings, MassRow, StepRow};
use quantity::units;
use record::{Dossier, Place, Reading};

/// Makes the sheet of parts.
pub(super) fn parts(findings: &Findings) -> Sheet {
    const WIDTHS: [f64; 12] = [
        28.0, 12.0, 22.0, 7.0, 22.0, 20.0, 14.0, 18.0, 18.0, 11.0, 11.0, 40.0,
    ];
    let columns = part_columns();
    let rows = part_rows(findings).map(|part| columns.iter().map(|c| (c.cell)(part)).collect());
    let rows = rows.collect();
    let headed = |c: PartColumn| {
        let heading = methods::words::capital(&c.column.heading);
        Column {
            heading,
            ..c.column
        }
    };
    Sheet::new(
        "Parts",
        columns.into_iter().map(headed).zip(WIDTHS).collect(),
        rows,
    )
}

/// Makes the sheet of masses.
pub(super) fn masses(findings: &Findings) -> Sheet {
    let grams = |heading: &str| Column::in_unit(heading, units::gram());
    let columns = vec![
        (Column::words("Name"), 34.0),
        (Column::words("Inside"), 30.0),
        (grams("As weighed"), 11.0),
        (grams("As weighed, ± (95 %)"), 13.0),
        (grams("Adjusted"), 11.0),
        (grams("Adjusted, ± (95 %)"), 13.0),
        (Column::number("Adjusted, full value / g"), 14.0),
        (Column::number("Test statistic"), 10.0),
        (Column::words("Flagged"), 9.0),
        (Column::words("Inferred, not weighed"), 10.0),
    ];
    let details = findings.findings.iter().flat_map(|f| &f.details);
    let rows = details.flat_map(|d| match d {
        Detail::Masses { rows } => rows.as_slice(),
        _ => &[],
    });
    let rows: Vec<&MassRow> = rows.collect();
    Sheet {
        depths: rows.iter().map(|row| row.depth).collect(),
        ..Sheet::new(
            "Masses",
            columns,
            rows.iter().map(|row| mass(&rows, row)).collect(),
        )
    }
}

fn mass(rows: &[&MassRow], row: &MassRow) -> Vec<Cell> {
    let parent = rows.iter().find(|r| Some(&r.item) == row.parent.as_ref());
    let [weighed, weighed_u] = value_and_half(row.measured);
    let [adjusted, adjusted_u] = value_and_half(row.adjusted);
    vec![
        Cell::words(&row.name),
        Cell::text(parent.map(|r| &r.name)),
        weighed,
        weighed_u,
        adjusted,
        adjusted_u,
        row.adjusted.map_or(Cell::Nothing, |(value, _)| full(value)),
        row.z.map_or(Cell::Nothing, |z| Cell::number(z, 1)),
        yes(row.flagged),
        yes(row.inferred),
    ]
}

/// Makes the sheet of steps.
pub(super) fn steps(findings: &Findings) -> Sheet {
    let columns = vec![
        (Column::count("Number"), 8.0),
        (Column::words("Action"), 11.0),
        (Column::words("In words"), 48.0),
        (Column::words("Tool"), 20.0),
        (Column::in_unit("Temperature", units::celsius()), 12.0),
        (Column::in_unit("Duration", units::minute()), 10.0),
        (Column::count("Fasteners undone"), 10.0),
        (Column::words("Frees"), 30.0),
        (Column::words("Destroys"), 24.0),
        (Column::words("Can be undone"), 14.0),
        (Column::words("Cautions"), 50.0),
    ];
    let details = findings.findings.iter().flat_map(|f| &f.details);
    let rows = details.flat_map(|d| match d {
        Detail::Steps { rows } => rows.as_slice(),
        _ => &[],
    });
    Sheet::new("Steps", columns, rows.map(step).collect())
}

fn step(row: &StepRow) -> Vec<Cell> {
    vec![
        Cell::count(row.number),
        Cell::words(row.action.words()),
        Cell::words(&row.text),
        Cell::words(&row.tool),
        row.temperature.clone(),
        row.duration_min
            .map_or(Cell::Nothing, |m| Cell::number(m, 1)),
        row.fasteners.clone(),
        Cell::names(&row.frees),
        Cell::names(&row.destroys),
        Cell::words(row.undo.words()),
        Cell::words(row.cautions.join("\n")),
    ]
}

/// Makes the sheet of readings.
pub(super) fn readings(dossier: &Dossier) -> Sheet {
    let columns = vec![
        (Column::count("Number"), 8.0),
        (Column::words("Name"), 26.0),
        (Column::words("What"), 14.0),
        (Column::words("Mode of use"), 16.0),
        (Column::quantity("Value"), 14.0),
        (Column::words("As written"), 16.0),
        (Column::words("Instrument"), 22.0),
        (Column::quantity("Resolution"), 11.0),
        (Column::quantity("Limit of error"), 11.0),
        (Column::count("Pieces together"), 9.0),
        (Column::count("Before step"), 9.0),
        (Column::count("After step"), 9.0),
        (Column::words("Without"), 22.0),
        (Column::quantity("Tare taken off"), 11.0),
        (Column::words("Started"), 20.0),
        (Column::words("Stopped"), 20.0),
        (Column::words("Notes"), 36.0),
    ];
    let rows = dossier.readings.iter();
    let rows = rows
        .enumerate()
        .map(|(n, r)| reading(dossier, n + 1, r))
        .collect();
    Sheet::new("Readings", columns, rows)
}

fn reading(dossier: &Dossier, number: usize, reading: &Reading) -> Vec<Cell> {
    let instrument = reading
        .instrument
        .as_deref()
        .and_then(|id| dossier.instrument(id));
    let step = |id: &Option<String>| {
        let number = id
            .as_ref()
            .and_then(|id| crate::compose::step_number(dossier, &Place::step(id)));
        number.map_or(Cell::Nothing, Cell::count)
    };
    let named = |id: &String| {
        dossier
            .item(id)
            .map_or_else(|| id.clone(), |i| i.name.clone())
    };
    vec![
        Cell::count(number),
        Cell::text(dossier.item(&reading.item).map(|i| &i.name)),
        Cell::words(reading.what.words()),
        Cell::text(reading.mode.as_ref()),
        Cell::stated(&reading.value),
        Cell::words(&reading.value.text),
        Cell::text(instrument.map(|i| &i.name).or(reading.instrument.as_ref())),
        instrument
            .and_then(|i| i.resolution.as_ref())
            .map_or(Cell::Nothing, Cell::stated),
        instrument
            .and_then(|i| i.accuracy.as_ref())
            .map_or(Cell::Nothing, Cell::stated),
        reading.pieces.map_or(Cell::Nothing, Cell::count),
        step(&reading.before),
        step(&reading.after),
        Cell::names(reading.without.iter().map(named)),
        reading.tare.as_ref().map_or(Cell::Nothing, Cell::stated),
        Cell::text(reading.started.as_ref()),
        Cell::text(reading.stopped.as_ref()),
        Cell::text(reading.note.as_ref()),
    ]
}

fn yes(truth: bool) -> Cell {
    Cell::words(if truth { "yes" } else { "" })
}
