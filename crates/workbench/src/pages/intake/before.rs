//! Before opening: what must be measured, why, how finely, until which step; each with a field for the reading.

use super::Context;
use app::Taking;
use maud::{Markup, html};
use record::{Place, forms};

/// The list, folded under its count: the number that the day rule shows.
pub(super) fn before(context: &Context<'_>) -> Markup {
    let open: Vec<&Taking> = context.takings.iter().filter(|t| t.is_open()).collect();
    let late: Vec<&Taking> = context.takings.iter().filter(|t| !t.is_open()).collect();
    let (first, later): (Vec<&Taking>, Vec<&Taking>) =
        open.iter().partition(|taking| taking.before.is_some());
    html! {
        section class="before" aria-labelledby="h-before" {
            h2 id="h-before" { "Before opening" }
            @if open.is_empty() && late.is_empty() {
                p class="quiet" {
                    "What has to be weighed or measured while the product is whole: it grows with the claims, and each \
                     row takes its reading."
                }
            } @else if open.is_empty() {
                p class="quiet" { "Nothing is left that a reading would settle." }
            } @else {
                details class="takings" open data-key="takings" {
                    summary { b { (open.len()) " to take" } @if !first.is_empty() { span class="quiet" { ", " (first.len()) " before a step" } } }
                    @if !first.is_empty() {
                        ol { @for taking in &first { (row(context, taking)) } }
                    }
                    @if !later.is_empty() {
                        @if !first.is_empty() { h3 { "At any time" } }
                        ol { @for taking in &later { (row(context, taking)) } }
                    }
                }
            }
            @if !late.is_empty() {
                details data-key="too-late" {
                    summary { (late.len()) " can no longer be had" }
                    ul { @for taking in late {
                        li { (methods::words::capital(&taking.what)) span class="quiet" { ", for " (taking.whys()) } }
                    } }
                }
            }
        }
    }
}

fn row(context: &Context<'_>, taking: &Taking) -> Markup {
    let step = taking.before.as_ref().and_then(|before| {
        let id = before.entry_id()?;
        let at = context.view.dossier.steps.iter().position(|s| s.id == id)?;
        Some(format!(
            "before step {}, {}",
            at + 1,
            context.view.dossier.steps[at].text
        ))
    });
    let named = report::anchor("take", &taking.what);
    html! {
        li id=(named) {
            p class="what" { (methods::words::capital(&taking.what)) }
            p class="quiet why" {
                "for " (taking.whys())
                @if let Some(how) = &taking.how { " · " (how) }
                @if let Some(step) = &step { " · " (step) }
            }
            (reading(context, taking, &named))
        }
    }
}

/// The line that the reading is typed into.
fn reading(context: &Context<'_>, taking: &Taking, named: &str) -> Markup {
    let Some(wanted) = &taking.reading else {
        return html! {};
    };
    let sort = forms().into_iter().find(|form| form.word == "reading");
    let Some(example) = sort.as_ref().and_then(|form| {
        let mut entry = serde_json::Map::new();
        entry.insert("what".to_string(), wanted.what.into());
        form.field("value").map(|field| form.example(field, &entry))
    }) else {
        return html! {};
    };
    let instruments = app::arrival::instruments_for(&context.view.dossier, wanted.what);
    html! {
        form class="open-line take" method="post" action={ "/d/" (context.view.id) "/edits" }
            data-add="readings" data-draft=(named) data-key=(named) {
            input type="hidden" name="to" value=(Place::dossier().at("readings"));
            input type="hidden" name="back" value="intake";
            input type="hidden" name="entry.item" value=(wanted.item);
            input type="hidden" name="entry.what" value=(wanted.what);
            @if let Some(mode) = &wanted.mode { input type="hidden" name="entry.mode" value=(mode); }
            @if let Some(step) = taking.before.as_ref().and_then(Place::entry_id) {
                input type="hidden" name="entry.before" value=(step);
            }
            div class="pair" {
                div {
                    label for={ (named) "-value" } { (wanted.what.replace('-', " ")) }
                    input id={ (named) "-value" } name="entry.value" data-lead data-shape="text" data-quantity autocomplete="off"
                        enterkeyhint="next" placeholder={ "such as " (example) } aria-describedby={ (named) "-reads" } required;
                }
                @if !instruments.is_empty() {
                    div {
                        label for={ (named) "-with" } { "with" }
                        (super::with(&instruments, &format!("{named}-with")))
                    }
                }
            }
            p class="reads" id={ (named) "-reads" } data-own {}
            button class="unseen" { "Write the reading" }
        }
    }
}
