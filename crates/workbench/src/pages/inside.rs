//! Inside: photographs and the parts on them.
//!
//! In: a dossier under the hand, the photograph asked for. Out: the plate as a picture, the line that is being
//! written, the parts as a table, the items as a tree, the strip of photographs. Without script it reads, prints and
//! saves the fields of the table; the browser's module makes the plate a thing to work on.

use super::Context;
use crate::field::{Look, field};
use crate::frame::Laid;
use app::plates::{self, PartRow, Plate};
use maud::{Markup, html};
use record::{Item, Photo, Place};

/// Writes the page.
pub(crate) fn page(context: &Context<'_>) -> Laid {
    let photos = &context.view.dossier.photos;
    let wanted = context.query.plate.as_deref();
    let chosen = photos
        .iter()
        .find(|photo| Some(photo.id.as_str()) == wanted);
    let first = plates::first(&context.view.dossier);
    let Some(photo) = chosen.or(first) else {
        return Laid {
            main: html! { (arriving(context)) (nothing_yet()) },
            aside: Some(html! { (tree(context)) }),
            module: true,
        };
    };
    let rows = plates::table(context.view, &photo.id).unwrap_or_default();
    Laid {
        main: html! {
            (plate(context, photo))
            (caption(context, photo))
            (twice(context, photo))
            (strip(context, photo))
            (arriving(context))
        },
        aside: Some(html! {
            (line())
            p id="same" class="same" role="status" hidden data-own {}
            (table(context, &rows))
            (tree(context))
        }),
        module: true,
    }
}

fn nothing_yet() -> Markup {
    html! {
        p class="empty" {
            "No photographs yet. Drop them here, or choose them above. A ruler or card in view gives sizes."
        }
    }
}

/// The photograph; the module lays tiles and lines over it.
fn plate(context: &Context<'_>, photo: &Photo) -> Markup {
    let plate = Plate::of(context.view, &photo.id);
    html! {
        @match plate {
            Ok(plate) => {
                @let [width, height] = plate.pixels.unwrap_or([0, 0]);
                figure class="plate" id="plate" data-own tabindex="0" role="application"
                    aria-label=(photo.caption) aria-describedby="plate-keys"
                    data-photo=(photo.id) data-sha256=(plate.sha256) data-width=(width) data-height=(height) {
                    img class="preview" src={ "/t/" (plate.sha256) "/preview.jpg" } alt=(photo.caption)
                        width=(width) height=(height);
                }
                p id="plate-keys" class="unseen" { "Arrows go from body to body; F8 0 lists the keys." }
            }
            Err(problem) => {
                p class="empty" { (problem.message) ". " (problem.remedy.to_string()) "." }
            }
        }
    }
}

fn caption(context: &Context<'_>, photo: &Photo) -> Markup {
    let photos = &context.view.dossier.photos;
    let number = 1 + photos.iter().position(|p| p.id == photo.id).unwrap_or(0);
    let after = photo.after.as_deref().and_then(|id| {
        let steps = context.view.dossier.steps.iter();
        steps
            .map(|step| step.id.as_str())
            .position(|step| step == id)
    });
    html! {
        p class="caption" {
            b { (photo.caption) }
            span class="quiet" {
                " · plate " (number) " of " (photos.len())
                @if let Some(step) = after { " · after step " (step + 1) }
                span id="told" data-own {}
            }
            span class="tools" {
                button type="button" class="goes" data-measure="known" { "Known length" } " " kbd { "L" }
                button type="button" class="goes" data-measure="size" { "Measure" } " " kbd { "M" }
            }
        }
        datalist id="known-things" {
            @for (name, size) in known_things(context) { option value=(name) { (size) } }
        }
    }
}

/// What of known size lies on many tables, after what lies on the photographs of this dossier.
fn known_things(context: &Context<'_>) -> Vec<(String, String)> {
    let photos = context.view.dossier.photos.iter();
    let here = photos.flat_map(|photo| &photo.references).filter_map(|of| {
        let length = of.length.as_ref()?;
        let size = match &of.width {
            Some(width) => format!("{length} × {width}"),
            None => length.to_string(),
        };
        Some((
            format!("{} {size}", of.name),
            "on another photograph".to_string(),
        ))
    });
    let mut things: Vec<(String, String)> = here.collect();
    things.extend(plates::known_things());
    let mut names = std::collections::BTreeSet::new();
    things.retain(|(name, _)| names.insert(name.clone()));
    things
}

/// What was boxed twice at one place.
fn twice(context: &Context<'_>, photo: &Photo) -> Markup {
    let pairs = plates::twice(context.view, &photo.id).unwrap_or_default();
    html! {
        ul id="twice" class="twice" aria-label="Boxed twice" hidden[pairs.is_empty()] {
            @for [kept, other] in &pairs {
                li data-key={ "twice-" (kept.id) "-" (other.id) } data-kept=(kept.id) data-other=(other.id) {
                    b { (kept.name) } " and " b { (other.name) } " lie at the same place. "
                    button type="button" class="goes" data-join { "Join them" } " " kbd { "Shift+Enter" }
                    span class="quiet" { " on either; they stay two otherwise" }
                }
            }
        }
    }
}

