//! Power: the path from outside contacts to cells and loads; run time; the links as recorded.

use super::{Page, evidence_of, text};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use record::Place;

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
    let places = Place::links(page.dossier);
    for (link, place) in page.dossier.links.iter().zip(&places) {
        rows.push((
            vec![
                page.item_name(&link.from),
                page.item_name(&link.to),
                link.kind.words().into(),
                text(link.net.as_ref()),
                text(link.voltage.as_ref()),
                text(link.current_limit.as_ref()),
                text(link.note.as_ref()),
            ],
            RowMark {
                anchor: page.entry(place),
                evidence: evidence_of(&link.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = [
        ("From", false),
        ("To", false),
        ("Runs", false),
        ("Net", false),
        ("Voltage", true),
        ("Current limit", true),
        ("Note", false),
    ];
    page.table("links", "Links as recorded", &columns, rows, blocks);
}

fn loads(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for item in &page.dossier.items {
        for (n, load) in item.loads.iter().enumerate() {
            rows.push((
                vec![
                    item.name.clone(),
                    load.mode.clone(),
                    load.current.to_string(),
                    text(load.origin.map(|o| o.words()).as_ref()),
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
    let columns = [
        ("Item", false),
        ("Mode of use", false),
        ("Current", true),
        ("Origin", false),
    ];
    page.table("loads", "Currents by mode of use", &columns, rows, blocks);
}
