//! The one-page sheet and the picture for links.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]

#[path = "../../report/tests/specimen/mod.rs"]
mod specimen;

use methods::Verdict;
use report::{Block, ClaimGroup, ClaimRow, ClaimTable, Document, Head, KeyFigure};

/// A document with so many long claims of each verdict.
fn crowded(rows: usize) -> Document {
    let mut document = specimen::document(0);
    let row = |number: usize| ClaimRow {
        number,
        anchor: None,
        said: format!(
            "“Claim {number} goes on and on about what the thing can do for its owner, day by day.”"
        ),
        printed: "front of box".into(),
        found: "41.13 ± 0.03 g".into(),
        how: "weighed".into(),
        margin: "2.4 g over".into(),
        reason: String::new(),
        why: "At most 38.8 g would do.".into(),
        strip: None,
        working: String::new(),
        evidence: Vec::new(),
    };
    let group = |verdict: Verdict| ClaimGroup {
        verdict,
        words: format!("{rows} claims"),
        rows: (1..=rows).map(row).collect(),
    };
    let groups = [
        Verdict::Fails,
        Verdict::Undecided,
        Verdict::NeedsEvidence,
        Verdict::Holds,
    ]
    .map(group);
    document.sections[0].blocks.insert(
        0,
        Block::Claims(ClaimTable {
            id: "table-many".into(),
            caption: "Every printed claim".into(),
            groups: groups.into(),
        }),
    );
    document.head = Head {
        about: vec!["Maker, model X.".into()],
        judgement:
            "Twenty of 80 printed claims fail: the lamp is heavier than printed. Twenty hold."
                .into(),
        figures: (0..5)
            .map(|_| KeyFigure {
                name: "Weighs",
                value: "41.13".into(),
                unit: "g".into(),
                what: "lamp".into(),
                ..KeyFigure::default()
            })
            .collect(),
        notes: vec!["± is the 95 % interval.".into()],
        ..Head::default()
    };
    document
}

/// Counts the pages that a PDF states.
fn pages(bytes: &[u8]) -> usize {
    let text = String::from_utf8_lossy(bytes);
    let at = text
        .find("/Type /Pages")
        .or_else(|| text.find("/Type/Pages"))
        .unwrap();
    let start = text[..at].rfind(" obj").unwrap();
    let end = start + text[start..].find("endobj").unwrap();
    let object = &text[start..end];
    let count = object.split("/Count").nth(1).unwrap();
    count
        .trim_start()
        .split(|c: char| !c.is_ascii_digit())
        .next()
        .unwrap()
        .parse()
        .unwrap()
}

#[test]
fn the_sheet_is_one_page_however_many_claims_there_are() {
    for rows in [0, 1, 20, 60] {
        assert_eq!(pages(&pdf::sheet(&crowded(rows)).unwrap()), 1, "{rows}");
    }
}

#[test]
fn the_picture_for_links_has_its_size_and_is_not_empty() {
    let picture = pdf::link_picture(&crowded(2)).unwrap();
    assert_eq!((picture.width, picture.height), (1200, 630));
    assert_eq!(picture.rgb.len(), 1200 * 630 * 3);
    let ink = picture.rgb.chunks_exact(3).filter(|p| p[0] < 0x60).count();
    assert!(ink > 5_000, "{ink}");
}
