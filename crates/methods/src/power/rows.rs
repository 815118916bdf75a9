//! What the single findings say, as rows: one for each path, one for each contact.
//!
//! In: what was found of paths and printed voltages. Out: two tables and a sentence. Paths into the same
//! thing through the same limit are one row, loads behind one limit as well.
//! Not here: how it was found (`path`, `power`).

use crate::words::{capital, listed};
use crate::{Between, Cell, Column, Detail, RowsOf, Verdict};
use record::{Item, Place};

/// One path as told.
pub(super) struct PathRow {
    /// Items from the source to the end, by id.
    pub(super) way: Vec<String>,
    pub(super) from: String,
    pub(super) to: String,
    /// The most that flows: amperes and watts.
    pub(super) most: Cell,
    pub(super) limit: String,
    /// The rating printed at the source.
    pub(super) printed: String,
    /// What that rating means beside what flows.
    pub(super) means: String,
}

/// Several paths as one row.
struct Merged {
    row: PathRow,
    from: Vec<String>,
    to: Vec<String>,
}

impl Merged {
    /// Takes in a path that differs in its load alone, or in the contact it enters by.
    fn takes(&mut self, other: &PathRow) -> bool {
        let same = self.row.limit == other.limit && self.row.most == other.most;
        let (own, its) = (&self.row.way, &other.way);
        let all_but_last = |way: &[String]| way.split_last().map(|(_, rest)| rest.to_vec());
        if same && all_but_last(own) == all_but_last(its) {
            self.to.push(other.to.clone());
            return true;
        }
        let mates = own.ends_with(its) || its.ends_with(own);
        if same && mates && self.row.printed == other.printed {
            self.from.push(other.from.clone());
            return true;
        }
        false
    }
}

/// Makes the table of paths; `None` without any.
pub(super) fn paths(rows: Vec<PathRow>) -> Option<Detail> {
    let mut merged: Vec<Merged> = Vec::new();
    for row in rows {
        if !merged.iter_mut().any(|m| m.takes(&row)) {
            let (from, to) = (vec![row.from.clone()], vec![row.to.clone()]);
            merged.push(Merged { row, from, to });
        }
    }
    let rows: Vec<Vec<Cell>> = merged
        .into_iter()
        .map(|Merged { row, from, to }| {
            let shared = if to.len() > 1 { ", together" } else { "" };
            vec![
                Cell::words(format!(
                    "{} to {}{shared}",
                    capital(&from.join(" or ")),
                    listed(to)
                )),
                row.most,
                Cell::words(capital(&row.limit)),
                Cell::words(row.printed),
                Cell::words(row.means),
            ]
        })
        .collect();
    let headings = [
        "Path",
        "At most",
        "What limits it",
        "Printed there",
        "What the print means",
    ];
    RowsOf::Paths.table(headings.map(Column::words).to_vec(), rows)
}

/// The most that flows.
pub(super) fn most(cells: impl IntoIterator<Item = Cell>) -> Cell {
    Cell::list(cells, Between::Comma)
}

/// One contact with its printed voltage.
pub(super) struct VoltageRow {
    pub(super) contact: Cell,
    pub(super) name: String,
    pub(super) printed: String,
    /// What the part behind it stands or does ("the charger U2 stands 20 V"); empty where none says.
    pub(super) stands: String,
    pub(super) verdict: Verdict,
}

impl VoltageRow {
    /// Makes the row of a contact.
    pub(super) fn of(
        contact: &Item,
        name: String,
        printed: String,
        stands: String,
        verdict: Verdict,
    ) -> Self {
        Self {
            contact: Cell::place(Place::item(&contact.id), &contact.name),
            name,
            printed,
            stands,
            verdict,
        }
    }
}

/// Says in one sentence that no contact is printed with more than the parts behind it stand; `None` where
/// that is not so, or nothing is printed.
pub(super) fn all_stand(rows: &[VoltageRow]) -> Option<String> {
    let all = !rows.is_empty() && rows.iter().all(|r| r.verdict == Verdict::Holds);
    all.then(|| {
        let each = rows.iter().map(|r| format!("{} at {}", r.printed, r.name));
        format!(
            "No contact is rated above what the parts behind it withstand: {}.",
            listed(each.collect())
        )
    })
}

/// Makes the table of printed voltages; `None` without any.
pub(super) fn voltages(rows: Vec<VoltageRow>) -> Option<Detail> {
    let rows: Vec<Vec<Cell>> = rows
        .into_iter()
        .map(|row| {
            vec![
                row.contact,
                Cell::words(row.printed),
                Cell::words(capital(&row.stands)),
                Cell::verdict(row.verdict),
            ]
        })
        .collect();
    let columns = vec![
        Column::place("Contact"),
        Column::words("Printed"),
        Column::words("Behind it"),
        Column::verdict("Verdict"),
    ];
    RowsOf::Voltages.table(columns, rows)
}

/// Makes the table of printed sums; `None` without any.
pub(super) fn sums(rows: Vec<Vec<Cell>>) -> Option<Detail> {
    let columns = vec![
        Column::place("Where"),
        Column::words("Printed"),
        Column::words("Volts times amperes"),
        Column::verdict("Verdict"),
    ];
    RowsOf::Sums.table(columns, rows)
}
