//! Findings of one kind told as rows of one table.
//!
//! Each kind stands here once: its table takes the caption from here, and a finding names the kind that has a row
//! for it. Not here: the rows, which the methods make.

use crate::{Cell, Column, Detail, Table, Verdict};
use serde::{Deserialize, Serialize};

/// What the rows of a table are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RowsOf {
    /// Ways of power, each with what limits it.
    Paths,
    /// Printed voltages against what the parts behind stand.
    Voltages,
    /// Printed watts against volts times amperes.
    Sums,
    /// Cells with what they hold.
    Cells,
    /// Hazards at contacts and cells, each with what stands in its way.
    Hazards,
    /// Ratings that must leave room for each other.
    Margins,
    /// Parts that face the outside or sense it.
    Outside,
    /// Lines of the cost to build.
    Costs,
}

impl RowsOf {
    /// Returns the caption of the table.
    pub const fn caption(self) -> &'static str {
        match self {
            Self::Paths => "Where power goes, and what limits it",
            Self::Voltages => "Do the parts withstand the printed voltages?",
            Self::Sums => "Do the printed sums agree?",
            Self::Cells => "What the cells hold",
            Self::Hazards => "What protects it, and what on record does not",
            Self::Margins => "Do the ratings leave room for each other?",
            Self::Costs => "What each line adds to the cost of one piece",
            Self::Outside => "What faces the outside or senses it, and what it does",
        }
    }

    /// Makes the table, what fails first; `None` without rows.
    pub(crate) fn table(self, columns: Vec<Column>, mut rows: Vec<Vec<Cell>>) -> Option<Detail> {
        rows.sort_by_key(|row| row.iter().find_map(rank));
        (!rows.is_empty()).then(|| Detail::Rows {
            of: self,
            table: Table {
                caption: self.caption().to_string(),
                columns,
                rows,
            },
        })
    }
}

/// Returns the place of a verdict among others: what fails first, what holds last.
fn rank(cell: &Cell) -> Option<u8> {
    let Cell::Verdict { verdict } = cell else {
        return None;
    };
    Some(match verdict {
        Verdict::Fails => 0,
        Verdict::Undecided => 1,
        Verdict::NeedsEvidence => 2,
        Verdict::Holds => 3,
    })
}
