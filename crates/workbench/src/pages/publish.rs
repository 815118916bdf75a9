//! Publish: the report as it will be, what is missing before, what to leave out, and every output of it.

mod corrections;
mod films;

use super::Context;
use crate::ask::find::encoded;
use crate::frame::{self, Laid};
use crate::jobs::Job;
use crate::server::{Shared, Stop};
use crate::station::Station;
use crate::told;
use ::library::{FileEntry, LeavingOut, Publication, Revision};
use app::desk::OutState;
use app::{At, Out};
use maud::{Markup, html};
use record::Place;
use std::collections::BTreeSet;

/// Edits since the last publication that are told one by one.
const EDITS: usize = 12;

pub(crate) async fn page(bench: &Shared, context: &Context<'_>) -> Result<Laid, Stop> {
    let view = context.view;
    if view.dossier.claims.is_empty() && view.dossier.items.len() < 2 {
        return Ok(super::empty("Nothing to publish yet: no claim, no item."));
    }
    let library = bench.desk.library();
    let publications = library.publications(&view.id).await?;
    let leaving_out = library.leaving_out(&view.id).await?;
    let job = bench.jobs.of(&view.id);
    let next = bench.desk.next_edition(&view.id).await?;
    let films = bench.desk.captions(&view.id).await?;
    let main = html! {
        (begin(context, publications.last(), next.as_ref(), job.as_deref()))
        (outputs(context, &publications))
        (films::section(context, &films))
        section aria-labelledby="h-report" {
            h2 id="h-report" { "The report as it will be" }
            iframe id="report" class="report" title="The report as it will be" sandbox="allow-same-origin"
                src=(report_address(context, &leaving_out)) {}
        }
    };
    let aside = html! {
        (checks(context))
        (contents(context, &leaving_out))
        (changes(context, publications.last()))
    };
    Ok(Laid {
        main,
        aside: Some(aside),
        module: true,
    })
}

/// The address changes with what is shown, so that the frame is loaded anew then and only then.
fn report_address(context: &Context<'_>, leaving_out: &LeavingOut) -> String {
    let out = [
        &leaving_out.sections,
        &leaving_out.photographs,
        &leaving_out.persons,
    ];
    let out: Vec<String> = out.into_iter().flatten().map(|w| encoded(w)).collect();
    let (id, revision) = (&context.view.id, context.view.revision);
    format!(
        "/d/{id}/report/?revision={revision}&without={}",
        out.join("+")
    )
}

fn begin(
    context: &Context<'_>,
    last: Option<&Publication>,
    edition: Option<&report::Edition>,
    job: Option<&Job>,
) -> Markup {
    let view = context.view;
    let running = job.filter(|job| job.runs());
    let next = last.map_or(1, |p| p.version + 1);
    html! {
        section aria-labelledby="h-begin" {
            h2 id="h-begin" { "Publish" }
            @if let Some(job) = running {
                p { "Revision " (job.revision) " is being published by " (job.by) "." }
                form method="post" action={ "/d/" (view.id) "/publish/stop" } data-quiet {
                    @if job.is_stopped() { p { "It stops when the output that is being made is done." } }
                    @else { button id="stop" { "Stop" } }
                }
            } @else {
                form method="post" action={ "/d/" (view.id) "/publish" } class="going" data-quiet {
                    input type="hidden" name="revision" value=(view.revision);
                    @if let Some(last) = last {
                        @if let Some(edition) = edition { (corrections::proposed(last.version, edition)) }
                        label for="reason" { "Why version " (last.version) " is corrected, in words for readers (may stay empty)" }
                        input id="reason" name="reason" autocomplete="off";
                    }
                    button id="publish" class="main" { "Publish revision " (view.revision) " as version " (next) }
                    p class="quiet" { "Open checks do not hold it up; the report says what is open. It is kept in this library, and leaves it only as you send the files." }
                }
            }
            @if let Some(job) = job { (progress(job)) }
        }
    }
}

