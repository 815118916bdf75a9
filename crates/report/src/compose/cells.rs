//! Cells: what energy is in there, and whether that is ordinary.

use super::{Page, stated};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use methods::{Cell, Column, Detail, Method};

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let is_told = |detail: &Detail| matches!(detail, Detail::Chart(_) | Detail::Rows { .. });
    page.answers(
        |f| f.method() == Method::Cell,
        is_told,
        &mut blocks,
        &mut working,
    );
    for photo in super::photos::of_cells(page.dossier) {
        page.photo(photo, &mut working);
    }
    cells(page, &mut working);
    Section {
        id: "section-cells".into(),
        title: "The cells".into(),
        blocks,
        working,
    }
}

fn cells(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for item in &page.dossier.items {
        let Some(cell) = &item.cell else { continue };
        rows.push((
            vec![
                Cell::item(item),
                Cell::pieces(methods::own_count(item)),
                Cell::words(&cell.form),
                Cell::text(cell.chemistry.as_ref()),
                stated(cell.capacity.as_ref()),
                stated(cell.energy.as_ref()),
                stated(cell.nominal_voltage.as_ref()),
                stated(cell.limit_voltage.as_ref()),
                stated(cell.charge_current.as_ref()),
                Cell::text(cell.held.as_ref()),
                Cell::text(cell.connected.as_ref()),
                Cell::text(cell.origin.map(|o| o.words()).as_ref()),
            ],
            RowMark {
                link: Some(crate::anchor("item", &item.id)),
                evidence: super::evidence_of(&item.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = vec![
        Column::place("Cell"),
        Column::count("Count"),
        Column::words("Form"),
        Column::words("Chemistry"),
        Column::quantity("Capacity"),
        Column::quantity("Energy"),
        Column::quantity("Nominal voltage"),
        Column::quantity("Limit voltage"),
        Column::quantity("Largest charge current"),
        Column::words("Held by"),
        Column::words("Connected by"),
        Column::words("Figures from"),
    ];
    page.table("cells", "Cells as recorded", columns, rows, blocks);
}
