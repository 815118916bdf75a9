//! How the weighings reconcile with edits that are not written.

use crate::server::{Shared, Stop};
use axum::Json;
use axum::extract::{Path, State};
use library::DossierId;
use methods::Method;
use record::Edit;
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
pub(crate) struct Question {
    n: u64,
    #[serde(default)]
    edits: Vec<Edit>,
    /// The item that is weighed.
    #[serde(default)]
    item: String,
}

/// `POST /d/ID/balance`
pub(crate) async fn balance(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Question>,
) -> Result<Json<Value>, Stop> {
    let n = question.n;
    match bench.desk.answered(&id, question.edits, Method::Mass).await {
        Ok((dossier, findings)) => {
            let says: Vec<&str> = findings.iter().map(|f| f.sentence.as_str()).collect();
            let balance = app::balance(&dossier, &question.item);
            Ok(Json(json!({ "n": n, "says": says, "balance": balance })))
        }
        Err(problem) => Ok(Json(json!({
            "n": n, "refused": problem.message, "remedy": problem.remedy.to_string(),
        }))),
    }
}
