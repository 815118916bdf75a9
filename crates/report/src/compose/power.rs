//! Power: the path from outside contacts to cells and loads; run time; the links as recorded.

use super::{Page, evidence_of, stated};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use methods::{Cell, Column};
use record::Link;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    page.section(methods::Section::Power, &mut blocks);
    links(page, &mut blocks);
    loads(page, &mut blocks);
    Section {
        id: "section-power".into(),
        title: "Power".into(),
        blocks,
    }
}

fn links(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for link in &page.dossier.links {
        rows.push((
            vec![
                page.item_cell(&link.from),
                page.item_cell(&link.to),
                Cell::words(link.kind.words()),
                Cell::text(link.net.as_ref()),
                stated(link.voltage.as_ref()),
                stated(link.current_limit.as_ref()),
                Cell::text(link.note.as_ref()),
            ],
            RowMark {
                anchor: page.entry("link", &link_id(link)),
                evidence: evidence_of(&link.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = vec![
        Column::place("From"),
        Column::place("To"),
        Column::words("Runs"),
        Column::words("Net"),
        Column::quantity("Voltage"),
        Column::quantity("Current limit"),
        Column::words("Note"),
    ];
    page.table("links", "Links as recorded", columns, rows, blocks);
}

/// Links have no id of their own in the record; findings name them by their two ends.
pub(super) fn link_id(link: &Link) -> String {
    format!("{}-{}", link.from, link.to)
}

fn loads(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for item in &page.dossier.items {
        for load in &item.loads {
            rows.push((
                vec![
                    Cell::item(item),
                    Cell::words(&load.mode),
                    Cell::stated(&load.current),
                    Cell::text(load.origin.map(|o| o.words()).as_ref()),
                ],
                RowMark {
                    link: Some(crate::anchor("item", &item.id)),
                    evidence: evidence_of(&load.evidence),
                    ..RowMark::default()
                },
            ));
        }
    }
    let columns = vec![
        Column::place("Item"),
        Column::words("Mode of use"),
        Column::quantity("Current"),
        Column::words("Origin"),
    ];
    page.table("loads", "Currents by mode of use", columns, rows, blocks);
}
