//! The weights as a tree, with what they say together.

use super::Context;
use crate::field::{Look, field};
use maud::{Markup, html};
use methods::Method;
use record::{Item, Place, Reading, ReadingSubject};

pub(super) fn weights(context: &Context<'_>) -> Markup {
    let dossier = &context.view.dossier;
    let mass = context.view.findings.findings.iter();
    let mass = mass.filter(|f| f.method() == Method::Mass);
    let mut rows = Vec::new();
    for root in dossier.items.iter().filter(|item| item.parent.is_none()) {
        below(context, root, 0, &mut rows);
    }
    html! {
        section aria-labelledby="h-weights" {
            h2 id="h-weights" { "Weights" }
            div id="balance" class="balance" { @for finding in mass { p { (finding.sentence) } } }
            table class="weights" {
                caption class="unseen" { "Every piece and its weighings" }
                tbody { @for (item, depth) in &rows { (row(context, item, *depth)) } }
            }
        }
    }
}

/// Lists an item and what is in it, weighed or of a sort that is.
fn below<'a>(
    context: &Context<'a>,
    item: &'a Item,
    depth: usize,
    rows: &mut Vec<(&'a Item, usize)>,
) {
    rows.push((item, depth));
    let items = &context.view.dossier.items;
    for inner in items
        .iter()
        .filter(|i| i.parent.as_deref() == Some(item.id.as_str()))
    {
        // Parts on boards are seldom weighed; those that were stand here.
        let is_part = inner.part.is_some();
        let weighed = readings(context, inner).next().is_some();
        if depth < 12 && (!is_part || weighed) {
            below(context, inner, depth + 1, rows);
        }
    }
}

fn readings<'a>(context: &Context<'a>, item: &Item) -> impl Iterator<Item = &'a Reading> + use<'a> {
    let id = item.id.clone();
    let readings = context.view.dossier.readings.iter();
    readings.filter(move |r| r.item == id && r.what == ReadingSubject::Mass)
}

fn row(context: &Context<'_>, item: &Item, depth: usize) -> Markup {
    let own: Vec<&Reading> = readings(context, item).collect();
    let name = report::anchor("weight", &item.id);
    html! {
        tr id=(name) {
            th scope="row" class={ "depth-" (depth.min(8)) } { (item.name) }
            td {
                @for reading in &own {
                    (field(context, &Place::reading(&reading.id).at("value"), Look {
                        label: Some(&format!("mass of {}", item.name)), quiet: true, ..Look::default()
                    }))
                }
                @if own.is_empty() {
                    form class="open-line weigh" method="post" action={ "/d/" (context.view.id) "/edits" } data-add="readings"
                        data-draft=(name) data-key={ (name) "-new" } {
                        input type="hidden" name="to" value="readings";
                        input type="hidden" name="back" value="intake";
                        input type="hidden" name="entry.item" value=(item.id);
                        input type="hidden" name="entry.what" value="mass";
                        label class="unseen" for={ (name) "-value" } { "mass of " (item.name) }
                        input id={ (name) "-value" } name="entry.value" data-lead data-shape="text" data-quantity autocomplete="off"
                            enterkeyhint="next" placeholder="not weighed" aria-describedby={ (name) "-reads" } required;
                        p class="reads" id={ (name) "-reads" } data-own {}
                        button class="unseen" { "Write" }
                    }
                }
            }
        }
    }
}
