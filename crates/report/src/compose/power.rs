//! Power: the path from outside contacts to cells and loads; run time; the links as recorded.

use super::{Page, evidence_of, stated};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use methods::{Cell, Column, Detail};
use record::Place;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let is_told = |detail: &Detail| match detail {
        Detail::Power(_) | Detail::Chart(_) => true,
        Detail::Table(table) => {
            [methods::power::PATHS, methods::power::VOLTAGES].contains(&table.caption.as_str())
        }
        _ => false,
    };
    page.answers(methods::Section::Power, is_told, &mut blocks, &mut working);
    links(page, &mut working);
    loads(page, &mut working);
    Section {
        id: "section-power".into(),
        title: "How power runs".into(),
        blocks,
        working,
    }
}

fn links(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    let places = Place::links(page.dossier);
    for (link, place) in page.dossier.links.iter().zip(&places) {
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
                anchor: page.entry(place),
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

fn loads(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for item in &page.dossier.items {
        for (n, load) in item.loads.iter().enumerate() {
            rows.push((
                vec![
                    Cell::item(item),
                    Cell::words(&load.mode),
                    Cell::stated(&load.current),
                    Cell::text(load.origin.map(|o| o.words()).as_ref()),
                ],
                RowMark {
                    anchor: Place::load(item, n).and_then(|load| page.entry(&load)),
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
