//! How the lines of a label, or an identifier, read while they are typed.

use crate::server::{Shared, Stop};
use app::read;
use axum::Json;
use axum::extract::{Path, State};
use library::DossierId;
use serde::Deserialize;
use serde_json::{Map, Value, json};

#[derive(Deserialize)]
pub(crate) struct Question {
    n: u64,
    text: String,
}

/// Longest text that is read, in bytes.
const LONGEST: usize = 4000;

fn fitting(question: &Question) -> Result<(), Stop> {
    if question.text.len() > LONGEST {
        return Err(Stop::unfit(
            "This is no label",
            "type what one label prints",
        ));
    }
    Ok(())
}

/// `POST /d/ID/label-reads`
pub(crate) async fn label(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Question>,
) -> Result<Json<Value>, Stop> {
    fitting(&question)?;
    let view = bench.desk.view(&id).await?;
    let lines = read::label(&question.text, view.dossier.product.opened);
    // The first rating of a side is that of the label.
    let mut entry = Map::new();
    for (side, rating) in lines.iter().filter_map(|line| line.rating.as_ref()) {
        entry.entry((*side).to_string()).or_insert(json!(rating));
    }
    let told: Vec<Value> = lines
        .iter()
        .map(|line| json!({ "text": line.text, "says": line.says, "agrees": line.agrees }))
        .collect();
    Ok(Json(
        json!({ "n": question.n, "lines": told, "entry": entry }),
    ))
}

/// `POST /d/ID/identifier-reads`
pub(crate) async fn identifier(
    State(_): State<Shared>,
    Path(_): Path<DossierId>,
    Json(question): Json<Question>,
) -> Result<Json<Value>, Stop> {
    fitting(&question)?;
    let read = read::identifier(&question.text);
    Ok(Json(json!({
        "n": question.n,
        "kind": read.as_ref().map(|read| &read.kind),
        "says": read.as_ref().map(|read| &read.meaning),
        "right": read.as_ref().and_then(|read| read.check_digit),
    })))
}
