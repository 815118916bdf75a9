//! Sections that a publisher leaves out of a report.
//!
//! In: a document, anchors of sections. Out: the document without them, and without links that would lead there.
//! Not here: what is private (`record`); photographs and persons, which are left out before it is composed.

use crate::{Block, ChipCard, Document};
use std::collections::BTreeSet;

/// Sections that a report is none without: what was claimed, how it was worked out, what was corrected.
const NEEDED: [&str; 3] = ["section-claims", "section-method", crate::CORRECTIONS];

/// Returns whether a section may be left out.
pub fn may_be_left_out(section: &str) -> bool {
    !NEEDED.contains(&section)
}

/// Leaves sections out. Where a figure or a row led into one, it leads to the section on the method, which says that
/// they were left out.
pub fn leave_out(document: &mut Document, sections: &BTreeSet<String>) {
    let gone = |id: &str| sections.contains(id) && may_be_left_out(id);
    let titles: Vec<String> = document
        .sections
        .iter()
        .filter(|s| gone(&s.id))
        .map(|s| format!("“{}”", s.title))
        .collect();
    if titles.is_empty() {
        return;
    }
    document.sections.retain(|s| !gone(&s.id));
    let Some(last) = document.sections.last_mut() else {
        return;
    };
    last.blocks.push(Block::Paragraph(format!(
        "Left out of this report by its publisher: {}.",
        titles.join(", ")
    )));
    let instead = last.id.clone();
    let anchors: BTreeSet<String> = document.anchors().into_iter().collect();
    document.places.retain(|_, to| anchors.contains(&to.anchor));
    let mend = |anchor: &mut String| {
        if !anchors.contains(anchor) {
            anchor.clone_from(&instead);
        }
    };
    let head = &mut document.head;
    head.figures.iter_mut().for_each(|f| mend(&mut f.anchor));
    head.tally.iter_mut().for_each(|t| mend(&mut t.anchor));
    head.telling
        .rows
        .iter_mut()
        .for_each(|r| mend(&mut r.anchor));
    let shots = head.boards.iter_mut().chain(&mut head.opening);
    shots.for_each(|s| mend(&mut s.anchor));
    // The head shows the chips by their cards.
    head.chips.retain(|chip| anchors.contains(&chip.anchor));
    mend_seats(&mut head.chips, &anchors);
    head.hero.iter_mut().for_each(|h| mend(&mut h.anchor));
    for block in document
        .sections
        .iter_mut()
        .flat_map(|s| s.blocks.iter_mut().chain(&mut s.working))
    {
        mend_block(block, &anchors, &instead);
    }
}

fn mend_seats(cards: &mut [ChipCard], anchors: &BTreeSet<String>) {
    for seat in cards.iter_mut().flat_map(|card| &mut card.seats) {
        seat.item = seat.item.take().filter(|item| anchors.contains(item));
    }
}

/// Takes links out of a block that lead to what is gone.
fn mend_block(block: &mut Block, anchors: &BTreeSet<String>, instead: &str) {
    let mend = |anchor: &mut String| {
        if !anchors.contains(anchor) {
            *anchor = instead.to_string();
        }
    };
    match block {
        Block::Claims(claims) => {
            let rows = claims.groups.iter_mut().flat_map(|g| &mut g.rows);
            rows.for_each(|row| mend(&mut row.working));
        }
        Block::Answers(answers) => answers.iter_mut().for_each(|a| mend(&mut a.working)),
        Block::Table(table) => {
            for mark in &mut table.marks {
                mark.link = mark.link.take().filter(|link| anchors.contains(link));
            }
        }
        Block::Photo { regions, .. } => {
            for region in regions {
                region.item = region.item.take().filter(|item| anchors.contains(item));
            }
        }
        Block::Chips(chips) => mend_seats(&mut chips.cards, anchors),
        Block::Heading(_)
        | Block::Paragraph(_)
        | Block::List(_)
        | Block::Caution(_)
        | Block::Finding(_)
        | Block::Strip(_)
        | Block::Drawing { .. } => {}
    }
}
