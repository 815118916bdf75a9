//! Slips in the record: what the analyst wrote that something else in the record contradicts.

use super::Page;
use crate::{Block, Section, ShortAnswer, finding_anchor};
use methods::Method;
use methods::words::spelt_start;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let slips: Vec<ShortAnswer> = page
        .findings
        .findings
        .iter()
        .filter(|f| f.is_slip())
        .map(|f| ShortAnswer {
            sentence: methods::words::for_readers(&f.sentence),
            // Not a verdict on the maker.
            verdict: None,
            working: finding_anchor(&f.id),
        })
        .collect();
    if !slips.is_empty() {
        blocks.push(Block::Paragraph(format!(
            "{} of our own {} other evidence.",
            spelt_start(slips.len(), "entry", "entries"),
            if slips.len() == 1 {
                "conflicts with"
            } else {
                "conflict with"
            }
        )));
        blocks.push(Block::Answers(slips));
    }
    page.findings(Method::Consistency, &mut working);
    Section {
        id: "section-slips".into(),
        title: "Slips in our record".into(),
        blocks,
        working,
    }
}
