//! Intake: what is printed, weighed and measured before anything is touched.

mod before;
mod weights;

use super::{Context, fields};
use crate::field::{Look, field};
use crate::frame::Laid;
use maud::{Markup, html};
use methods::words::Words as _;
use record::{Claim, Instrument, Place};
use report::anchor;

pub(crate) fn page(context: &Context<'_>) -> Laid {
    Laid {
        main: html! {
            (sections(context))
            (before::before(context))
            (claims(context))
            (product(context))
            (labels(context))
            (identifiers(context))
            (weights::weights(context))
            (instruments(context))
            p class="everything" { a href={ "/d/" (context.view.id) "/fields" } { "All entries and every field" } }
        },
        aside: None,
        module: true,
    }
}

/// What stands on the page and how much of it, each a way there.
fn sections(context: &Context<'_>) -> Markup {
    let dossier = &context.view.dossier;
    let counted = |n: usize| (n > 0).then(|| n.to_string());
    let all = [
        ("claims", "Claims", counted(dossier.claims.len())),
        ("product", "Product", None),
        ("labels", "Labels", counted(dossier.product.labels.len())),
        (
            "identifiers",
            "Identifiers",
            counted(dossier.product.identifiers.len()),
        ),
        ("weights", "Weights", None),
        (
            "instruments",
            "Instruments",
            counted(dossier.instruments.len()),
        ),
    ];
    html! {
        nav class="sections" aria-label="On this page" {
            @for (id, name, count) in all {
                a href={ "#h-" (id) } { (name) @if let Some(count) = count { " " span class="quiet" { (count) } } }
            }
            a href={ "/d/" (context.view.id) "/table" } { "Bring a table in " kbd { "F8 L" } }
        }
    }
}

/// The instruments that a value may have been read with, the likeliest first, each with its unit.
fn with(instruments: &[&Instrument], id: &str) -> Markup {
    html! {
        select id=(id) name="entry.instrument" data-shape="text" {
            @for instrument in instruments {
                option value=(instrument.id) data-unit=[instrument.resolution.as_ref().map(|r| r.unit.symbol())] {
                    (instrument.name)
                }
            }
            option value="" data-unit="" { "not said" }
        }
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
            (all_fields(context, &Place::product()))
        }
    }
}

/// Unfolds every key of an entry; the link does without script.
pub(crate) fn all_fields(context: &Context<'_>, place: &Place) -> Markup {
    let address = format!(
        "/d/{}/fields?at={}",
        context.view.id,
        crate::ask::find::encoded(&place.to_string())
    );
    html! {
        details class="all" data-fields=(address) id=(anchor("all", &place.to_string())) {
            summary { "All fields" }
            p { a href=(address) { "Every key of this entry" } }
        }
    }
}

/// Where the last claim was printed, for the next one.
fn printed_last<'v>(context: &Context<'v>) -> &'v str {
    let last = context.view.dossier.claims.last();
    last.map_or("front of box", |claim| claim.printed.as_str())
}

fn claims(context: &Context<'_>) -> Markup {
    let claims = &context.view.dossier.claims;
    html! {
        section aria-labelledby="h-claims" {
            h2 id="h-claims" { "Claims" }
            @if claims.is_empty() {
                p class="empty" { "What box, leaflet and labels say, word for word. Start with the sentence you most want to test." }
            }
            ol class="claims" id="claims" {
                @for claim in claims { (self::claim(context, claim)) }
            }
            (open_claim(context))
        }
    }
}

fn claim(context: &Context<'_>, claim: &Claim) -> Markup {
    let place = Place::claim(&claim.id);
    html! {
        li class="row-entry" id=(anchor("entry", &place.to_string())) data-claim=(claim.id) {
            div class="pair" {
                (field(context, &place.clone().at("text"), Look { label: Some("Claim"), quiet: true, wraps: true, class: "said", ..Look::default() }))
                (field(context, &place.clone().at("printed"), Look { label: Some("Printed"), quiet: true, wraps: true, ..Look::default() }))
            }
            div class="line-below" {
                p class="read" { (taken_as(context, claim)) }
                (all_fields(context, &place))
            }
        }
    }
}

