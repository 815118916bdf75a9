//! Masses and cells: what each piece weighs, what energy is in there.

use super::{Page, text};
use crate::words::Words as _;
use crate::{Block, RowMark};
use methods::{Method, Section};

pub(super) fn section(page: &mut Page<'_>) -> crate::Section {
    let mut blocks = Vec::new();
    for entry in Section::Masses.methods() {
        if entry.method == Method::Cell {
            cells(page, &mut blocks);
        }
        page.findings(entry.method, &mut blocks);
    }
    crate::Section {
        id: "section-masses".into(),
        title: "Masses and cells".into(),
        blocks,
    }
}

fn cells(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for item in &page.dossier.items {
        let Some(cell) = &item.cell else { continue };
        rows.push((
            vec![
                item.name.clone(),
                item.count.at_least().to_string(),
                cell.form.clone(),
                text(cell.chemistry.as_ref()),
                text(cell.capacity.as_ref()),
                text(cell.energy.as_ref()),
                text(cell.nominal_voltage.as_ref()),
                text(cell.limit_voltage.as_ref()),
                text(cell.charge_current.as_ref()),
                text(cell.held.as_ref()),
                text(cell.connected.as_ref()),
                text(cell.origin.map(|o| o.words()).as_ref()),
            ],
            RowMark {
                link: Some(crate::anchor("item", &item.id)),
                evidence: super::evidence_of(&item.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = [
        ("Cell", false),
        ("Count", true),
        ("Form", false),
        ("Chemistry", false),
        ("Capacity", true),
        ("Energy", true),
        ("Nominal voltage", true),
        ("Limit voltage", true),
        ("Largest charge current", true),
        ("Held by", false),
        ("Connected by", false),
        ("Figures from", false),
    ];
    page.table("cells", "Cells as recorded", &columns, rows, blocks);
}
