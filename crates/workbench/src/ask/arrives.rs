//! Where what an instrument typed may go.

use crate::server::{Shared, Stop};
use app::arrival;
use axum::Json;
use axum::extract::{Path, State};
use library::DossierId;
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
pub(crate) struct Question {
    n: u64,
    text: String,
    /// The item under the hand.
    #[serde(default)]
    held: Option<String>,
}

/// Longest arrival, in characters: more than any code of one scan.
const LONGEST: usize = 500;

/// `POST /d/ID/arrives`
pub(crate) async fn arrives(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Question>,
) -> Result<Json<Value>, Stop> {
    if question.text.chars().count() > LONGEST {
        return Err(Stop::unfit(
            "This is more than an instrument sends",
            "type it where it belongs",
        ));
    }
    let view = bench.desk.view(&id).await?;
    let held = question.held.as_deref();
    let found = arrival::destinations(&view.dossier, &view.findings, &question.text, held);
    let told: Vec<Value> = found
        .iter()
        .map(|one| {
            json!({ "says": one.says, "note": one.note, "edits": one.edits, "code": one.code })
        })
        .collect();
    Ok(Json(json!({
        "n": question.n,
        "value": arrival::value(&question.text, None),
        "destinations": told,
    })))
}
