//! Repair: the way to each spare part and back, over the photographs of its steps; what rules ask; what the maker offers.

use super::{Context, context, cost};
use crate::field::{Look, field};
use crate::frame;
use crate::guard::Session;
use crate::server::{Shared, Stop};
use crate::station::Station;
use ::library::DossierId;
use app::plates::Plate;
use axum::Extension;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use maud::{Markup, PreEscaped, html};
use methods::words::{capital, lower};
use methods::{Detail, Finding, Method, PartWay, Table, WayStep};
use record::{Place, Undo};
use report::{WayPhoto, way_marks, way_photos, ways_drawing};

/// The last part of its address.
pub(crate) const AT: &str = "repair";

/// The heading of the page.
const REPAIR: &str = "Repair";

/// `GET /d/ID/repair`
pub(crate) async fn page(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Query(query): Query<super::Asked>,
    Extension(session): Extension<Session>,
) -> Response {
    match laid(&bench, &id, &query, &session).await {
        Ok(response) => response,
        Err(stop) => frame::stopped(&stop),
    }
}

async fn laid(
    bench: &Shared,
    id: &DossierId,
    query: &super::Asked,
    session: &Session,
) -> Result<Response, Stop> {
    let view = bench.desk.view(id).await?;
    let context = context(bench, &view, Station::Opening, query, session).await?;
    let main = html! {
        div class="mending" {
            (sentences(&context))
            (drawing(&context))
            (chosen(&context))
            @for table in tables(&context) { (cost::table(table)) }
            (open(&context))
            (asked(&context))
            (facts(&context))
        }
    };
    Ok(frame::beside(&context, REPAIR, &main))
}

fn findings<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a Finding> {
    let findings = context.view.findings.findings.iter();
    findings.filter(|finding| finding.method() == Method::Repair)
}

fn details<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a Detail> {
    findings(context).flat_map(|finding| &finding.details)
}

fn tables<'a>(context: &'a Context<'_>) -> impl Iterator<Item = &'a Table> {
    details(context).filter_map(|detail| match detail {
        Detail::Table(table) => Some(table),
        _ => None,
    })
}

fn ways<'a>(context: &'a Context<'_>) -> &'a [PartWay] {
    let found = details(context).find_map(|detail| match detail {
        Detail::Ways { ways } => Some(ways.as_slice()),
        _ => None,
    });
    found.unwrap_or_default()
}

/// What is said of it, for the page itself and for the place that leads to it.
pub(super) fn sentences(context: &Context<'_>) -> Markup {
    html! {
        section class="repair-told" aria-labelledby="h-mending" {
            h2 id="h-mending" { "Getting there and back" }
            @if findings(context).next().is_none() {
                p class="empty" { "No spare parts yet. Note of a thing which spare part it is, and of each step whether it can be undone." }
            }
            @for finding in findings(context) { p class="sentence" { (finding.sentence) } }
        }
    }
}

fn drawing(context: &Context<'_>) -> Markup {
    let Some((svg, _)) = ways_drawing(ways(context)) else {
        return html! {};
    };
    html! {
        figure class="cost-drawing" {
            figcaption { (report::WAYS) }
            div class="drawn" tabindex="0" role="group" aria-label="The way to each spare part" { (PreEscaped(svg)) }
        }
    }
}

/// One way: its steps there and back, and the photographs that show them.
fn chosen(context: &Context<'_>) -> Markup {
    let ways = ways(context);
    let wanted = context.query.at.as_deref();
    let named = ways.iter().find(|way| Some(way.item.as_str()) == wanted);
    let Some(way) = named.or_else(|| ways.first()) else {
        return html! {};
    };
    let photos = way_photos(&context.view.dossier, way);
    html! {
        section aria-labelledby="h-way" id="way" {
            h2 id="h-way" { "To the " (lower(&way.name)) ", and back" }
            nav aria-label="Spare parts" {
                ul class="way-parts" {
                    @for other in ways {
                        li { a href={ "/d/" (context.view.id) "/repair?at=" (other.item) "#way" }
                            aria-current=[(other.item == way.item).then_some("true")] { (other.name) } }
                    }
                }
            }
            div class="way-photos" { @for photo in &photos { (marked(context, photo)) } }
            div class="there-back" {
                div { h3 { "There" } ol { @for step in &way.steps { (there(context, step)) } } }
                div { h3 { "Back" } ol { @for step in way.steps.iter().rev() { (back(context, step)) } } }
            }
        }
    }
}

