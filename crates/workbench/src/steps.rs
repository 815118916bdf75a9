//! Steps begun and stopped from plain forms and from the telephone, by the server's clock; the chapters of a film.
//!
//! In: a form. Out: edits as a person's. Not here: the pages' own client, which writes the same edits itself.

use crate::edits::{pairs, write};
use crate::frame;
use crate::guard::Session;
use crate::server::{Bench, Shared, Stop};
use app::{Taking, opening};
use axum::Extension;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use library::{DossierId, Person};
use maud::html;
use record::{Edit, StepProposal, read_step};
use serde_json::Map;

/// The server's clock, as the record notes it.
pub(crate) fn now() -> String {
    opening::moment(&Timestamp::now().to_zoned_datetime(TimeZone::system()))
}

/// Stops the step that runs, or this one.
pub(crate) async fn stop(
    bench: &Bench,
    id: &DossierId,
    step: &str,
    by: &Person,
) -> Result<(), Stop> {
    write(bench, id, by, opening::stop(step, &now())).await
}

/// Begins a step that is planned.
pub(crate) async fn begin(
    bench: &Bench,
    id: &DossierId,
    step: &str,
    by: &Person,
) -> Result<(), Stop> {
    let view = bench.desk.view(id).await?;
    let planned = view.dossier.step(step).filter(|step| step.is_planned());
    let planned = planned.ok_or_else(|| Stop::missing("There is no such planned step."))?;
    write(bench, id, by, opening::begin(planned, &now())).await
}

/// `POST /d/ID/step`
pub(crate) async fn post(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Extension(session): Extension<Session>,
    body: Bytes,
) -> Response {
    match taken(&bench, &id, &session.person, &body).await {
        Ok(response) => response,
        Err(stop) => frame::stopped(&stop),
    }
}

async fn taken(bench: &Bench, id: &DossierId, by: &Person, body: &[u8]) -> Result<Response, Stop> {
    let pairs = pairs(body);
    let value = |name: &str| {
        let found = pairs.iter().find(|(key, _)| key == name);
        found
            .map(|(_, value)| value.trim())
            .filter(|v| !v.is_empty())
    };
    let view = bench.desk.view(id).await?;
    if let Some(step) = value("stop") {
        stop(bench, id, step, by).await?;
        return Ok(back(id));
    }
    if let Some(step) = opening::running(&view.dossier) {
        let message = format!("“{}” is running", step.text);
        return Err(Stop::unfit(message, "stop it first"));
    }
    let proposal = match (value("planned"), value("words")) {
        (Some(planned), _) => StepProposal {
            planned: Some(planned.to_string()),
            entry: Map::new(),
            says: Vec::new(),
            instead: Vec::new(),
            freed_in: None,
        },
        (None, Some(words)) => {
            let mut read = read_step(words, &view.dossier).into_iter();
            let first = read.next();
            first.ok_or_else(|| Stop::unfit("the form says nothing", "reload the page"))?
        }
        (None, None) => {
            return Err(Stop::unfit(
                "no step is named",
                "say what you are about to do",
            ));
        }
    };
    let edits = opening::start(&view.dossier, &proposal, &now());
    if value("go-on").is_none() {
        let ends = ends(bench, id, &proposal, edits.clone()).await?;
        if !ends.is_empty() {
            return Ok(ask(id, &pairs, &ends));
        }
    }
    write(bench, id, by, edits).await?;
    Ok(back(id))
}

async fn ends(
    bench: &Bench,
    id: &DossierId,
    proposal: &StepProposal,
    edits: Vec<Edit>,
) -> Result<Vec<Taking>, Stop> {
    let (dossier, findings) = bench.desk.with(id, edits).await?;
    let fresh = proposal.entry.get("id").and_then(|id| id.as_str());
    let step = proposal.planned.as_deref().or(fresh).unwrap_or_default();
    Ok(opening::ends(&dossier, &findings, step))
}

fn back(id: &DossierId) -> Response {
    Redirect::to(&format!("/d/{id}/opening")).into_response()
}

/// Says what the step ends before it is begun.
fn ask(id: &DossierId, pairs: &[(String, String)], ends: &[Taking]) -> Response {
    let main = html! {
        section {
            h2 { "Ends with this step" }
            ul class="ends" { @for end in ends { li {
                (methods::words::capital(&end.what))
                span class="quiet" { @for why in &end.why { " " (why.words) } }
                " " a href={ "/d/" (id) "/intake#" (report::anchor("take", &end.what)) } { "Take it first" }
            } } }
            form method="post" action={ "/d/" (id) "/step" } {
                @for (key, value) in pairs { input type="hidden" name=(key) value=(value); }
                input type="hidden" name="go-on" value="yes";
                button { "Go on" }
            }
        }
    };
    frame::loose("Before this step", &main)
}

/// `GET /d/ID/chapters.vtt`
pub(crate) async fn chapters(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
) -> Result<Response, Stop> {
    let view = bench.desk.view(&id).await?;
    let chapters = opening::chapters(&view.dossier);
    let text = opening::chapters_vtt(&chapters, 0);
    let headers = [
        (CONTENT_TYPE, "text/vtt; charset=utf-8"),
        (CONTENT_DISPOSITION, "attachment; filename=\"chapters.vtt\""),
    ];
    Ok((headers, text).into_response())
}