/// How a recorded claim is read, in words.
fn taken_as(context: &Context<'_>, claim: &Claim) -> String {
    let value = claim.value.as_ref().map(|v| v.text.clone());
    let rating = claim.rating.as_ref().map(|r| r.text.clone());
    let item = claim.says.item.as_deref();
    let item = item.and_then(|id| context.view.dossier.items.iter().find(|i| i.id == id));
    let parts = [
        value.or(rating).or_else(|| claim.names.clone()),
        Some(claim.kind.words().to_string()),
        item.map(|item| format!("of {}", item.name)),
        claim.says.mode.as_ref().map(|mode| format!("mode: {mode}")),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    format!("reads as {}", parts.join(" · "))
}

fn open_claim(context: &Context<'_>) -> Markup {
    // A new product begins here; the browser puts the caret there before any script runs.
    let begins = context.query.at.as_deref() == Some("new-claim");
    html! {
        form class="open-line" id="new-claim" method="post" action={ "/d/" (context.view.id) "/edits" }
            data-add="claims" data-draft="new claim" data-key="new-claim" {
            input type="hidden" name="to" value="claims";
            input type="hidden" name="back" value="intake";
            // Without script the sentence is kept by its text; what it states is said under All fields.
            input type="hidden" name="entry.kind" value="unknown";
            div class="pair" {
                div {
                    label for="claim-text" { "Claim, as printed" }
                    input id="claim-text" name="entry.text" data-lead data-shape="text" autocomplete="off" class="sentence"
                        enterkeyhint="next" aria-describedby="claim-reads" required autofocus[begins];
                }
                div {
                    label for="claim-printed" { "Printed where" }
                    input id="claim-printed" name="entry.printed" data-shape="text" value=(printed_last(context))
                        autocomplete="off" enterkeyhint="next" required;
                }
            }
            p class="reads" id="claim-reads" data-own {}
            ol class="proposals" id="claim-proposals" data-own hidden {}
            button class="unseen" { "Write the claim" }
        }
    }
}

fn labels(context: &Context<'_>) -> Markup {
    let labels = &context.view.dossier.product.labels;
    html! {
        section aria-labelledby="h-labels" {
            h2 id="h-labels" { "Labels" }
            @if labels.is_empty() {
                p class="empty" { "Every label line by line, as it is printed: ratings, lot, marks. Where it is first, then its lines." }
            }
            @for label in labels {
                @let place = Place::label(&label.id);
                div class="row-entry" id=(anchor("entry", &place.to_string())) {
                    (field(context, &place.clone().at("place"), Look { label: Some("Where"), ..Look::default() }))
                    (field(context, &place.clone().at("text"), Look { label: Some("Its lines"), long: true, class: "mono label-lines", ..Look::default() }))
                    (label_read(context, label))
                    (all_fields(context, &place))
                }
            }
            (one_more(context, "label", &[("place", "Where a label is", false), ("text", "Its lines", true)]))
        }
    }
}

/// How the lines of a label are read, folded under what is odd.
fn label_read(context: &Context<'_>, label: &record::LabelText) -> Markup {
    let read = app::read::label(&label.text, context.view.dossier.product.opened);
    let wrong = read
        .iter()
        .filter(|line| line.agrees == Some(false))
        .count();
    if read.is_empty() {
        return html! {};
    }
    html! {
        details class="lines-read" data-key={ "read-" (label.id) } open[wrong > 0] {
            summary { (read.len()) @if read.len() == 1 { " reading" } @else { " readings" }
                @if wrong > 0 { ", " (wrong) " at odds" } }
            ul { @for line in &read { li class=[(line.agrees == Some(false)).then_some("odd")] {
                span class="mono" { (line.text) } " " span class="quiet" { (line.says) }
            } } }
        }
    }
}

fn identifiers(context: &Context<'_>) -> Markup {
    let product = &context.view.dossier.product;
    let places = (0..product.identifiers.len()).filter_map(|at| Place::identifier(product, at));
    html! {
        section class="identifiers" aria-labelledby="h-identifiers" {
            h2 id="h-identifiers" { "Identifiers" }
            @if product.identifiers.is_empty() {
                p class="empty" { "Article, serial and device numbers. Scan one, or type it: a check digit is told at once." }
            }
            @for (identifier, place) in product.identifiers.iter().zip(places) {
                div class="row-entry" id=(anchor("entry", &place.to_string())) {
                    div class="pair" {
                        (field(context, &place.clone().at("kind"), Look { label: Some("Kind"), ..Look::default() }))
                        (field(context, &place.clone().at("text"), Look { label: Some("As printed"), class: "mono", ..Look::default() }))
                    }
                    p class="read" { (read_code(&identifier.text).unwrap_or_default()) }
                    (all_fields(context, &place))
                }
            }
            (one_more(context, "identifier", &[("kind", "Kind of a further identifier", false), ("text", "As printed", false)]))
        }
    }
}

/// What an identifier may be, its check digit among it.
fn read_code(text: &str) -> Option<String> {
    app::read::identifier(text).map(|read| read.meaning)
}

fn instruments(context: &Context<'_>) -> Markup {
    html! {
        section aria-labelledby="h-instruments" {
            h2 id="h-instruments" { "Instruments" }
            @if context.view.dossier.instruments.is_empty() {
                p class="empty" { "What you weigh and measure with. Its resolution gives a bare number its unit, its accuracy a reading its uncertainty." }
            }
            @for instrument in &context.view.dossier.instruments {
                @let place = Place::instrument(&instrument.id);
                div class="row-entry" id=(anchor("entry", &place.to_string())) {
                    div class="facts" {
                        @for key in ["name", "resolution", "accuracy", "calibrated"] {
                            (field(context, &place.clone().at(key), Look::default()))
                        }
                    }
                    (all_fields(context, &place))
                }
            }
            (one_more(context, "instrument", &[("name", "A further instrument", false), ("resolution", "Resolution", false), ("accuracy", "Accuracy", false)]))
        }
    }
}

/// The open line at the end of a list: key, label, and whether it has several lines.
pub(crate) fn one_more(context: &Context<'_>, word: &str, keys: &[(&str, &str, bool)]) -> Markup {
    let forms = record::forms();
    let Some(form) = forms.iter().find(|form| form.word == word) else {
        return html! {};
    };
    let list = form.list(None);
    html! {
        form class="open-line" method="post" action={ "/d/" (context.view.id) "/edits" } data-add=(list)
            data-draft={ "new " (word) } data-key={ "new-" (word) } {
            input type="hidden" name="to" value=(list);
            input type="hidden" name="back" value="intake";
            div class="facts" {
                @for (at, (key, label, long)) in keys.iter().enumerate() {
                    @if let Some(field) = form.field(key) {
                        @let id = format!("new-{word}-{}", field.flag);
                        div {
                            label for=(id) { (label) }
                            (fields::line(field, &id, &format!("entry.{}", field.path), *long, at == 0))
                        }
                    }
                }
            }
            p class="reads" id={ "new-" (word) "-reads" } data-own {}
            button class="unseen" { "Add" }
        }
    }
}
