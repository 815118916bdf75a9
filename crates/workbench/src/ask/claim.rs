//! How a sentence reads, while it is typed.

use crate::server::{Shared, Stop};
use axum::Json;
use axum::extract::{Path, State};
use library::DossierId;
use methods::words::Words as _;
use record::read_sentence;
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
pub(crate) struct Question {
    n: u64,
    text: String,
}

/// Longest sentence that is read, in bytes.
const LONGEST: usize = 2000;

/// `POST /d/ID/claim-reads`
pub(crate) async fn claim(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Question>,
) -> Result<Json<Value>, Stop> {
    let text = question.text.trim();
    if text.len() > LONGEST {
        return Err(Stop::unfit(
            "This is no sentence",
            "type what is printed, one claim at a time",
        ));
    }
    let view = bench.desk.view(&id).await?;
    let known = view.dossier.claims.iter().find(|c| c.text.trim() == text);
    let proposals = match text.is_empty() {
        true => Vec::new(),
        false => read_sentence(text, &view.dossier),
    };
    let told = proposals.iter().map(|proposal| {
        let open = proposal.open.iter().map(|open| {
            let key = open.key.rsplit('.').next().unwrap_or_default();
            match open.choices.is_empty() {
                true => format!("{key} not given"),
                false => format!("{key}: {} or not said", open.choices.join(", ")),
            }
        });
        let open: Vec<String> = open.collect();
        json!({
            "kind": proposal.kind.words(),
            "says": proposal.says,
            "open": open,
            "entry": proposal.entry,
        })
    });
    let told: Vec<Value> = told.collect();
    Ok(Json(json!({
        "n": question.n,
        "proposals": told,
        "known": known.map(|claim| claim.id.clone()),
    })))
}
