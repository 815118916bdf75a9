//! What edits would move, while they are typed.

use crate::live::moved_as_json;
use crate::server::{Shared, Stop};
use axum::Json;
use axum::extract::{Path, State};
use library::DossierId;
use record::{Edit, Place, field_at};
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
pub(crate) struct Question {
    n: u64,
    edits: Vec<Edit>,
}

/// `POST /d/ID/would`
pub(crate) async fn would(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Question>,
) -> Result<Json<Value>, Stop> {
    let reads: Vec<Value> = question.edits.iter().filter_map(reading).collect();
    match bench.desk.would(&id, question.edits).await {
        Ok(moved) => {
            let words = crate::frame::moved_words(&moved);
            let moved = moved_as_json(0, &moved);
            Ok(Json(
                json!({ "n": question.n, "moved": moved, "words": words, "reads": reads }),
            ))
        }
        Err(problem) => {
            let told = match &problem.kind {
                app::Kind::Mistakes(problems) => problems
                    .0
                    .first()
                    .map(|p| (p.message.clone(), p.remedy.clone())),
                _ => None,
            };
            let (message, remedy) =
                told.unwrap_or_else(|| (problem.message.clone(), problem.remedy.to_string()));
            Ok(Json(
                json!({ "n": question.n, "refused": message, "remedy": remedy }),
            ))
        }
    }
}

/// Says how a quantity is read.
fn reading(edit: &Edit) -> Option<Value> {
    let Edit::Set { at, new, .. } = edit else {
        return None;
    };
    let words = quantity_words(at, new.as_str()?)?;
    Some(json!({ "at": at, "reads": words }))
}

fn quantity_words(at: &Place, text: &str) -> Option<String> {
    if !field_at(at)?.is_quantity() {
        return None;
    }
    let stated: quantity::Stated = text.parse().ok()?;
    Some(stated.to_string())
}
