//! Publications under way: begun, told output by output, stopped; previews of reports.
//!
//! In: a revision to publish. Out: a [`Job`] that outlives the page that began it, events for every window.
//! Not here: what is made (`app::desk`), how it looks (`pages::publish`).

use crate::guard::{Framed, Session};
use crate::pages::form_pairs;
use crate::server::{Shared, Stop};
use app::desk::{OutState, Publish, Stopper};
use app::{Out, Problem};
use axum::Extension;
use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::http::{HeaderName, HeaderValue, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use library::{DossierId, LeavingOut, Person};
use serde::Deserialize;
use serde_json::json;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Previews that are kept.
const PREVIEWS: usize = 4;

/// A publication under way, or how it ended.
pub(crate) struct Job {
    pub(crate) revision: u64,
    pub(crate) by: Person,
    stopper: Stopper,
    state: Mutex<JobState>,
}

/// How far a job is.
#[derive(Default, Clone)]
pub(crate) struct JobState {
    /// Outputs that were begun, in their order.
    pub(crate) outputs: Vec<(Out, OutState)>,
    /// The version that was published, or why none was.
    pub(crate) ended: Option<Result<u64, (String, String)>>,
}

impl Job {
    pub(crate) fn state(&self) -> JobState {
        lock(&self.state).clone()
    }

    pub(crate) fn runs(&self) -> bool {
        lock(&self.state).ended.is_none()
    }

    pub(crate) fn is_stopped(&self) -> bool {
        self.stopper.is_stopped()
    }

    fn tell(&self, out: Out, state: OutState) {
        let mut held = lock(&self.state);
        match held.outputs.iter_mut().find(|(of, _)| *of == out) {
            Some(known) => known.1 = state,
            None => held.outputs.push((out, state)),
        }
    }
}

/// What a preview is made from.
type PreviewKey = (DossierId, u64, LeavingOut);

/// A report as it would be, with the photographs beside it.
struct Preview {
    /// Path and content of each file.
    files: Vec<(String, Vec<u8>)>,
}

/// What runs, by dossier.
#[derive(Default)]
pub(crate) struct Jobs {
    jobs: Mutex<HashMap<DossierId, Arc<Job>>>,
    previews: Mutex<Vec<(PreviewKey, Arc<Preview>)>>,
    /// One preview is made at a time.
    turn: tokio::sync::Mutex<()>,
}

impl Jobs {
    pub(crate) fn of(&self, id: &DossierId) -> Option<Arc<Job>> {
        lock(&self.jobs).get(id).cloned()
    }

    fn kept(&self, key: &PreviewKey) -> Option<Arc<Preview>> {
        let previews = lock(&self.previews);
        let found = previews.iter().find(|(of, _)| of == key);
        found.map(|(_, preview)| Arc::clone(preview))
    }
}

/// Returns the report of a revision as it would be.
async fn preview(
    bench: &Shared,
    id: &DossierId,
    revision: u64,
    leaving_out: LeavingOut,
) -> Result<Arc<Preview>, Problem> {
    let key = (id.clone(), revision, leaving_out.clone());
    let _turn = bench.jobs.turn.lock().await;
    if let Some(kept) = bench.jobs.kept(&key) {
        return Ok(kept);
    }
    let files = bench.desk.preview(id, revision, leaving_out).await?;
    let preview = Arc::new(Preview { files });
    let mut previews = lock(&bench.jobs.previews);
    if previews.len() >= PREVIEWS {
        previews.remove(0);
    }
    previews.push((key, Arc::clone(&preview)));
    Ok(preview)
}

#[derive(Deserialize)]
pub(crate) struct Shown {
    revision: Option<u64>,
}

/// `GET /d/ID/report/` and the photographs below it: the report as it would be, for a frame.
pub(crate) async fn report(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Query(shown): Query<Shown>,
) -> Result<Response, Stop> {
    shown_file(&bench, &id, shown.revision, "report.html").await
}

/// `GET /d/ID/report/PATH`
pub(crate) async fn beside(
    State(bench): State<Shared>,
    Path((id, path)): Path<(DossierId, String)>,
    Query(shown): Query<Shown>,
) -> Result<Response, Stop> {
    shown_file(&bench, &id, shown.revision, &path).await
}

async fn shown_file(
    bench: &Shared,
    id: &DossierId,
    revision: Option<u64>,
    path: &str,
) -> Result<Response, Stop> {
    let library = bench.desk.library();
    let revision = match revision {
        Some(revision) => revision,
        None => library.head(id).await?.revision,
    };
    let leaving_out = library.leaving_out(id).await?;
    let preview = preview(bench, id, revision, leaving_out).await?;
    let file = preview.files.iter().find(|(of, _)| of == path);
    let (_, bytes) = file.ok_or_else(|| Stop::missing("The report has no such file."))?;
    let mut response = bytes.clone().into_response();
    let kind = HeaderValue::from_static(media_type(path));
    response.headers_mut().insert(CONTENT_TYPE, kind);
    response.extensions_mut().insert(Framed);
    Ok(response)
}

/// `POST /d/ID/publish`
pub(crate) async fn publish(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Extension(session): Extension<Session>,
    body: Bytes,
) -> Result<Response, Stop> {
    let pairs = form_pairs(&body);
    let value = |name: &str| pairs.iter().find(|(key, _)| key == name).map(|(_, v)| v);
    let head = bench.desk.library().head(&id).await?;
    let revision = value("revision").and_then(|n| n.parse().ok());
    let revision = revision.unwrap_or(head.revision);
    let job = Arc::new(Job {
        revision,
        by: session.person.clone(),
        stopper: Stopper::default(),
        state: Mutex::default(),
    });
    {
        let mut jobs = lock(&bench.jobs.jobs);
        if jobs.get(&id).is_some_and(|job| job.runs()) {
            return Err(Stop {
                status: StatusCode::CONFLICT,
                message: "This product is being published already".into(),
                remedy: "wait until it is done, or stop it".into(),
            });
        }
        jobs.insert(id.clone(), Arc::clone(&job));
    }
    let what = Publish {
        revision,
        by: session.person,
        at: Timestamp::now(),
        reason: value("reason")
            .map(|r| r.trim().to_string())
            .filter(|r| !r.is_empty()),
    };
    tell(&bench, &id, &job);
    tokio::spawn(run(bench, id.clone(), job, what));
    Ok(Redirect::to(&format!("/d/{id}/publish")).into_response())
}

async fn run(bench: Shared, id: DossierId, job: Arc<Job>, what: Publish) {
    let told = |out: Out, state: OutState| {
        job.tell(out, state);
        tell(&bench, &id, &job);
    };
    let ended = bench.desk.publish(&id, what, &job.stopper, told).await;
    lock(&job.state).ended = Some(match ended {
        Ok(publication) => Ok(publication.version),
        Err(problem) => Err((problem.message, problem.remedy.to_string())),
    });
    tell(&bench, &id, &job);
}

fn tell(bench: &Shared, id: &DossierId, job: &Job) {
    let state = job.state();
    let done = state.outputs.iter();
    let done = done
        .filter(|(_, state)| *state != OutState::Working)
        .count();
    let told = json!({ "done": done, "of": Out::ALL.len(), "ended": state.ended.is_some() });
    bench.channel(id).tell("job", told);
}

/// `POST /d/ID/publish/stop`
pub(crate) async fn stop(State(bench): State<Shared>, Path(id): Path<DossierId>) -> Redirect {
    if let Some(job) = bench.jobs.of(&id) {
        job.stopper.stop();
        tell(&bench, &id, &job);
    }
    Redirect::to(&format!("/d/{id}/publish"))
}

/// `POST /d/ID/leave-out`: `what` (section, photograph, person), `which`, `out` (yes or no).
pub(crate) async fn leave_out(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Extension(session): Extension<Session>,
    body: Bytes,
) -> Result<Redirect, Stop> {
    let pairs = form_pairs(&body);
    let value = |name: &str| {
        let found = pairs.iter().find(|(key, _)| key == name);
        found.map_or("", |(_, value)| value.as_str())
    };
    let library = bench.desk.library();
    let mut leaving_out = library.leaving_out(&id).await?;
    let which = value("which").to_string();
    let list = match value("what") {
        "section" if report::may_be_left_out(&which) => &mut leaving_out.sections,
        "photograph" => &mut leaving_out.photographs,
        "person" => &mut leaving_out.persons,
        _ => return Err(Stop::unfit("That cannot be left out", "reload the page")),
    };
    match value("out") {
        "yes" => list.insert(which),
        _ => list.remove(&which),
    };
    let now = Timestamp::now();
    library
        .leave_out(&id, &leaving_out, &session.person, now)
        .await?;
    bench.channel(&id).tell("job", json!({ "left": true }));
    Ok(Redirect::to(&format!("/d/{id}/publish")))
}

/// `GET /d/ID/published/VERSION/PATH`: a file that was published; `bundle.zip` and `everything.zip` are packed.
pub(crate) async fn download(
    State(bench): State<Shared>,
    Path((id, version, path)): Path<(DossierId, u64, String)>,
) -> Result<Response, Stop> {
    let library = bench.desk.library();
    let publications = library.publications(&id).await?;
    let publication = publications.iter().find(|p| p.version == version);
    let publication = publication.ok_or_else(|| Stop::missing("There is no such version."))?;
    let file = publication.files.iter().find(|file| file.path == path);
    let bytes = match (file, path.as_str()) {
        (Some(file), _) => library.object(&file.sha256).await?.to_vec(),
        (None, "bundle.zip") => bench.desk.archive(publication, "bundle/").await?,
        (None, "everything.zip") => bench.desk.archive(publication, "").await?,
        (None, _) => return Err(Stop::missing("That version has no such file.")),
    };
    let name = path.rsplit('/').next().unwrap_or_default();
    let mut response = bytes.into_response();
    let mut set = |header: HeaderName, value: &str| {
        if let Ok(value) = HeaderValue::from_str(value) {
            response.headers_mut().insert(header, value);
        }
    };
    set(CONTENT_TYPE, media_type(name));
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_');
    let name: String = name.chars().filter(|c| plain(*c)).collect();
    set(
        CONTENT_DISPOSITION,
        &format!("attachment; filename=\"{name}\""),
    );
    Ok(response)
}

fn media_type(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "pdf" => "application/pdf",
        "jpg" => "image/jpeg",
        "png" => "image/png",
        "md" => "text/markdown; charset=utf-8",
        "csv" => "text/csv; charset=utf-8",
        "json" => "application/json",
        "zip" => "application/zip",
        "xlsx" => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        _ => "application/octet-stream",
    }
}

/// Each change is one step, so what a panic left behind is whole.
fn lock<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}
