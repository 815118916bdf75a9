//! How a sentence reads, while it is typed.

use crate::server::{Shared, Stop};
use axum::Json;
use axum::extract::{Path, State};
use library::DossierId;
use methods::claims;
use methods::words::Words as _;
use record::{Claim, Proposal, read_sentence};
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
    let mut told: Vec<Value> = told.collect();
    if let Some(first) = proposals.first()
        && let Some(taken) = taken_to_mean(text, first)
        && let Some(says) = told[0]["says"].as_array_mut()
        && let Some(figure) = says.first_mut()
    {
        *figure = taken.into();
    }
    Ok(Json(json!({
        "n": question.n,
        "proposals": told,
        "known": known.map(|claim| claim.id.clone()),
    })))
}

/// Tells how the figure of a proposal would be judged: `at most 75 min + 3.75 min (5 %, common practice)`.
fn taken_to_mean(text: &str, proposal: &Proposal) -> Option<String> {
    let mut entry = proposal.entry.clone();
    for (key, value) in [("id", "typed"), ("text", text), ("printed", "here")] {
        entry.insert(key.to_string(), value.into());
    }
    let claim: Claim = serde_json::from_value(Value::Object(entry)).ok()?;
    let limits = claims::limits(&claim)?;
    let said = claim.value?;
    let value = said.quantity();
    let (sense, sign) = match (limits.low, limits.high) {
        (Some(_), Some(_)) => ("", "±"),
        (Some(_), None) => ("at least ", "−"),
        (None, Some(_)) => ("at most ", "+"),
        (None, None) => return None,
    };
    let allowed = match limits.tolerance > 0.0 {
        true => {
            let number = quantity::digits::significant(limits.tolerance, 3);
            let number = quantity::digits::decimal(limits.tolerance, number);
            let number = match number.contains('.') {
                true => number
                    .trim_end_matches('0')
                    .trim_end_matches('.')
                    .to_string(),
                false => number,
            };
            format!(" {sign} {number}{}{}", quantity::GAP, limits.unit.symbol())
        }
        false => String::new(),
    };
    let granted = match limits.granted.as_str() {
        "" => String::new(),
        granted => format!(" ({granted})"),
    };
    Some(format!("{sense}{value}{allowed}{granted}"))
}
