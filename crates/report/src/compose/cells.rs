//! Cells: what energy is in there, and whether that is ordinary.

use super::{Page, stated};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use methods::{Cell, Column, Detail, Method};

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let is_told = |detail: &Detail| matches!(detail, Detail::Chart(_));
    figures(page, &mut blocks);
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

/// The figures of every cell side by side, one row each.
fn figures(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let findings: Vec<_> = page.of(Method::Cell).collect();
    let mut rows = Vec::new();
    for finding in &findings {
        let figure = |what: &str| {
            let own = finding.figures.iter().find(|f| f.key.what.as_str() == what);
            own.map_or(Cell::Nothing, |f| Cell::words(&f.text))
        };
        let Some(item) = finding.about.as_ref().and_then(|p| p.item_id()) else {
            continue;
        };
        let recorded = page.dossier.item(item).and_then(|item| item.cell.as_ref());
        rows.push((
            vec![
                page.item_cell(item),
                stated(recorded.and_then(|cell| cell.capacity.as_ref())),
                figure("energy"),
                figure("energy-from-charge"),
                figure("specific-energy"),
                figure("energy-density"),
                finding.verdict.map_or(Cell::Nothing, Cell::verdict),
            ],
            RowMark {
                link: Some(crate::finding_anchor(&finding.id)),
                ..RowMark::default()
            },
        ));
    }
    let columns = vec![
        Column::place("Cell"),
        Column::quantity("Said"),
        Column::quantity("Energy as printed"),
        Column::quantity("Energy as discharged"),
        Column::quantity("Per mass"),
        Column::quantity("Per volume"),
        Column::verdict("Ordinary?"),
    ];
    page.table("cell-figures", "What the cells hold", columns, rows, blocks);
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
