//! Opening: the step under way with its clock, what it ends, what is dangerous; the steps done, newest nearest.

use super::Context;
use crate::field::{Look, field};
use crate::frame::Laid;
use app::opening;
use maud::{Markup, html};
use methods::words::{Words as _, listed};
use record::{Place, Step};

pub(crate) fn page(context: &Context<'_>) -> Laid {
    let dossier = &context.view.dossier;
    let running = opening::running(dossier);
    Laid {
        main: html! {
            (strip(context, running))
            (beside_it(context, running))
            (planned(context))
            (done(context))
            (repair(context))
            (chapters(context))
        },
        aside: None,
        module: true,
    }
}

/// The step that is about to be done, or that is running.
fn strip(context: &Context<'_>, running: Option<&Step>) -> Markup {
    let id = &context.view.id;
    let began = running.and_then(|step| step.started);
    html! {
        section class="strip" aria-label="Step" {
            form id="step-line" class="step-line" method="post" action={ "/d/" (id) "/step" } hidden[running.is_some()] {
                div class="say" {
                    label for="step-words" { "What you are about to do" }
                    input id="step-words" name="words" autocomplete="off" spellcheck="false" enterkeyhint="go"
                        aria-describedby="step-reads" placeholder="pry front ring with opening pick";
                    div id="step-reads" class="reads" data-own {}
                }
                p class="clock quiet" aria-hidden="true" { "00:00" }
                button class="big" id="step-start" { "Start" }
            }
            form id="step-runs" class="step-line" method="post" action={ "/d/" (id) "/step" } hidden[running.is_none()]
                data-step=[running.map(|s| &s.id)] data-since=[began.map(|at| at.timestamp().as_millisecond())] {
                input type="hidden" name="stop" value=(running.map_or("", |s| s.id.as_str()));
                div class="say" {
                    p class="quiet" { "Running since " span id="step-began" { (began.map_or(String::new(), |at| crate::frame::clock(at.timestamp()))) } }
                    p class="doing" id="step-doing" { (running.map_or("", |s| s.text.as_str())) }
                    p id="step-long" class="reads" data-own {}
                }
                p class="clock" id="step-clock" role="timer" aria-label="Time of this step" data-own { "00:00" }
                button class="big" id="step-stop" { "Stop" }
            }
        }
    }
}

/// Cautions and what ends; of a running step as the server knows them, of a typed one as its words are read.
fn beside_it(context: &Context<'_>, running: Option<&Step>) -> Markup {
    let cautions = running.map(|step| opening::cautions(&context.view.findings, &step.id));
    html! { div class="beside" {
        section class="ends" id="ends-with" aria-labelledby="h-ends" hidden[running.is_some()] {
            h2 id="h-ends" { "Ends with this step" }
            div id="step-ends" data-own { p class="quiet" { "Say the step: what can no longer be measured after it is told here before it starts." } }
        }
        section class="cautions" aria-labelledby="h-cautions" {
            h2 id="h-cautions" { "Take care" }
            ul id="running-cautions" hidden[running.is_none()] {
                @for caution in cautions.iter().flatten() { li { (caution) } }
                @if cautions.as_ref().is_some_and(Vec::is_empty) { li { "Nothing is known to be dangerous at this step." } }
            }
            ul id="step-cautions" data-own hidden[running.is_some()] {}
            p class="quiet" { "Usual practice; local rules, the maker's safety sheets and licensed practice come first." }
        }
        (at_risk(context))
    } }
}

/// What a planned step ends and nobody has taken yet, each with the line where it can be taken.
fn at_risk(context: &Context<'_>) -> Markup {
    let steps = &context.view.dossier.steps;
    let number = |before: &Place| steps.iter().position(|s| Place::step(&s.id) == *before);
    let open = context.takings.iter().filter(|taking| taking.is_open());
    let open: Vec<_> = open
        .filter_map(|taking| Some((taking, number(taking.before.as_ref()?)? + 1)))
        .collect();
    if open.is_empty() {
        return html! {};
    }
    html! {
        section class="risk" aria-labelledby="h-risk" {
            h2 id="h-risk" { "At risk" }
            details class="at-risk" open data-key="at-risk" {
            summary { (open.len()) " to take before a planned step" }
            ol {
                @for (taking, step) in &open {
                    li {
                        a href={ "/d/" (context.view.id) "/intake#" (report::anchor("take", &taking.what)) } {
                            (methods::words::capital(&taking.what))
                        }
                        span class="under" { "before step " (step) ", for " (taking.whys()) }
                    }
                }
            }
            }
        }
    }
}

/// Steps that wait, each with its start.
fn planned(context: &Context<'_>) -> Markup {
    let dossier = &context.view.dossier;
    let waiting: Vec<&Step> = dossier.steps.iter().filter(|s| s.is_planned()).collect();
    if waiting.is_empty() {
        return html! {};
    }
    html! {
        section aria-labelledby="h-planned" {
            h2 id="h-planned" { "Planned" }
            ol class="planned" {
                @for step in waiting {
                    li data-key={ "planned-" (step.id) } {
                        form method="post" action={ "/d/" (context.view.id) "/step" } data-planned=(step.id) {
                            input type="hidden" name="planned" value=(step.id);
                            span class="text" { (step.text) }
                            " " span class="quiet" { (beside(step)) } " "
                            button aria-label={ "Start: " (step.text) } { "Start" }
                        }
                    }
                }
            }
        }
    }
}

