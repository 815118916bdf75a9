//! The product on one page, for the screen and a printer.
//!
//! In: a [`Document`]. Out: one HTML file of the size of an A4 page. Not here: what is said.

use super::finding::mark;
use super::head::address;
use super::{Frame, page, style};
use crate::words::{capital, typeset};
use crate::{Block, ClaimGroup, Document};
use maud::{Markup, html as markup};
use methods::Verdict;

/// Rows per list: failures are never cut, what holds is cut first.
const MOST: [(Verdict, usize); 4] = [
    (Verdict::Fails, 8),
    (Verdict::Holds, 8),
    (Verdict::Undecided, 5),
    (Verdict::NeedsEvidence, 5),
];

/// Writes the sheet as one HTML file that needs neither network nor script.
pub fn sheet_html(document: &Document) -> String {
    let head = &document.head;
    let body = markup! {
                main {
                    header {
                        @if let Some(hero) = &head.hero {
                            img class="hero" src=(address(&hero.picture)) alt=(typeset(&hero.caption));
                        }
                        div {
                            h1 { (typeset(&document.title)) }
                            p class="quiet" { (typeset(&head.about.join(" "))) }
                            p class="judgement" { (typeset(&head.judgement)) }
                            p class="quiet" {
                                @for note in head.notes.iter().chain(&document.notices) { (typeset(note)) " " }
                            }
                        }
                    }
                    @if !head.figures.is_empty() {
                        ul class="five" {
                            @for figure in &head.figures {
                                li {
                                    span class="quiet" { (figure.name) }
                                    span { b { (typeset(&figure.value)) } " " (typeset(&figure.unit)) }
                                    span class="quiet" { (typeset(&figure.what)) }
                                }
                            }
                        }
                    }
                    div class="two" {
                        @for verdict in [Verdict::Fails, Verdict::Holds] { (claims(document, verdict)) }
                    }
                    @if !head.chips.is_empty() {
                        section {
                            h2 { "The chips that matter most" }
                            ul class="chips" {
                                @for chip in head.chips.iter().take(8) {
                                    li {
                                        @if let Some(crop) = &chip.crop {
                                            img src=(address(&crop.picture)) alt=(typeset(&crop.alternative));
                                        }
                                        code { (typeset(&chip.part_number)) }
                                        span class="quiet" { (typeset(&chip.role)) }
                                        @if !chip.certainty.doubt.is_empty() { span class="doubt" { (chip.certainty.doubt) } }
                                    }
                                }
                            }
                        }
                    }
                    div class="two" {
                        @for board in head.boards.iter().take(2) {
                            section {
                                h2 { (typeset(&board.words)) }
                                img class="board" src=(address(&board.picture)) alt=(typeset(&board.words));
                            }
                        }
                    }
                    div class="two" {
                        @for verdict in [Verdict::Undecided, Verdict::NeedsEvidence] { (claims(document, verdict)) }
                    }
                    footer {
                        span { "Full report: report.html, report.pdf. Every figure's working: working.pdf." }
                        span { "Made with Underlid." }
                    }
                }
    };
    page(&Frame {
        title: &format!("{}: on one page", document.title),
        policy: "img-src data:",
        style: &format!("{}{}", style::tokens(), include_str!("sheet.css")),
        body,
    })
}

fn claims(document: &Document, verdict: Verdict) -> Markup {
    let blocks = document.sections.iter().flat_map(|s| &s.blocks);
    let groups = blocks.filter_map(|block| match block {
        Block::Claims(claims) => Some(&claims.groups),
        _ => None,
    });
    let group = groups.flatten().find(|group| group.verdict == verdict);
    let most = MOST
        .iter()
        .find(|(of, _)| *of == verdict)
        .map_or(0, |(_, most)| *most);
    markup! { section { @if let Some(group) = group { (rows(group, most)) } } }
}

fn rows(group: &ClaimGroup, most: usize) -> Markup {
    let more = group.rows.len().saturating_sub(most);
    markup! {
        h2 { (mark(group.verdict)) (typeset(&capital(&group.words))) }
        ul class="claims" {
            @for row in group.rows.iter().take(most) {
                li {
                    span { (typeset(&row.said)) }
                    b { (typeset(&row.found)) }
                    @if group.verdict == Verdict::Fails && !row.margin.is_empty() {
                        span class="accent" { (typeset(&row.margin)) }
                    }
                }
            }
            @if more > 0 { li class="quiet" { "and " (more) " more" } }
        }
    }
}
