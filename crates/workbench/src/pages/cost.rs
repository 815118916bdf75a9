//! Cost: what it takes to build. No method works it out yet; the page says so, and what of the record it will read.

use super::Context;
use crate::frame::Laid;
use maud::html;

pub(crate) fn page(context: &Context<'_>) -> Laid {
    let dossier = &context.view.dossier;
    let named = dossier.items.iter().filter(|item| {
        let part = item.part.as_ref();
        part.is_some_and(|part| part.identity.is_some())
    });
    Laid::of(html! {
        p class="empty" { "What it takes to build is not worked out here, so no cost is shown. Nothing is assumed in its place." }
        p { "Of this record it would read the " (dossier.items.len()) " things with their counts, the " (named.count())
            " parts with an identity, materials and sizes; and prices of your own, each with its date and source." }
    })
}
