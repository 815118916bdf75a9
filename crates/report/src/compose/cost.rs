//! Cost: what it takes to build.

use super::Page;
use methods::{Detail, Method, Table};

/// The table that every reader sees beside the drawings: what the doubt rests on.
fn is_short(table: &Table) -> bool {
    table.rows.len() <= 10
}

pub(super) fn section(page: &mut Page<'_>) -> crate::Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let is_told = |detail: &Detail| match detail {
        Detail::Chart(_) => true,
        Detail::Table(table) => is_short(table),
        _ => false,
    };
    page.answers(
        |f| f.method() == Method::Cost,
        is_told,
        &mut blocks,
        &mut working,
    );
    crate::Section {
        id: "section-cost".into(),
        title: "What it costs to build".into(),
        blocks,
        working,
    }
}