fn marked(context: &Context<'_>, seen: &WayPhoto<'_>) -> Markup {
    let Ok(plate) = Plate::of(context.view, &seen.photo.id) else {
        return html! {};
    };
    let Some(size) = plate.pixels else {
        return html! {};
    };
    html! {
        figure {
            div class="under-marks" {
                img src={ "/t/" (plate.sha256) "/preview.jpg" } alt=(seen.photo.caption) width=(size[0]) height=(size[1])
                    loading="lazy" decoding="async";
                (PreEscaped(way_marks(size, &seen.marks)))
            }
            figcaption { (seen.photo.caption) }
        }
    }
}

fn text<'a>(context: &'a Context<'_>, step: &'a WayStep) -> &'a str {
    context
        .view
        .dossier
        .step(&step.step)
        .map_or(step.step.as_str(), |s| s.text.as_str())
}

fn there(context: &Context<'_>, step: &WayStep) -> Markup {
    html! {
        li value=(step.number) {
            (text(context, step))
            span class="quiet" {
                " " @if step.tool.is_empty() { "by hand" } @else { @if step.changes_tool { "take up " } (step.tool) }
                @if !step.breaks.is_empty() { " · breaks " (lower(&step.breaks.join(", "))) }
                @if step.undo == Undo::No { " · cannot be undone" }
            }
        }
    }
}

fn back(context: &Context<'_>, step: &WayStep) -> Markup {
    html! {
        li value=(step.number) {
            @match step.undo {
                Undo::No => "Cannot be undone: ",
                Undo::Unknown => "Not known whether it goes back: ",
                Undo::Yes | Undo::WithNewMaterial => "Undo: ",
            }
            (text(context, step))
            @if step.undo == Undo::WithNewMaterial {
                span class="quiet" { " new: "
                    @if step.renews.is_empty() { "what it used up" } @else { (step.renews.join(", ")) } }
            }
        }
    }
}

fn open(context: &Context<'_>) -> Markup {
    let missing: Vec<_> = findings(context).flat_map(|f| &f.missing).collect();
    html! {
        @if !missing.is_empty() {
            section aria-labelledby="h-open" {
                h2 id="h-open" { "Would tell it better" }
                ul { @for one in missing { li { (capital(&one.measure)) } } }
            }
        }
    }
}

fn asked(context: &Context<'_>) -> Markup {
    let at = |key: &str| Place::dossier().at("repair").at(key);
    let labelled = |label| Look {
        label: Some(label),
        ..Look::default()
    };
    html! {
        section aria-labelledby="h-rules" {
            h2 id="h-rules" { "Which rules hold" }
            div class="facts" {
                (field(context, &at("product"), labelled("kind of product")))
                (field(context, &at("exempt"), labelled("exempt from batteries that users replace")))
                (field(context, &at("last-sold"), labelled("last unit sold")))
            }
        }
    }
}

fn facts(context: &Context<'_>) -> Markup {
    let dossier = &context.view.dossier;
    html! {
        section aria-labelledby="h-offers" {
            h2 id="h-offers" { "What the maker offers, or keeps back" }
            @for (at, fact) in dossier.repair_facts.iter().enumerate() {
                @if let Some(place) = Place::repair_fact(dossier, at) {
                    @let of = fact.of.as_deref().and_then(|id| dossier.item(id));
                    @let name = of.map_or("the product", |item| item.name.as_str());
                    h3 { (capital(name)) }
                    div class="facts" {
                        @for key in ["what", "is", "until", "price", "to", "source", "date"] {
                            (field(context, &place.clone().at(key), Look::default()))
                        }
                    }
                    (cost::removes(context, &place, &format!("the fact on {name}"), AT))
                }
            }
            (cost::adds(context, "repair-fact", &["what", "of", "is", "until", "price", "to", "source", "date"], AT))
        }
    }
}
