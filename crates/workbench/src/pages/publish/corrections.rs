//! What the next version would correct: each verdict and figure that reads otherwise than in the last one.
//!
//! In: the next version, not published yet. Out: a list. Not here: comparing (`report`), publishing.

use maud::{Markup, html};
use report::{Correction, Edition};

/// Corrections that are told one by one.
const SHOWN: usize = 20;

pub(super) fn proposed(last: u64, edition: &Edition) -> Markup {
    let all = &edition.corrections;
    html! {
        div class="proposed" role="group" aria-labelledby="h-proposed" {
            h3 id="h-proposed" { "What readers of version " (last) " will see corrected" }
            @if all.is_empty() {
                p { "No verdict and no figure reads otherwise than in version " (last) "." }
            } @else {
                ul class="corrections" { @for correction in all.iter().take(SHOWN) { li { (one(correction)) } } }
                @if all.len() > SHOWN { p { "and " (all.len() - SHOWN) " more" } }
                p class="quiet" { "The report says each with its old value struck, the day, and the reason you give." }
            }
        }
    }
}

fn one(correction: &Correction) -> Markup {
    let what = correction.figure.as_deref().unwrap_or("verdict");
    html! {
        (correction.title) ", " (what) ": "
        @match (&correction.was, &correction.now) {
            (Some(was), Some(now)) => { "was " del { (was) } ", is now " ins { (now) } },
            (Some(was), None) => { "was " del { (was) } ", is told no more" },
            (None, Some(now)) => { "is now told: " ins { (now) } },
            (None, None) => {},
        }
    }
}