/// Act, tool, temperature in one line.
fn beside(step: &Step) -> String {
    let mut parts = vec![step.action.words().to_string()];
    parts.extend(step.tool.clone());
    parts.extend(step.temperature.as_ref().map(ToString::to_string));
    parts.join(" · ")
}

/// Steps done, the last first; of the last what came free is asked.
fn done(context: &Context<'_>) -> Markup {
    let dossier = &context.view.dossier;
    let done: Vec<(usize, &Step)> = (1..).zip(&dossier.steps).filter(|(_, s)| s.done).collect();
    html! {
        section aria-labelledby="h-done" {
            h2 id="h-done" { "Done" }
            @if done.is_empty() {
                p class="empty" { "Say what you are about to do. Nothing counts as done until the clock is stopped." }
            }
            ol class="steps" {
                @for (number, step) in done.iter().rev() { (row(context, *number, step)) }
            }
        }
    }
}

fn row(context: &Context<'_>, number: usize, step: &Step) -> Markup {
    let dossier = &context.view.dossier;
    let name = |id: &String| {
        dossier
            .item(id)
            .map_or_else(|| id.clone(), |i| i.name.clone())
    };
    let freed: Vec<String> = step.frees.iter().map(name).collect();
    let place = || Place::step(&step.id);
    let photos = dossier
        .photos
        .iter()
        .filter(|p| p.after.as_deref() == Some(&step.id));
    let photos = photos.count();
    let unfolds = step.started.is_some() || context.query.at.as_deref() == Some(&step.id);
    html! {
        li data-key={ "step-" (step.id) } id={ "step-" (step.id) } data-step=(step.id) {
            p class="number" { (number) }
            div class="what" {
                p class="text" { (step.text) }
                div class="line-below" {
                p class="quiet" {
                    (beside(step))
                    @if !freed.is_empty() { " · frees " (listed(freed)) }
                    " · " (step.undo.says())
                    @if photos > 0 { " · " (photos) @if photos == 1 { " photograph" } @else { " photographs" } }
                }
                    @if !unfolds { (super::intake::all_fields(context, &place())) }
                }
                @if unfolds {
                    details class="more" {
                        summary { "Came free, goes back, time" }
                        (free(context, step))
                        div class="facts" {
                            (field(context, &place().at("undo"), Look { label: Some("goes back"), ..Look::default() }))
                            (field(context, &place().at("duration"), Look { label: Some("time, if not by the clock"), ..Look::default() }))
                            (field(context, &place().at("text"), Look { label: Some("in words"), ..Look::default() }))
                        }
                    }
                }
            }
            p class="took" { (step.took().map_or(String::new(), |took| took.to_string())) }
        }
    }
}

/// What came free: what was proposed is marked; what else is in or beside the thing can be.
fn free(context: &Context<'_>, step: &Step) -> Markup {
    let dossier = &context.view.dossier;
    let freed = step.frees.iter().filter_map(|id| dossier.item(id));
    let others = opening::may_come_free(dossier, step);
    let others = others
        .into_iter()
        .filter(|item| !step.frees.contains(&item.id));
    let choices: Vec<_> = freed
        .map(|i| (i, true))
        .chain(others.map(|i| (i, false)))
        .collect();
    let at = Place::step(&step.id).at("frees");
    let old = serde_json::json!(step.frees);
    html! {
        form class="frees" method="post" action={ "/d/" (context.view.id) "/edits" } data-frees data-at=(at)
            data-old=(old) {
            fieldset {
                legend { "Came free" }
                @if choices.is_empty() { p class="quiet" { "Nothing beside it is still in place." } }
                @for (item, marked) in choices {
                    label { input type="checkbox" name="free" value=(item.id) checked[marked]; " " (item.name) }
                }
            }
            button { "Take" }
        }
    }
}

/// What the steps say of repair, and the way to all of it.
fn repair(context: &Context<'_>) -> Markup {
    html! {
        (super::repair::sentences(context))
        p class="repair-more" { a href={ "/d/" (context.view.id) "/repair" } { "The way to each spare part and back, over the photographs" } }
    }
}

fn chapters(context: &Context<'_>) -> Markup {
    let chapters = opening::chapters(&context.view.dossier);
    if chapters.is_empty() {
        return html! {};
    }
    let time = |s: i64| format!("{}:{:02}", s / 60, s % 60);
    html! {
        section aria-labelledby="h-chapters" {
            h2 id="h-chapters" { "Chapters" }
            p class="quiet" { "The steps as chapters of a film that begins with the first of them. "
                a href={ "/d/" (context.view.id) "/chapters.vtt" } download { "Chapters as WebVTT" } }
            ol class="chapters" {
                @for chapter in &chapters { li { span class="time" { (time(chapter.from)) } " " (chapter.text) } }
            }
        }
    }
}
