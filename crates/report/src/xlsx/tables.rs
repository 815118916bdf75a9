//! The sheets of parts, masses, steps and readings.

use super::sheet::{Cell, Sheet};
use crate::csv::{PART_HEADINGS, fields, part_rows};
use crate::digits;
use crate::words::Words as _;
use methods::{Detail, Findings, MassRow, StepRow};
use quantity::{Stated, Unit};
use record::{Dossier, Reading};

/// Makes the sheet of parts.
pub(super) fn parts(findings: &Findings) -> Sheet {
    const WIDTHS: [f64; 14] = [
        18.0, 28.0, 12.0, 22.0, 7.0, 22.0, 20.0, 14.0, 18.0, 18.0, 11.0, 11.0, 40.0, 30.0,
    ];
    let columns = PART_HEADINGS
        .iter()
        .zip(WIDTHS)
        .map(|(h, w)| (h[..1].to_uppercase() + &h[1..], w))
        .collect();
    let rows = part_rows(findings)
        .map(|part| {
            let mut row: Vec<Cell> = fields(part).into_iter().map(Cell::text).collect();
            row[4] = Cell::Number(f64::from(part.count), 0);
            if let Some(probability) = part.probability {
                row[11] = Cell::Number(probability, 3);
            }
            row
        })
        .collect();
    Sheet {
        name: "Parts",
        columns,
        rows,
    }
}

/// Makes the sheet of masses.
pub(super) fn masses(findings: &Findings) -> Sheet {
    const COLUMNS: [(&str, f64); 10] = [
        ("Name", 34.0),
        ("Item", 18.0),
        ("Inside", 18.0),
        ("As weighed / g", 11.0),
        ("As weighed, standard uncertainty / g", 13.0),
        ("Adjusted / g", 11.0),
        ("Adjusted, standard uncertainty / g", 13.0),
        ("Test statistic", 10.0),
        ("Flagged", 9.0),
        ("Inferred, not weighed", 10.0),
    ];
    let rows = findings
        .findings
        .iter()
        .flat_map(|f| &f.details)
        .filter_map(|d| {
            if let Detail::Masses { rows } = d {
                Some(rows)
            } else {
                None
            }
        })
        .flatten()
        .map(mass)
        .collect();
    Sheet::new("Masses", &COLUMNS, rows)
}

fn mass(row: &MassRow) -> Vec<Cell> {
    let pair = |mass: Option<(f64, f64)>| {
        mass.map_or([Cell::Empty, Cell::Empty], |(value, u)| {
            let decimals = digits::decimals(u).unwrap_or_else(|| digits::carried(value));
            [Cell::number(value, decimals), Cell::number(u, decimals)]
        })
    };
    let [weighed, weighed_u] = pair(row.measured);
    let [adjusted, adjusted_u] = pair(row.adjusted);
    vec![
        Cell::Indented(
            row.name.clone(),
            u8::try_from(row.depth).unwrap_or(u8::MAX).min(15),
        ),
        Cell::text(&row.item),
        Cell::optional(row.parent.as_deref()),
        weighed,
        weighed_u,
        adjusted,
        adjusted_u,
        row.z.map_or(Cell::Empty, |z| Cell::number(z, 2)),
        yes(row.flagged),
        yes(row.inferred),
    ]
}

/// Makes the sheet of steps.
pub(super) fn steps(dossier: &Dossier, findings: &Findings) -> Sheet {
    const COLUMNS: [(&str, f64); 12] = [
        ("Number", 8.0),
        ("Step", 18.0),
        ("Action", 11.0),
        ("In words", 48.0),
        ("Tool", 20.0),
        ("Temperature / °C", 12.0),
        ("Duration / min", 10.0),
        ("Fasteners undone", 10.0),
        ("Frees", 30.0),
        ("Destroys", 24.0),
        ("Can be undone", 14.0),
        ("Cautions", 50.0),
    ];
    let rows = findings
        .findings
        .iter()
        .flat_map(|f| &f.details)
        .filter_map(|d| {
            if let Detail::Steps { rows } = d {
                Some(rows)
            } else {
                None
            }
        })
        .flatten()
        .map(|row| step(dossier, row))
        .collect();
    Sheet::new("Steps", &COLUMNS, rows)
}

