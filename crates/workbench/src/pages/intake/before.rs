//! Before opening: what must be measured, why, how finely, until which step; each with a field for the reading.

use super::Context;
use app::Taking;
use maud::{Markup, html};
use record::{Place, forms};

/// Rows that are shown at once.
const SHOWN: usize = 12;

pub(super) fn before(context: &Context<'_>) -> Markup {
    let open: Vec<&Taking> = context.takings.iter().filter(|t| !t.too_late).collect();
    let late = context.takings.len() - open.len();
    let (first, rest) = open.split_at(open.len().min(SHOWN));
    html! {
        section class="before" aria-labelledby="h-before" {
            h2 id="h-before" { "Before opening" }
            @if open.is_empty() {
                p class="quiet" { "Nothing that a reading would settle. It grows with the claims." }
            }
            ol { @for taking in first { (row(context, taking)) } }
            @if !rest.is_empty() {
                details {
                    summary { "and " (rest.len()) " more" }
                    ol { @for taking in rest { (row(context, taking)) } }
                }
            }
            @if late > 0 {
                details {
                    summary { (late) " can no longer be had" }
                    ul { @for taking in context.takings.iter().filter(|t| t.too_late) {
                        li { (taking.what) span class="quiet" { ", for " (whys(taking)) } }
                    } }
                }
            }
        }
    }
}

fn whys(taking: &Taking) -> String {
    let words = taking.why.iter().map(|why| match why.kind {
        Some(kind) => format!("{} {kind}", why.words),
        None => why.words.clone(),
    });
    words.collect::<Vec<_>>().join("; ")
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
                "for " (whys(taking))
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
    let instruments = &context.view.dossier.instruments;
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
                div {
                    label for={ (named) "-with" } { "with" }
                    select id={ (named) "-with" } name="entry.instrument" data-shape="text" {
                        option value="" { "" }
                        @for instrument in instruments {
                            option value=(instrument.id) data-unit=[instrument.resolution.as_ref().map(|r| r.unit.symbol())] {
                                (instrument.name)
                            }
                        }
                    }
                }
            }
            p class="reads" id={ (named) "-reads" } data-own {}
            button class="unseen" { "Write the reading" }
        }
    }
}
