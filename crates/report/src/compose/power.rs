//! Power and signals: the paths from outside contacts to cells and loads, who talks to whom, what protects them, the
//! links as recorded.

use super::{Page, diagrams, evidence_of, stated};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use methods::{Cell, Column, Detail, Finding, Method, RowsOf, Verdict};
use record::Place;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let is_told = |detail: &Detail| {
        matches!(
            detail,
            Detail::Power(_) | Detail::Signals(_) | Detail::Chart(_) | Detail::Rows { .. }
        )
    };
    let is_power = |f: &Finding| f.method() == Method::Power && f.id.question.as_str() != "charge";
    let is_signal =
        |f: &Finding| f.method() == Method::Inventory && f.id.question.as_str() == "signals";
    page.answers(is_power, is_told, &mut blocks, &mut working);
    page.answers(is_signal, is_told, &mut blocks, &mut working);
    // One table tells all hazards; a sentence of its own has what nothing stops.
    let is_row =
        |f: &Finding| f.told_in == Some(RowsOf::Hazards) && f.verdict != Some(Verdict::Fails);
    let is_told_of = |f: &Finding| f.method() == Method::Protection && !is_row(f);
    let is_short = |d: &Detail| {
        !matches!(
            d,
            Detail::Rows {
                of: RowsOf::Margins,
                ..
            }
        ) && is_told(d)
    };
    page.answers(is_told_of, is_short, &mut blocks, &mut working);
    for finding in page.of(Method::Protection).filter(|f| is_row(f)) {
        page.finding(finding, &mut working);
    }
    let mut words = Vec::new();
    for finding in page.of(Method::Power) {
        for detail in &finding.details {
            if let Detail::Power(map) = detail {
                diagrams::power_in_rows(page, finding, map, &mut words);
            }
        }
    }
    working.splice(0..0, words);
    links(page, &mut working);
    Section {
        id: "section-power".into(),
        title: "How power and signals run".into(),
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
