//! Which unknown stage, if it were known, would narrow a figure most.

use crate::server::{Shared, Stop};
use axum::Json;
use axum::extract::{Path, State};
use library::DossierId;
use methods::words::Words as _;
use serde::Deserialize;
use serde_json::{Value, json};

/// Most that are told.
const TOLD: usize = 3;

#[derive(Deserialize)]
pub(crate) struct Question {
    n: u64,
}

/// `POST /d/ID/narrows`
pub(crate) async fn narrows(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Question>,
) -> Result<Json<Value>, Stop> {
    let view = bench.desk.view(&id).await?;
    let asked = std::sync::Arc::clone(&view);
    let work = tokio::task::spawn_blocking(move || {
        methods::power::narrowings(&asked.dossier, &asked.known, &asked.recorded)
    });
    let found = work.await.map_err(|e| Stop::internal(&e.to_string()))?;
    let found = found.map_err(|e| Stop::internal(&e.to_string()))?;
    let told = found.found.iter().take(TOLD).map(|one| {
        let item = view.dossier.item(&one.item);
        let then = one
            .then
            .iter()
            .map(|(kind, text)| json!({ "if": kind.words(), "then": text }));
        json!({
            "item": one.item,
            "name": item.map_or(one.item.as_str(), |i| i.name.as_str()),
            "figure": one.words,
            "now": one.now,
            "then": then.collect::<Vec<_>>(),
        })
    });
    let told: Vec<Value> = told.collect();
    Ok(Json(
        json!({ "n": question.n, "found": told, "tooMany": found.too_many }),
    ))
}
