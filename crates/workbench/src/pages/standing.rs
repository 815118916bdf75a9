//! Standing: where the product stands among all opened here, as far as that can be told.

mod past;

pub(crate) use past::decide as decide_past;

use super::Context;
use crate::ask::find::encoded;
use crate::frame::Laid;
use crate::server::{Shared, Stop};
use app::desk::{End, LEAST, Measure, SharedPart, Standing};
use maud::{Markup, html};

pub(crate) async fn page(bench: &Shared, context: &Context<'_>) -> Result<Laid, Stop> {
    let standing = bench.desk.standing(context.view).await?;
    let texts = bench.desk.past(&context.view.id).await?;
    let main = html! {
        (intro(&standing))
        (measures(&standing))
        (parts(context, &standing.parts))
        (past::section(context, &texts))
    };
    Ok(Laid {
        main,
        aside: None,
        module: true,
    })
}

fn intro(standing: &Standing) -> Markup {
    html! {
        p class="sentence intro" {
            @match standing.products {
                0 | 1 => "This is the one product of the library. Comparisons start with the second; nothing is taken from outside.",
                n => { "Compared with the " (n - 1) " other " (if n == 2 { "product" } else { "products" }) " of this library; nothing is taken from outside." }
            }
        }
        @if standing.behind > 0 { p class="quiet" { (standing.behind) " of them changed since they were counted; they are counted again as you read." } }
    }
}

fn measures(standing: &Standing) -> Markup {
    html! {
        section aria-labelledby="h-measures" {
            h2 id="h-measures" { "Figures" }
            @if standing.measures.is_empty() {
                p { "No figure was worked out yet that products could be ordered by." }
            } @else {
                table class="standing" {
                    thead { tr { th scope="col" { "Figure" } th scope="col" { "This product" } th scope="col" { "Products with one" }
                        th scope="col" { "Its place" } } }
                    tbody { @for measure in &standing.measures {
                        tr {
                            th scope="row" { (measure.name) }
                            td { (measure.value) }
                            td { (measure.of) }
                            td class=[measure.rank.is_none().then_some("quiet")] { (place(measure)) }
                        }
                    } }
                }
                @if standing.measures.iter().any(|measure| measure.record().is_some()) {
                    p class="quiet" { "Chance alone puts at least one of so many figures at an end of its order in "
                        (methods::words::percent(standing.any_record)) " of cases." }
                }
                p class="quiet" { "An order is told from " (LEAST) " products on, and only as far as the 95 % intervals do not overlap." }
            }
        }
    }
}

fn place(measure: &Measure) -> String {
    let Some(rank) = measure.rank else {
        return match measure.of < LEAST {
            true => "too few".to_string(),
            false => "too many to count".to_string(),
        };
    };
    if let Some((end, _)) = measure.record() {
        let end = match end {
            End::Least => "the least",
            End::Greatest => "the greatest",
        };
        return format!("{end} of {0}; by chance one in {0}", measure.of);
    }
    let mut parts = vec![format!("{} less", rank.less), format!("{} more", rank.more)];
    if rank.equal > 0 {
        parts.push(format!("{} not to be told apart", rank.equal));
    }
    parts.join(", ")
}

fn parts(context: &Context<'_>, parts: &[SharedPart]) -> Markup {
    let (shared, own): (Vec<&SharedPart>, Vec<&SharedPart>) =
        parts.iter().partition(|part| !part.others.is_empty());
    let find = |name: &str| format!("/d/{}/find?words={}", context.view.id, encoded(name));
    html! {
        section aria-labelledby="h-parts" {
            h2 id="h-parts" { "Known parts" }
            @if parts.is_empty() { p { "No part has an identity yet." } }
            @if !shared.is_empty() {
                h3 { "Also in other products" }
                ul class="shared" { @for part in &shared {
                    li { a href=(find(&part.name)) { (part.name) } " " span class="quiet" { (part.others.join(", ")) } }
                } }
            }
            @if !own.is_empty() {
                h3 { "In no other product of this library" }
                p class="own mono-words" { @for (at, part) in own.iter().enumerate() { @if at > 0 { ", " } (part.name) } }
            }
        }
    }
}
