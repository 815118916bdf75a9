//! The cells side by side, one row each.
//!
//! In: an item and what was found of it. Out: a table. Not here: how it was found (`finding`).

use super::{finding, transport};
use crate::{Case, Cell, Column, Detail, Finding, RowsOf, chemistry};
use quantity::Stated;
use record::Item;

/// Makes the row of a cell.
pub(super) fn row(case: &Case<'_>, item: &Item, found: &Finding) -> Vec<Cell> {
    let figure = |what: &str| {
        let own = found.figures.iter().find(|f| f.key.what.as_str() == what);
        own.map_or(Cell::Nothing, |f| Cell::figure(f))
    };
    let recorded = item.cell.as_ref();
    let stated = |value: Option<&Stated>| value.map_or(Cell::Nothing, Cell::stated);
    let shipped = recorded.map_or(String::new(), |facts| {
        let taken = chemistry::taken(item);
        transport::class(&finding::shipment(case, item, facts, taken, None))
    });
    vec![
        Cell::item(item),
        stated(recorded.and_then(|cell| cell.capacity.as_ref())),
        figure("energy"),
        figure("energy-from-charge"),
        figure("specific-energy"),
        figure("energy-density"),
        Cell::words(shipped),
        found.verdict.map_or(Cell::Nothing, Cell::verdict),
    ]
}

/// Makes the table; `None` without cells.
pub(super) fn table(rows: Vec<Vec<Cell>>) -> Option<Detail> {
    let columns = vec![
        Column::place("Cell"),
        Column::quantity("Printed"),
        Column::quantity("Energy as printed"),
        Column::quantity("Energy as discharged"),
        Column::quantity("Per mass, as printed"),
        Column::quantity("Per volume, as printed"),
        Column::words("In transport"),
        Column::verdict("Label"),
    ];
    RowsOf::Cells.table(columns, rows)
}
