//! The sheets of the power path, of sizes, and of what is open.

use super::sheet::Sheet;
use super::value::full;
use methods::{Cell, Column, Detail, Findings, Method};
use record::Dossier;

/// Makes the sheet of the power path: one row for each link, with what limits its far end.
pub(super) fn power(findings: &Findings) -> Sheet {
    let columns = vec![
        (Column::words("From"), 28.0),
        (Column::words("To"), 28.0),
        (Column::words("Net"), 10.0),
        (Column::quantity("Volts"), 12.0),
        (Column::words("Rated"), 12.0),
        (Column::words("Most amperes"), 16.0),
        (Column::quantity("Most watts"), 14.0),
        (Column::words("Limits at the far end"), 44.0),
        (Column::words("Limits the path"), 10.0),
    ];
    let maps = findings.findings.iter().flat_map(|f| &f.details);
    let maps = maps.filter_map(|detail| match detail {
        Detail::Power(map) => Some(map),
        _ => None,
    });
    let rows = maps.flat_map(|map| {
        let node = |id: &str| map.nodes.iter().find(|n| n.item == id);
        let name = move |id: &str| Cell::words(node(id).map_or(id, |n| n.name.as_str()));
        map.edges.iter().map(move |edge| {
            let to = node(&edge.to);
            let limits = to.map(|n| n.limits.clone()).unwrap_or_default();
            let binds = edge.binds || to.is_some_and(|n| n.binds);
            vec![
                name(&edge.from),
                name(&edge.to),
                edge.net.clone(),
                edge.volts.clone(),
                edge.limit.clone(),
                edge.amps.clone(),
                edge.watts.clone(),
                Cell::list(limits, methods::Between::Semicolon),
                Cell::words(if binds { "yes" } else { "" }),
            ]
        })
    });
    Sheet::new("Power", columns, rows.collect())
}

/// Makes the sheet of sizes: every figure that was measured on photographs.
pub(super) fn sizes(findings: &Findings) -> Sheet {
    let columns = vec![
        (Column::words("Size"), 44.0),
        (Column::quantity("Value"), 14.0),
        (Column::words("Unit"), 8.0),
        (Column::number("Full value"), 14.0),
        (Column::quantity("Standard uncertainty"), 14.0),
    ];
    let figures = findings
        .findings
        .iter()
        .filter(|f| f.method() == Method::Geometry);
    let rows = figures.flat_map(|f| &f.figures).map(|figure| {
        let u = figure.standard_uncertainty;
        vec![
            Cell::words(&figure.name),
            Cell::measured(figure.value, u, figure.unit.clone()),
            Cell::words(figure.unit.symbol()),
            full(figure.value),
            if u.is_finite() {
                Cell::quantity(u, figure.unit.difference())
            } else {
                Cell::Nothing
            },
        ]
    });
    Sheet::new("Sizes", columns, rows.collect())
}

/// Makes the sheet of what is open: what would settle what, how finely, until when.
pub(super) fn open(dossier: &Dossier, findings: &Findings) -> Sheet {
    let columns = vec![
        (Column::words("Open question"), 44.0),
        (Column::words("What would settle it"), 50.0),
        (Column::words("How fine"), 24.0),
        (Column::words("Still possible?"), 20.0),
    ];
    let rows = crate::open::open(dossier, findings)
        .into_iter()
        .map(|open| {
            vec![
                Cell::words(open.settles.join("; ")),
                Cell::words(&open.missing.measure),
                Cell::text(open.missing.resolution.as_ref()),
                Cell::words(open.possible()),
            ]
        });
    Sheet::new("Open", columns, rows.collect())
}
