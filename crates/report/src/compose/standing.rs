//! Standing: where the product stands among those of a library.

use super::Page;
use methods::{Detail, Method, Table};

/// The tables that every reader sees: the plot tells what that of places lists.
fn is_short(table: &Table) -> bool {
    table.columns.iter().all(|c| c.heading != "Its place") && table.rows.len() <= 4
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
        |f| f.method() == Method::Standing,
        is_told,
        &mut blocks,
        &mut working,
    );
    crate::Section {
        id: "section-standing".into(),
        title: "Where it stands".into(),
        blocks,
        working,
    }
}
