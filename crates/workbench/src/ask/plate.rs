//! What is on a photograph: bodies, outlines at a place, sides of a box, what a marking may be; and the edits that
//! take a part.

use crate::server::{Shared, Stop};
use app::plates::{self, CountIn, Marks, RoleTaking, Snap, Taking};
use app::read::{Asked, choose};
use axum::Json;
use axum::extract::{Path, State};
use library::DossierId;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

/// A question about a photograph.
#[derive(Deserialize)]
pub(super) struct About<T> {
    n: u64,
    photo: String,
    #[serde(flatten)]
    asked: T,
}

/// A question that says all by itself.
#[derive(Deserialize)]
pub(super) struct Plain<T> {
    n: u64,
    #[serde(flatten)]
    asked: T,
}

#[derive(Deserialize)]
pub(super) struct Nothing {}

#[derive(Deserialize)]
pub(super) struct At {
    at: [f64; 2],
}

#[derive(Deserialize)]
pub(super) struct Corners {
    corners: [[f64; 2]; 4],
}

/// Two items that are one.
#[derive(Deserialize)]
pub(super) struct Two {
    kept: String,
    other: String,
}

#[derive(Deserialize)]
pub(super) struct Of {
    item: String,
}

fn answer(n: u64, key: &str, value: impl Serialize) -> Json<Value> {
    Json(json!({ "n": n, key: value }))
}

/// `POST /d/ID/bodies`
pub(super) async fn bodies(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<About<Nothing>>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let found = bench.plates.bodies(&view, &question.photo).await?;
    // The next question may be what grows at a place; it is made ready meanwhile, and asked again where that fails.
    let photo = question.photo;
    tokio::spawn(async move { bench.plates.ready_to_grow(&view, &photo).await });
    Ok(answer(question.n, "found", found))
}

/// `POST /d/ID/grow`
pub(super) async fn grow(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<About<At>>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let grown = bench.plates.grow(&view, &question.photo, question.asked.at);
    Ok(answer(question.n, "outlines", grown.await?))
}

/// `POST /d/ID/snap`
pub(super) async fn snap(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<About<Snap>>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let snapped = bench.plates.snap(&view, &question.photo, &question.asked);
    Ok(answer(question.n, "box", snapped.await?))
}

/// `POST /d/ID/marking`
pub(super) async fn marking(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Plain<Asked>>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let choices = choose(view, question.asked).await?;
    Ok(answer(question.n, "choices", choices))
}

/// `POST /d/ID/part`
pub(super) async fn part(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Plain<Taking>>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let taken = plates::take(&view, &question.asked)?;
    Ok(answer(question.n, "part", taken))
}

/// `POST /d/ID/role`
pub(super) async fn role(Json(question): Json<Plain<RoleTaking>>) -> Json<Value> {
    answer(question.n, "edits", plates::role(&question.asked))
}

/// `POST /d/ID/measure`
pub(super) async fn measure(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<About<Marks>>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let marked = bench.plates.marked(&view, &question.photo, question.asked);
    Ok(match marked.await {
        // What was typed names nothing: told where it was typed.
        Err(problem) if matches!(problem.kind, app::Kind::Unfit(_)) => {
            let told = format!("{}; {}", problem.message, problem.remedy);
            answer(question.n, "refused", told)
        }
        marked => answer(question.n, "measured", marked?),
    })
}

/// `POST /d/ID/alike`
pub(super) async fn alike(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<About<Corners>>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let corners = question.asked.corners;
    let alike = bench.plates.alike(&view, &question.photo, corners).await?;
    Ok(answer(question.n, "alike", alike))
}

/// `POST /d/ID/count-in`
pub(super) async fn count_in(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Plain<CountIn>>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let edits = plates::count_in(&view, &question.asked)?;
    Ok(answer(question.n, "edits", edits))
}

/// `POST /d/ID/join`
pub(super) async fn join(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Plain<Two>>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let edits = plates::join(&view, &question.asked.kept, &question.asked.other)?;
    Ok(answer(question.n, "edits", edits))
}

/// `POST /d/ID/learn`: what an item is taken to be, into the catalogue of its dossier.
pub(super) async fn learn(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Plain<Of>>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let learned = plates::learn(&bench.desk, &view, &question.asked.item).await?;
    let told = match &learned.file {
        Some(file) => format!("{} is known from here on, kept in {file}", learned.name),
        None => format!("{} was known already", learned.name),
    };
    Ok(answer(question.n, "learned", told))
}