fn progress(job: &Job) -> Markup {
    let state = job.state();
    let made = state
        .outputs
        .iter()
        .filter(|(_, s)| *s != OutState::Working);
    let made = made.count();
    html! {
        div class="job" {
            @match &state.ended {
                None => {
                    label for="done" { (made) " of " (Out::ALL.len()) " outputs" }
                    progress id="done" value=(made) max=(Out::ALL.len()) {}
                }
                Some(Ok(version)) => p role="status" { "Version " (version) " is published." },
                Some(Err((message, _))) if job.is_stopped() => p role="status" { "Stopped: " (message) ". Nothing was published." },
                Some(Err((message, remedy))) => p role="status" { "Not published: " (message) ". What to do: " (remedy) "." },
            }
            @if state.ended.as_ref().is_none_or(Result::is_err) || state.outputs.iter().any(|(_, s)| matches!(s, OutState::Failed(..))) {
                ul class="outputs" {
                    @for out in Out::ALL {
                        @let known = state.outputs.iter().find(|(of, _)| *of == out).map(|(_, state)| state);
                        li {
                            span { (out.name()) }
                            span class="quiet" {
                                @match known {
                                    None => { @if state.ended.is_none() { "waits" } @else { "not made" } }
                                    Some(OutState::Working) => { @if state.ended.is_none() { "is being made" } @else { "not made" } }
                                    Some(OutState::Made(files)) => { (size(files.iter().map(|f| f.bytes).sum())) }
                                    Some(OutState::Failed(cause, remedy)) => { "cannot be made: " (cause) "; " (remedy) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The files that a reader is sent, the others being in the archives.
fn downloads(publication: &Publication) -> Vec<&FileEntry> {
    let files = publication.files.iter();
    files.filter(|file| !file.path.contains('/')).collect()
}

fn outputs(context: &Context<'_>, publications: &[Publication]) -> Markup {
    let id = &context.view.id;
    html! {
        @for (at, publication) in publications.iter().rev().enumerate() {
            section aria-label={ "Version " (publication.version) } id={ "version-" (publication.version) } {
                h2 { "Version " (publication.version) ", revision " (publication.revision) ", "
                    (frame::day(publication.at)) ", " (publication.by) }
                @if let Some(reason) = &publication.reason { p class="sentence" { (reason) } }
                @if at == 0 { (files(id.as_str(), publication)) }
                @else { details { summary { "Its files" } (files(id.as_str(), publication)) } }
            }
        }
    }
}

fn files(id: &str, publication: &Publication) -> Markup {
    let to = |path: &str| format!("/d/{id}/published/{}/{path}", publication.version);
    let sum = |begin: &str| -> u64 {
        let files = publication.files.iter();
        let files = files.filter(|f| f.path.starts_with(begin));
        files.map(|f| f.bytes).sum()
    };
    html! {
        ul class="outputs" {
            @for file in downloads(publication) {
                li { a href=(to(&file.path)) download { (file.path) } span class="quiet" { (size(file.bytes)) } }
            }
            @if sum("bundle/") > 0 {
                li { a href=(to("bundle.zip")) download { "bundle.zip" } span class="quiet" { "about " (size(sum("bundle/"))) } }
            }
            li { a href=(to("everything.zip")) download { "everything.zip" } span class="quiet" { "about " (size(sum(""))) } }
        }
        @if let Some(fingerprint) = &publication.fingerprint {
            p class="quiet" { "Fingerprint of the bundle: " code { (fingerprint) } }
        }
    }
}

fn checks(context: &Context<'_>) -> Markup {
    let view = context.view;
    let ready = &context.readiness;
    let to_take = context.open_in(Station::Intake);
    let to = |at: &At| match at {
        At::Record(place) => Some(fields(context, place)),
        _ => None,
    };
    html! {
        section aria-labelledby="h-checks" {
            h2 id="h-checks" { "Before publishing" }
            @if ready.gaps.is_empty() { p { "Nothing is missing." } }
            ul class="checks" {
                @for gap in &ready.gaps {
                    li {
                        @match to(&gap.place) {
                            Some(to) => a href=(to) { (gap.message) },
                            None => (gap.message),
                        }
                        @let remedy = methods::words::for_readers(&gap.remedy);
                        @if !remedy.is_empty() { p class="quiet" { (methods::words::capital(&remedy)) "." } }
                    }
                }
            }
            @if !to_take.is_empty() { p { a href={ "/d/" (view.id) "/intake" } { (to_take) } "; the report says what is open." } }
            @for said in &ready.disclosure { p class="quiet" { (said) } }
        }
    }
}

/// Where every key of an entry can be written.
fn fields(context: &Context<'_>, place: &Place) -> String {
    format!(
        "/d/{}/fields?at={}",
        context.view.id,
        encoded(&place.to_string())
    )
}

fn contents(context: &Context<'_>, out: &LeavingOut) -> Markup {
    // Which sections there are does not hang on what the photographs show.
    let dossier = context.view.dossier.published();
    let photographs = report::Photographs::default();
    let document = report::compose(&dossier, &context.view.findings, &photographs);
    let sections = document.sections.iter();
    let sections = sections.filter(|section| report::may_be_left_out(&section.id));
    let photos = context.view.dossier.photos.iter();
    html! {
        section aria-labelledby="h-contents" {
            h2 id="h-contents" { "What goes into it" }
            (leaving(context, "Sections", "section", sections.map(|s| (s.id.clone(), s.title.clone())), &out.sections))
            (leaving(context, "Photographs", "photograph", photos.map(|p| (p.id.clone(), p.caption.clone())), &out.photographs))
            (leaving(context, "Persons", "person", app::persons(&context.view.dossier).into_iter().map(|n| (n.clone(), n)), &out.persons))
        }
    }
}

fn leaving(
    context: &Context<'_>,
    heading: &str,
    what: &str,
    all: impl Iterator<Item = (String, String)>,
    out: &BTreeSet<String>,
) -> Markup {
    let all: Vec<(String, String)> = all.collect();
    let left = all.iter().filter(|(id, _)| out.contains(id)).count();
    html! {
        @if !all.is_empty() {
            details class="leaving" id={ "leaving-" (what) } open[what == "section"] {
                summary { (heading) ", " (all.len()) @if left > 0 { ", " (left) " left out" } }
                ul {
                    @for (id, name) in &all {
                        @let is_out = out.contains(id);
                        li class=[is_out.then_some("out")] {
                            form method="post" action={ "/d/" (context.view.id) "/leave-out" } data-quiet {
                                input type="hidden" name="what" value=(what);
                                input type="hidden" name="which" value=(id);
                                input type="hidden" name="out" value=(if is_out { "no" } else { "yes" });
                                span { (name) }
                                button id=(report::anchor(what, id)) aria-label={ (if is_out { "Put in again: " } else { "Leave out: " }) (name) } {
                                    (if is_out { "Put in" } else { "Leave out" })
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn changes(context: &Context<'_>, last: Option<&Publication>) -> Markup {
    let Some(last) = last else {
        return html! {};
    };
    let view = context.view;
    let since: Vec<&Revision> = context
        .history
        .iter()
        .filter(|r| r.number > last.revision)
        .collect();
    html! {
        section aria-labelledby="h-since" {
            h2 id="h-since" { "Since version " (last.version) }
            @if since.is_empty() { p { "Nothing was changed." } }
            @else {
                ul {
                    @for revision in since.iter().take(EDITS) {
                        li { (told::revision(revision, &context.history, &view.dossier, &context.values))
                            span class="quiet" { ", " (revision.by) } }
                    }
                    @if since.len() > EDITS { li { "and " (since.len() - EDITS) " more" } }
                }
                p { a href={ "/d/" (view.id) "/history?from=" (last.revision) "&to=" (view.revision) } { "What they moved" } }
            }
        }
    }
}

fn size(bytes: u64) -> String {
    match bytes {
        0..1_000_000 => format!("{} kB", bytes.div_ceil(1000)),
        _ => format!("{}.{} MB", bytes / 1_000_000, bytes % 1_000_000 / 100_000),
    }
}
