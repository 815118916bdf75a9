//! What is about to be done: how the words are read, what the step ends, what is dangerous; the edits that begin it.

use crate::server::{Shared, Stop};
use app::{Taking, opening};
use axum::Json;
use axum::extract::{Path, State};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use library::DossierId;
use record::{Dossier, StepProposal, read_step};
use serde::Deserialize;
use serde_json::{Map, Value, json};

#[derive(Deserialize)]
pub(crate) struct Question {
    n: u64,
    #[serde(default)]
    text: String,
    /// A planned step in place of words.
    #[serde(default)]
    planned: Option<String>,
}

/// `POST /d/ID/step-reads`
pub(crate) async fn step(
    State(bench): State<Shared>,
    Path(id): Path<DossierId>,
    Json(question): Json<Question>,
) -> Result<Json<Value>, Stop> {
    let arrived = Timestamp::now().as_millisecond();
    let view = bench.desk.view(&id).await?;
    let now = opening::moment(&Timestamp::now().to_zoned_datetime(TimeZone::system()));
    let read = match &question.planned {
        Some(planned) => vec![StepProposal {
            planned: Some(planned.clone()),
            entry: Map::new(),
            says: Vec::new(),
            instead: Vec::new(),
            freed_in: None,
        }],
        None => read_step(&question.text, &view.dossier),
    };
    let mut proposals = Vec::new();
    for proposal in &read {
        let edits = opening::start(&view.dossier, proposal, &now);
        let step = match &proposal.planned {
            Some(id) => id.clone(),
            None => text_of(&proposal.entry, "id"),
        };
        let mut told = json!({
            "step": step,
            "planned": proposal.planned.is_some(),
            "says": proposal.says,
            "text": text_of(&proposal.entry, "text"),
            "instead": names(&view.dossier, &proposal.instead),
            "freed": proposal.freed_in.as_ref().and_then(|id| view.dossier.step(id)).map(|s| &s.text),
            "edits": edits,
        });
        match bench.desk.with(&id, edits).await {
            Ok((dossier, findings)) => {
                let ends = opening::ends(&dossier, &findings, &step);
                told["ends"] = ends.iter().map(|t| end(t, &view.id)).collect();
                told["cautions"] = json!(opening::cautions(&findings, &step));
            }
            Err(problem) => {
                told["refused"] = json!(problem.message);
                told["remedy"] = json!(problem.remedy.to_string());
            }
        }
        proposals.push(told);
    }
    Ok(Json(json!({
        "n": question.n,
        "arrived": arrived,
        "left": Timestamp::now().as_millisecond(),
        "proposals": proposals,
    })))
}

fn text_of(entry: &Map<String, Value>, key: &str) -> String {
    let text = entry.get(key).and_then(Value::as_str);
    text.unwrap_or_default().to_string()
}

fn names(dossier: &Dossier, ids: &[String]) -> Vec<String> {
    let items = ids.iter().filter_map(|id| dossier.item(id));
    items.map(|item| item.name.clone()).collect()
}

/// What a step ends, with the line where it can be taken first.
fn end(taking: &Taking, id: &DossierId) -> Value {
    json!({
        "what": methods::words::capital(&taking.what),
        "how": taking.how,
        "why": taking.whys(),
        "take": format!("/d/{id}/intake#{}", report::anchor("take", &taking.what)),
    })
}
