//! Power: the path from outside contacts to cells and loads; run time; the links as recorded.

use super::{Page, evidence_of, text};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
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
                page.item_name(&link.from),
                page.item_name(&link.to),
                link.kind.words().into(),
                text(link.net.as_ref()),
                text(link.voltage.as_ref()),
                text(link.current_limit.as_ref()),
                text(link.note.as_ref()),
            ],
            RowMark {
                anchor: page.entry("link", &link_id(link)),
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
                    item.name.clone(),
                    load.mode.clone(),
                    load.current.to_string(),
                    text(load.origin.map(|o| o.words()).as_ref()),
                ],
                RowMark {
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
