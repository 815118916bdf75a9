//! Intake: what is printed, weighed and measured before anything is touched.

use super::Context;
use crate::field::{Look, field};
use crate::frame::Laid;
use maud::{Markup, html};
use record::Place;

pub(crate) fn page(context: &Context<'_>) -> Laid {
    Laid {
        main: html! {
            (product(context))
            (claims(context))
        },
        aside: None,
        module: true,
    }
}

/// The facts of the product that every intake begins with.
const PRODUCT: [&str; 8] = [
    "name",
    "maker",
    "model",
    "category",
    "opened",
    "bought",
    "made",
    "price.paid",
];

fn product(context: &Context<'_>) -> Markup {
    html! {
        section aria-labelledby="h-product" {
            h2 id="h-product" { "Product" }
            div class="facts" {
                @for key in PRODUCT { (field(context, &Place::product().at(key), Look::default())) }
            }
        }
    }
}

fn claims(context: &Context<'_>) -> Markup {
    html! {
        section aria-labelledby="h-claims" {
            h2 id="h-claims" { "Claims" }
            ol class="claims" {
                @for claim in &context.view.dossier.claims {
                    li { (field(context, &Place::claim(&claim.id).at("text"), Look { label: Some("as printed"), quiet: true, class: "said", ..Look::default() })) }
                }
            }
        }
    }
}
