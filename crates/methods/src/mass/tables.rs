//! The weighings and balances as tables, the masses as a chart.
//!
//! In: a solved set of masses. Out: details of findings.
//! Not here: sentences (`finding`).

use super::solution::MassSolution;
use crate::case::own_count;
use crate::{
    Axis, Cell, Chart, Column, Detail, Form, MassRow, Point, Series, Standing, Table, inputs,
};
use quantity::COVERED;
use record::{Dossier, Place};

fn grams(value: f64, uncertainty: f64) -> Cell {
    Cell::measured(value, uncertainty, inputs::unit("g"))
}

/// Every weighing: shown, what the sound weighings say, statistic.
pub(super) fn readings(dossier: &Dossier, solution: &MassSolution) -> Detail {
    let rows = solution
        .weighings
        .iter()
        .enumerate()
        .map(|(j, w)| {
            let expected = solution.expected(j);
            let remark = if !solution.kept[j] {
                "set aside"
            } else if solution.is_flagged(j) {
                "stands out"
            } else if solution.z(j) == 0.0 {
                "unchecked"
            } else {
                ""
            };
            vec![
                // Ids are for the record; the place leads to the reading.
                Cell::place(Place::reading(&w.reading), &dossier.items[w.at].name),
                grams(w.shown, w.uncertainty),
                expected.map_or_else(|| Cell::words("not known"), |(mass, u)| grams(mass, u)),
                expected.map_or(Cell::Nothing, |(mass, _)| {
                    Cell::number(mass - w.shown, 3).signed()
                }),
                Cell::number(solution.z(j), 2),
                Cell::words(remark),
            ]
        })
        .collect();
    Detail::Table(Table {
        caption: format!(
            "Weighings before and after adjustment (one stands out above |z| = {:.2}; set aside: z among all)",
            solution.critical_z()
        ),
        columns: vec![
            Column::place("Weighed"),
            Column::quantity("Shown"),
            Column::quantity("Adjusted"),
            Column::in_unit("Change", inputs::unit("g")),
            Column::number("z"),
            Column::words("Remark"),
        ],
        rows,
    })
}

/// The balance of every assembly weighed whole and in all its pieces; `None` if there is none.
pub(super) fn balances(dossier: &Dossier, solution: &MassSolution) -> Option<Detail> {
    let nodes = solution.nodes();
    let rows: Vec<Vec<Cell>> = nodes
        .iter()
        .map(|n| {
            vec![
                Cell::item(&dossier.items[n.item]),
                grams(n.residual, n.uncertainty),
                Cell::number(n.z, 2),
            ]
        })
        .collect();
    (!rows.is_empty()).then(|| {
        Detail::Table(Table {
            caption: "Balances: weighed whole minus the sum of what it holds".to_string(),
            columns: vec![
                Column::place("Assembly"),
                Column::quantity("Difference"),
                Column::number("z"),
            ],
            rows,
        })
    })
}

/// The deepest level of the tree that the chart shows.
const DEEPEST: usize = 2;

/// The adjusted masses as parts of the whole; `None` where no mass is known.
pub(super) fn chart(dossier: &Dossier, rows: &[MassRow]) -> Option<Detail> {
    let top = rows.iter().map(|r| r.depth).min().unwrap_or(0);
    let points: Vec<Point> = rows
        .iter()
        .filter(|row| row.depth - top <= DEEPEST)
        .filter_map(|row| point(dossier, row, row.depth - top))
        .collect();
    (!points.is_empty()).then(|| {
        Detail::Chart(Chart {
            caption:
                "Adjusted masses, part of the whole; whiskers show the 95 % interval of each piece."
                    .to_string(),
            form: Form::Parts,
            values: Axis {
                quantity: "mass".to_string(),
                unit: inputs::unit("g"),
            },
            over: None,
            series: vec![Series {
                words: String::new(),
                points,
            }],
            divisions: Vec::new(),
        })
    })
}

/// Masses are per piece; the share of the whole is that of all equal pieces together.
fn point(dossier: &Dossier, row: &MassRow, level: usize) -> Option<Point> {
    let (mass, u) = row
        .adjusted
        .filter(|(mass, u)| mass.is_finite() && u.is_finite())?;
    let count = dossier
        .item(&row.item)
        .map_or(1, |item| own_count(item).at_least());
    let (mass, u) = (mass * f64::from(count), u * f64::from(count));
    let name = match count {
        1 => row.name.clone(),
        n => format!("{} ({n})", row.name),
    };
    let (standing, remark) = match (row.flagged, row.inferred) {
        (true, _) => (Standing::Contradicted, "slip"),
        (false, true) => (Standing::Inferred, "follows from the others"),
        (false, false) => (Standing::Plain, ""),
    };
    Some(Point {
        place: Some(Place::item(&row.item)),
        level,
        low: Some(mass - COVERED * u),
        high: Some(mass + COVERED * u),
        standing,
        remark: remark.to_string(),
        ..Point::new(&name, mass)
    })
}