fn step(dossier: &Dossier, row: &StepRow) -> Vec<Cell> {
    let celsius = dossier
        .step(&row.step)
        .and_then(|s| s.temperature.as_ref())
        .and_then(|t| {
            let unit = Unit::parse("°C")
                .ok()
                .filter(|u| u.dimension() == t.dimension())?;
            let value = unit.of_si(t.si());
            Some(Cell::number(value, digits::carried(value)))
        });
    vec![
        Cell::count(row.number),
        Cell::text(&row.step),
        Cell::text(row.action.replace('-', " ")),
        Cell::text(&row.text),
        Cell::text(&row.tool),
        celsius.unwrap_or_else(|| Cell::text(&row.temperature)),
        row.duration_min
            .map_or(Cell::Empty, |m| Cell::number(m, digits::carried(m))),
        Cell::Number(f64::from(row.fasteners), 0),
        Cell::text(row.frees.join(", ")),
        Cell::text(row.destroys.join(", ")),
        Cell::text(&row.undo),
        Cell::text(row.cautions.join("\n")),
    ]
}

/// Makes the sheet of readings.
pub(super) fn readings(dossier: &Dossier) -> Sheet {
    const COLUMNS: [(&str, f64); 16] = [
        ("Reading", 20.0),
        ("Item", 18.0),
        ("Name", 26.0),
        ("What", 14.0),
        ("Mode of use", 16.0),
        ("Value", 11.0),
        ("Unit of value", 9.0),
        ("As written", 16.0),
        ("Instrument", 22.0),
        ("Resolution", 11.0),
        ("Limit of error", 11.0),
        ("Pieces together", 9.0),
        ("Before step", 16.0),
        ("After step", 16.0),
        ("Without", 22.0),
        ("Evidence and notes", 36.0),
    ];
    let rows = dossier
        .readings
        .iter()
        .map(|r| reading(dossier, r))
        .collect();
    Sheet::new("Readings", &COLUMNS, rows)
}

fn reading(dossier: &Dossier, reading: &Reading) -> Vec<Cell> {
    let instrument = reading
        .instrument
        .as_deref()
        .and_then(|id| dossier.instrument(id));
    let text = |stated: Option<&Stated>| Cell::optional(stated.map(|s| s.text.as_str()));
    let seen = reading
        .evidence
        .iter()
        .map(|e| e.0.as_str())
        .chain(reading.note.as_deref());
    vec![
        Cell::text(&reading.id),
        Cell::text(&reading.item),
        Cell::optional(dossier.item(&reading.item).map(|i| i.name.as_str())),
        Cell::text(reading.what.words()),
        Cell::optional(reading.mode.as_deref()),
        Cell::number(reading.value.value, decimals_as_written(&reading.value)),
        Cell::text(reading.value.unit.symbol()),
        Cell::text(&reading.value.text),
        Cell::optional(
            instrument
                .map(|i| i.name.as_str())
                .or(reading.instrument.as_deref()),
        ),
        text(instrument.and_then(|i| i.resolution.as_ref())),
        text(instrument.and_then(|i| i.accuracy.as_ref())),
        reading
            .pieces
            .map_or(Cell::Empty, |n| Cell::Number(f64::from(n), 0)),
        Cell::optional(reading.before.as_deref()),
        Cell::optional(reading.after.as_deref()),
        Cell::text(reading.without.join(", ")),
        Cell::text(seen.collect::<Vec<_>>().join("; ")),
    ]
}

/// Returns the decimals that a stated figure was written with.
pub(super) fn decimals_as_written(stated: &Stated) -> usize {
    // The place value of the last digit is a power of ten, shown with its own decimals.
    digits::carried(stated.last_digit)
}

fn yes(truth: bool) -> Cell {
    if truth {
        Cell::text("yes")
    } else {
        Cell::Empty
    }
}
