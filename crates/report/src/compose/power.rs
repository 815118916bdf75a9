//! Power: the path from outside contacts to cells and loads; the links as recorded.

use super::{Page, evidence_of, stated};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use methods::{Cell, Column, Detail, Finding, Method};
use record::Place;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let is_rows =
        |caption: &str| [methods::power::PATHS, methods::power::VOLTAGES].contains(&caption);
    let is_told = |detail: &Detail| match detail {
        Detail::Power(_) | Detail::Chart(_) => true,
        Detail::Table(table) => is_rows(&table.caption),
        _ => false,
    };
    let is_power = |f: &Finding| f.method() == Method::Power && f.id.question.as_str() != "charge";
    page.answers(is_power, is_told, &mut blocks, &mut working);
    // The drawing tells the path; the same in words, and every link, stand behind.
    let (tables, blocks): (Vec<Block>, Vec<Block>) = blocks
        .into_iter()
        .partition(|block| matches!(block, Block::Table(table) if !is_rows(&table.caption)));
    working.splice(0..0, tables);
    links(page, &mut working);
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