/// The photographs in their order, each with the parts on it.
fn strip(context: &Context<'_>, shown: &Photo) -> Markup {
    let id = &context.view.id;
    html! {
        nav class="strip" aria-label="Plates" {
            ol {
                @for photo in &context.view.dossier.photos {
                    @let here = photo.id == shown.id;
                    @let parts = parts_on(photo);
                    li {
                        a href={ "/d/" (id) "/inside?plate=" (photo.id) } aria-current=[here.then_some("true")]
                            title=(photo.caption) {
                            @if let Ok(plate) = Plate::of(context.view, &photo.id) {
                                @let [width, height] = plate.pixels.unwrap_or([4, 3]);
                                img src={ "/t/" (plate.sha256) "/preview.jpg" } alt="" loading="lazy" decoding="async"
                                    width=(width) height=(height);
                            }
                            span class="called" { (photo.caption) }
                            span class="quiet" { (parts) @if parts == 1 { " part" } @else { " parts" } }
                        }
                    }
                }
            }
        }
    }
}

fn parts_on(photo: &Photo) -> usize {
    let items = photo
        .regions
        .iter()
        .filter_map(|region| region.item.as_deref());
    let items: std::collections::BTreeSet<&str> = items.collect();
    items.len()
}

/// Where photographs come in.
fn arriving(context: &Context<'_>) -> Markup {
    html! {
        form class="bring" method="post" enctype="multipart/form-data"
            action={ "/d/" (context.view.id) "/photographs" } {
            label for="bring" { "Photographs in" } " "
            kbd { "F8 P" }
            input id="bring" type="file" name="file" multiple accept="image/*";
            ol id="arriving" data-own aria-label="Photographs on their way" {}
            p id="arriving-told" class="unseen" role="status" data-own {}
        }
    }
}

/// The line that is being written; the module fills it.
fn line() -> Markup {
    html! {
        section id="line" class="line" aria-label="Part being written" data-own {
            h2 { span class="which" { "No box" } span class="sides quiet" {} }
            p class="hint quiet" {
                "Arrows go from body to body, " kbd { "Space" } " to the next without a part, "
                kbd { "Enter" } " grows a box. Then type the marking."
            }
        }
    }
}

/// The parts on this plate, each field of its record.
fn table(context: &Context<'_>, rows: &[PartRow<'_>]) -> Markup {
    let open = rows.iter().filter(|row| row.open).count();
    html! {
        section id="parts" class="parts" {
            h2 { "Parts on this plate"
                span class="quiet" { " " (rows.len()) @if open > 0 { ", " (open) " open" } } }
            table aria-label="Parts on this plate" {
                thead {
                    tr {
                        th scope="col" { "At" } th scope="col" { "Seen" } th scope="col" { "Is" }
                        th scope="col" { "Sure" } th scope="col" class="figure" { "Size, mm" } th scope="col" { "Role" }
                    }
                }
                tbody {
                    @for row in rows { (part(context, row)) }
                }
                tbody id="others" data-own {}
            }
            p class="quiet" { a href={ "/d/" (context.view.id) "/table?at=inside" } { "Bring a parts list in" } " " kbd { "F8 L" } }
        }
    }
}

fn part(context: &Context<'_>, row: &PartRow<'_>) -> Markup {
    let at = Place::item(&row.item.id);
    let called = row.called.as_str();
    let cell = |key: &str, label: &str, class| {
        let label = format!("{label} of {called}");
        let look = Look {
            label: Some(&label),
            quiet: true,
            class,
            ..Look::default()
        };
        field(context, &at.clone().at(key), look)
    };
    let identity = row.item.part.as_ref().and_then(|p| p.identity.as_ref());
    html! {
        tr data-key={ "part-" (row.item.id) } data-item=(row.item.id) data-region=(row.region.id)
            data-called=(called) data-unlisted[row.unlisted] class=[row.open.then_some("open")] {
            th scope="row" {
                button class="goes" type="button" data-goes=(row.item.id) title=(row.item.name) { (called) }
                @if row.seen > 1 { span class="quiet" { " ×" (row.seen) } }
            }
            @if row.item.part.is_some() {
                td { (cell("part.marking", "marking", "mono")) }
                td {
                    @if identity.is_some() { (cell("part.identity.name", "what it is", "")) }
                    @else { span class="quiet" { "open" } }
                }
            } @else {
                td colspan="2" title=(row.item.name) { (row.item.name) }
            }
            td class="sure" { (row.sure.unwrap_or_default()) }
            td class="figure" {
                button class="goes" type="button" data-measure="size" data-of=(row.item.id)
                    aria-label={ "Measure " (called) @if let Some(size) = &row.size { ", now " (size) " mm" } } {
                    (row.size.as_deref().unwrap_or("measure"))
                }
            }
            td { (cell("role", "role", "")) }
        }
    }
}

/// The items as they hang together, with how many and what is in them.
fn tree(context: &Context<'_>) -> Markup {
    let items = &context.view.dossier.items;
    let roots = items.iter().filter(|item| item.parent.is_none());
    html! {
        details class="tree" id="tree" {
            summary { "Items as a tree " span class="quiet" { (items.len()) } }
            ul role="list" { @for root in roots { (branch(context, root, 0)) } }
        }
    }
}

/// Deepest level that is drawn; a record holds no deeper ones that a reader could follow.
const DEEPEST: usize = 32;

fn branch(context: &Context<'_>, item: &Item, depth: usize) -> Markup {
    let items = context.view.dossier.items.iter();
    let inside: Vec<&Item> = items
        .filter(|other| other.parent.as_deref() == Some(item.id.as_str()))
        .collect();
    let count = item.count.number().filter(|n| *n > 1);
    let count = count.map_or_else(String::new, |n| format!("{n} × "));
    html! {
        li data-key={ "item-" (item.id) } {
            @if inside.is_empty() || depth == DEEPEST {
                p { (count) (item.name) }
            } @else {
                details open[depth < 1] id={ "in-" (item.id) } {
                    summary { (count) (item.name) span class="quiet" { " " (inside.len()) } }
                    ul role="list" { @for one in inside { (branch(context, one, depth + 1)) } }
                }
            }
        }
    }
}
