//! Every revision: who, when, which edits; two compared; one brought back whole; what was not taken.

use super::{context, form_pairs};
use crate::edits::take;
use crate::guard::Session;
use crate::server::{Shared, Stop};
use crate::station::Station;
use crate::{frame, told};
use ::library::{DossierId, Revision, Untaken};
use app::desk::View;
use axum::Extension;
use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::response::{Redirect, Response};
use maud::{Markup, html};
use methods::Moved;
use record::{Edit, Values};
use report::verdict_words;
use serde::Deserialize;

/// Revisions on one page.
const MOST: usize = 100;

#[derive(Deserialize, Default)]
pub(crate) struct Asked {
    before: Option<u64>,
    from: Option<u64>,
    to: Option<u64>,
}

/// `GET /d/ID/history`
pub(crate) async fn page(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Query(asked): Query<Asked>,
    Query(query): Query<super::Asked>,
    Extension(session): Extension<Session>,
) -> Response {
    match listed(&bench, &id, &asked, &query, &session).await {
        Ok(response) => response,
        Err(stop) => frame::stopped(&stop),
    }
}

async fn listed(
    bench: &Shared,
    id: &DossierId,
    asked: &Asked,
    query: &super::Asked,
    session: &Session,
) -> Result<Response, Stop> {
    let view = bench.desk.view(id).await?;
    let context = context(bench, &view, Station::Intake, query, session).await?;
    let library = bench.desk.library();
    let history = library.history(id, asked.before, MOST).await?;
    let untaken = library.untaken(id).await?;
    let values = &context.values;
    let compared = match (asked.from, asked.to) {
        (Some(from), Some(to)) => Some((from, to, bench.desk.between(id, from, to).await?)),
        _ => None,
    };
    let main = html! {
        @if let Some((from, to, moved)) = &compared { (comparison(*from, *to, moved, &history, &view, values)) }
        (revisions(&view, &history, values))
        @if let Some(last) = history.last().filter(|r| r.number > 1) {
            p { a href={ "?before=" (last.number) } { "Earlier revisions" } }
        }
        (untaken_list(&untaken, &view, values))
    };
    Ok(frame::beside(&context, frame::HISTORY, &main))
}

fn revisions(view: &View, history: &[Revision], values: &Values<'_>) -> Markup {
    html! {
        section aria-labelledby="h-revisions" {
            h2 id="h-revisions" { "Every revision" }
            p class="quiet" { "Nothing here is written over: one brought back whole is a revision of its own, and can be taken back." }
            form method="get" class="compare" {
                table class="history" {
                    caption class="unseen" { "Revisions, newest first" }
                    thead { tr { th scope="col" { "From" } th scope="col" { "To" } th scope="col" { "Revision" }
                        th scope="col" { "When" } th scope="col" { "Who" } th scope="col" { "What" }
                        th scope="col" { span class="unseen" { "Bring back whole" } } } }
                    tbody {
                        @for (at, revision) in history.iter().enumerate() {
                            tr data-key={ "revision-" (revision.number) } {
                                td { input type="radio" name="from" value=(revision.number)
                                    aria-label={ "from revision " (revision.number) } checked[at == 1]; }
                                td { input type="radio" name="to" value=(revision.number)
                                    aria-label={ "to revision " (revision.number) } checked[at == 0]; }
                                th scope="row" { (revision.number) }
                                td { (frame::day(revision.at)) }
                                td { (revision.by) }
                                td class="what" { (told::revision(revision, history, &view.dossier, values)) }
                                td {
                                    @if revision.number < view.revision {
                                        button formmethod="post" formaction={ "/d/" (view.id) "/history" } name="revision"
                                            value=(revision.number) aria-label={ "Bring back revision " (revision.number) " whole" } {
                                            "Bring back"
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
                @if history.len() > 1 { button class="main" { "Compare" } }
            }
        }
    }
}

/// `POST /d/ID/history`: `revision`, which is brought back whole.
pub(crate) async fn bring(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Extension(session): Extension<Session>,
    body: Bytes,
) -> Result<Redirect, Stop> {
    let pairs = form_pairs(&body);
    let asked = pairs.iter().find(|(key, _)| key == "revision");
    let number = asked.and_then(|(_, number)| number.parse().ok());
    let number = number.ok_or_else(|| Stop::unfit("No revision is named", "reload the page"))?;
    let list = bench.desk.as_of(&id, number).await?;
    take(&bench, &id, &session.person, list).await?;
    Ok(Redirect::to(&format!("/d/{id}/history")))
}

fn comparison(
    from: u64,
    to: u64,
    moved: &Moved,
    history: &[Revision],
    view: &View,
    values: &Values<'_>,
) -> Markup {
    let (low, high) = (from.min(to), from.max(to));
    let between = history.iter().rev();
    let between = between.filter(|r| r.number > low && r.number <= high);
    html! {
        section class="compared" aria-label="Compared" {
            h2 { "From revision " (from) " to " (to) }
            h3 { "In the record" }
            ul {
                @for revision in between {
                    @for edit in &revision.edits {
                        li {
                            (told::edit(edit, &view.dossier, values))
                            @if let Edit::Set { at, old: Some(old), .. } = edit {
                                @if !old.is_null() { ", was " (plain(old)) " " (bring_back(view, at, old, values)) }
                            }
                        }
                    }
                    @if revision.undoes.is_some() { li { (told::revision(revision, history, &view.dossier, values)) } }
                }
            }
            h3 { "In the findings" }
            @if moved.is_empty() { p { "Nothing moved." } }
            ul {
                @for v in &moved.verdicts {
                    li { (v.title) ": " (v.was.map_or("none", verdict_words)) " → " (v.now.map_or("none", verdict_words)) }
                }
                @for f in &moved.figures {
                    li { (f.name) ": " (f.was.as_deref().unwrap_or("none")) " → " (f.now.as_deref().unwrap_or("none")) }
                }
            }
        }
    }
}

fn bring_back(
    view: &View,
    at: &record::Place,
    old: &serde_json::Value,
    values: &Values<'_>,
) -> Markup {
    let Some(field) = record::field_at(at) else {
        return html! {};
    };
    let present = values.at(at).unwrap_or_default();
    html! {
        @if present != *old {
            button formmethod="post" formaction={ "/d/" (view.id) "/edits" } form={ (report::anchor("back", &at.to_string())) } {
                "Bring back"
            }
            form class="inline" id={ (report::anchor("back", &at.to_string())) } method="post" action={ "/d/" (view.id) "/edits" } {
                input type="hidden" name="at" value=(at);
                input type="hidden" name="old" value=(present.to_string());
                input type="hidden" name="new" value=(field.words(old));
            }
        }
    }
}

fn plain(value: &serde_json::Value) -> String {
    match value {
        serde_json::Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

fn untaken_list(untaken: &[Untaken], view: &View, values: &Values<'_>) -> Markup {
    html! {
        @if !untaken.is_empty() {
            section aria-label="Not taken" {
                h2 { "Not taken" }
                ul {
                    @for one in untaken {
                        li {
                            (one.by) ", " (frame::day(one.at)) ": "
                            (told::edits(&one.list.edits, &view.dossier, values))
                            @for why in &one.why { span class="quiet" { " (" (why.text) ")" } }
                        }
                    }
                }
            }
        }
    }
}
