//! The weights as a tree, with what they say together.

use super::Context;
use crate::field::{Look, field};
use maud::{Markup, html};
use methods::Method;
use record::{Instrument, Item, Place, Reading, ReadingSubject};

pub(super) fn weights(context: &Context<'_>) -> Markup {
    let dossier = &context.view.dossier;
    let mass = context.view.findings.findings.iter();
    let mass = mass.filter(|f| f.method() == Method::Mass);
    let mut rows = Vec::new();
    for root in dossier.items.iter().filter(|item| item.parent.is_none()) {
        below(context, root, 0, &mut rows);
    }
    let scales = app::arrival::instruments_for(dossier, "mass");
    let weighed = rows
        .iter()
        .filter(|(item, _)| readings(context, item).next().is_some());
    let (weighed, all) = (weighed.count(), rows.len());
    html! {
        section aria-labelledby="h-weights" {
            h2 id="h-weights" { "Weights" }
            @if rows.is_empty() {
                p class="empty" { "The whole first, then whatever comes apart without tools. Value and Enter, down the tree." }
            } @else {
                div id="balance" class="balance" {
                    @for finding in mass { p { (finding.sentence) } }
                }
                @if !scales.is_empty() {
                    p class="weighed-with" {
                        label for="weigh-with" { "Weighed with" }
                        (super::with(&scales, "weigh-with"))
                    }
                }
                table class="weights" {
                    caption { (weighed) " of " (all) " weighed" }
                    tbody { @for (item, depth) in &rows { (row(context, item, *depth, scales.first().copied())) } }
                }
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

fn row(context: &Context<'_>, item: &Item, depth: usize, scale: Option<&Instrument>) -> Markup {
    let own: Vec<&Reading> = readings(context, item).collect();
    let name = report::anchor("weight", &item.id);
    html! {
        tr id=(name) data-weighs=(item.id) {
            th scope="row" class={ "depth-" (depth.min(8)) } { (item.name) }
            td {
                @for reading in &own {
                    @let label = said_of(context, item, reading, own.len());
                    (field(context, &Place::reading(&reading.id).at("value"), Look {
                        label: Some(&label), quiet: own.len() == 1, ..Look::default()
                    }))
                }
                @if own.is_empty() {
                    form class="open-line weigh" method="post" action={ "/d/" (context.view.id) "/edits" } data-add="readings"
                        data-draft=(name) data-key={ (name) "-new" } {
                        input type="hidden" name="to" value="readings";
                        input type="hidden" name="back" value="intake";
                        input type="hidden" name="entry.item" value=(item.id);
                        input type="hidden" name="entry.what" value="mass";
                        @if let Some(scale) = scale {
                            input type="hidden" name="entry.instrument" value=(scale.id)
                                data-unit=[scale.resolution.as_ref().map(|r| r.unit.symbol())];
                        }
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

/// Says what one of several weighings of an item was of: when it was taken, what was missing, how many pieces.
fn said_of(context: &Context<'_>, item: &Item, reading: &Reading, of: usize) -> String {
    if of == 1 {
        return format!("mass of {}", item.name);
    }
    let dossier = &context.view.dossier;
    let step = |id: &Option<String>| {
        let id = id.as_ref()?;
        let at = dossier.steps.iter().position(|step| step.id == *id)?;
        Some(at + 1)
    };
    let mut parts = Vec::new();
    if !reading.without.is_empty() {
        let names = reading.without.iter().filter_map(|id| dossier.item(id));
        let names: Vec<String> = names.map(|item| item.name.clone()).collect();
        parts.push(format!("without {}", methods::words::listed(names)));
    }
    parts.extend(step(&reading.before).map(|n| format!("before step {n}")));
    parts.extend(step(&reading.after).map(|n| format!("after step {n}")));
    parts.extend(reading.pieces.map(|n| format!("{n} pieces")));
    let with = reading.instrument.as_ref();
    let with = with.and_then(|id| dossier.instruments.iter().find(|i| i.id == *id));
    if parts.is_empty() {
        parts.extend(with.map(|instrument| format!("with {}", instrument.name)));
    }
    match parts.is_empty() {
        true => format!("mass of {}", item.name),
        false => parts.join(", "),
    }
}
