//! The product on one page, as data for its template.
//!
//! In: a [`Document`], how much is to be cut. Out: data. Not here: how it looks; whether it fits.

use super::data::{Data, cleaned};
use super::{finding, head};
use methods::Verdict;
use report::{Block, ClaimGroup, Document};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Forms of the sheet, each shorter than the one before.
pub(super) const CUTS: usize = 6;
/// Rows of failures, of what holds, undecided, without evidence; height of the boards, mm: form by form.
const FORMS: [([usize; 4], f64); CUTS] = [
    ([8, 10, 8, 8], 44.0),
    ([8, 6, 6, 6], 44.0),
    ([8, 4, 4, 4], 40.0),
    ([6, 3, 3, 3], 34.0),
    ([5, 2, 2, 2], 26.0),
    ([4, 1, 1, 1], 18.0),
];

/// Turns a document into the data of its sheet.
pub(super) fn data(document: &Document, cut: usize) -> Data {
    let (most, board_mm) = FORMS[cut.min(CUTS - 1)];
    let mut pictures = BTreeMap::new();
    let head = head::data(&document.head, &mut pictures);
    let order = [
        Verdict::Fails,
        Verdict::Holds,
        Verdict::Undecided,
        Verdict::NeedsEvidence,
    ];
    let lists: Vec<Value> = order
        .iter()
        .zip(most)
        .filter_map(|(verdict, most)| Some(list(group(document, *verdict)?, most)))
        .collect();
    Data {
        json: cleaned(json!({
            "title": document.title,
            "head": head,
            "notices": document.notices,
            "lists": lists,
            "board-mm": board_mm,
        })),
        pictures,
    }
}

fn group(document: &Document, verdict: Verdict) -> Option<&ClaimGroup> {
    let blocks = document.sections.iter().flat_map(|s| &s.blocks);
    let groups = blocks.filter_map(|block| match block {
        Block::Claims(claims) => Some(&claims.groups),
        _ => None,
    });
    groups.flatten().find(|group| group.verdict == verdict)
}

fn list(group: &ClaimGroup, most: usize) -> Value {
    let shortened = |text: &str| -> String {
        if text.chars().count() <= LONGEST {
            return text.to_string();
        }
        text.chars().take(LONGEST - 1).chain(['…']).collect()
    };
    let rows = group.rows.iter().take(most).map(|row| {
        json!({
            "said": shortened(&row.said),
            "found": shortened(&row.found),
            "margin": if group.verdict == Verdict::Fails { row.margin.as_str() } else { "" },
        })
    });
    json!({
        "verdict": finding::verdict(group.verdict),
        "words": report::words::capital(&group.words),
        "rows": rows.collect::<Vec<_>>(),
        "more": group.rows.len().saturating_sub(most),
    })
}

/// Letters of a sentence or a finding in a row.
const LONGEST: usize = 110;
