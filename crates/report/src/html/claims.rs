//! The table of claims: said, found, verdict, why. Below the width of a tablet each claim is a card.

use super::Pen;
use super::blocks::dash;
use super::finding::{evidence_in_brief, mark};
use crate::words::typeset;
use crate::{ClaimRow, ClaimTable, Document, verdict_words};
use maud::{Markup, PreEscaped, html};
use methods::Verdict;
use record::Place;

/// Writes the table as number `n`.
pub(super) fn claims(doc: &Document, claims: &ClaimTable, n: usize, pen: &Pen) -> Markup {
    html! {
        table class="claims" id=(claims.id) {
            caption {
                b { "Table " (n) ". " } (typeset(&claims.caption))
                @if claims.groups.iter().flat_map(|g| &g.rows).any(|row| row.strip.is_some()) {
                    // Strips are drawn where each claim is a card, and nowhere else.
                    span class="strip-words" {
                        ". In a strip the black line is the limit, the shade what keeps the claim, the short mark what \
                         it says, the bar what was found; dashes stand at 1, 3, 10 and 30 times what is allowed."
                    }
                }
            }
            thead {
                tr {
                    th scope="col" { "No." }
                    th scope="col" { "Said" }
                    th scope="col" { "Found" }
                    th scope="col" { "Verdict" }
                    th scope="col" { "Why" }
                }
            }
            @for group in &claims.groups {
                tbody {
                    tr class="group" {
                        th colspan="5" scope="rowgroup" { (mark(group.verdict)) (typeset(&group.words)) }
                    }
                    @for row in &group.rows { (self::row(doc, row, group.verdict, pen)) }
                }
            }
        }
    }
}

fn row(doc: &Document, row: &ClaimRow, verdict: Verdict, pen: &Pen) -> Markup {
    html! {
        tr id=[row.anchor.as_ref()] {
            td class="no" { (row.number) }
            th scope="row" {
                (typeset(&row.said))
                span class="under" { (typeset(&row.printed)) }
                // A place that is told in words alone is where it is printed, which is said already.
                @let seen = seen(&row.evidence);
                @if !seen.is_empty() {
                    span class="under" { (evidence_in_brief(doc, pen, &seen)) }
                }
            }
            td class="found" data-label="Found" {
                @if let Some(strip) = &row.strip { (PreEscaped(strip)) }
                @if row.found.is_empty() {
                    (dash())
                } @else {
                    a href={ "#" (row.working) } { b { (typeset(&row.found)) } }
                }
                @if !row.how.is_empty() { span class="under" { (typeset(&row.how)) } }
            }
            td class="verdict-cell" data-label="Verdict" {
                @if verdict == Verdict::Fails { b class="accent" { (verdict_words(verdict)) } }
                @else { b { (verdict_words(verdict)) } }
                @if !row.margin.is_empty() { span class="under" { (typeset(&row.margin)) } }
                @if !row.reason.is_empty() { span class="under" { (typeset(&row.reason)) } }
            }
            td data-label="Why" {
                (typeset(&row.why)) " "
                a href={ "#" (row.working) } { "working" }
            }
        }
    }
}

/// Returns the evidence that lies in the record.
fn seen(evidence: &[Place]) -> Vec<Place> {
    let inside = evidence.iter().filter(|place| place.outside().is_none());
    inside.cloned().collect()
}
