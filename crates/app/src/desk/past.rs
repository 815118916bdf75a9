//! Texts published before that a dossier of a library holds: what they propose, and what was decided on it.
//!
//! In: a view, a decision. Out: each text with its proposals; the edits that a decision makes, and a row of the
//! library's catalogue that says where it is known from.
//! Not here: how proposals are found (`past`); reading files that are not in the library yet (`crate::past`).

use super::{Desk, Edited, View, blocking};
use crate::{Problem, catalogues, free_id, shown};
use ::past::Proposal;
use catalogue::{Part, Row};
use jiff::Timestamp;
use library::{DossierId, EditList, ListState, Person, Submission, Taken};
use record::{Edit, Place, Position};
use serde_json::{Map, Value, json};

/// A part that a text speaks of.
#[derive(Debug, Clone, PartialEq)]
pub struct PastPart {
    /// What is proposed, with its sentences.
    pub proposal: Proposal,
    /// What was decided: taken or refused.
    pub decided: Option<bool>,
    /// The place of the decision in the record.
    pub ruling: Option<Place>,
}

/// A text published before, or why it cannot be read.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenPast {
    /// The file inside `past/`.
    pub file: String,
    /// What it speaks of, in its order.
    pub parts: Result<Vec<PastPart>, Problem>,
}

/// What a person decided on a proposal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decision {
    /// The part number as the text has it.
    pub part: String,
    /// Whether it is taken.
    pub accepted: bool,
    /// Its maker, where the person knows better than the text.
    pub maker: Option<String>,
    /// What it does, where the person knows better.
    pub role: Option<String>,
}

impl Desk {
    /// Reads the texts published before that a dossier holds, in the order of their names.
    ///
    /// # Errors
    /// No such dossier; a library that cannot be reached.
    pub async fn past(&self, id: &DossierId) -> Result<Vec<SeenPast>, Problem> {
        let view = self.view(id).await?;
        let seen = self
            .spoken(&view)
            .await?
            .into_iter()
            .map(|(file, spoken)| SeenPast {
                parts: spoken.map(|parts| {
                    let parts = parts.iter().cloned();
                    parts.map(|part| decided(&view, &file, part)).collect()
                }),
                file,
            });
        Ok(seen.collect())
    }

    /// Keeps what a person decided on a proposal: what is accepted becomes a part of the product and an entry of the
    /// library's catalogue, both with the sentence they are from. `None` where the same was decided before.
    ///
    /// # Errors
    /// A part that the text does not hold; as [`Desk::take`].
    pub async fn decide_past(
        &self,
        id: &DossierId,
        file: &str,
        decision: &Decision,
        by: &Person,
        at: Timestamp,
    ) -> Result<Option<Edited>, Problem> {
        let Some(submission) = self.past_edits(id, file, decision).await? else {
            return Ok(None);
        };
        let edited = self.take(id, &submission, by, at).await?;
        if let Taken::Lists(answer) = &edited.taken {
            for list in &answer.lists {
                if let ListState::Refused { why } = &list.state {
                    let told: Vec<&str> = why.iter().map(|w| w.text.as_str()).collect();
                    let remedy = why.first().map_or("", |w| w.remedy.as_str());
                    return Err(Problem::unfit(told.join("; "), remedy.to_string()));
                }
            }
        }
        self.catalogue_past(id, file, decision).await?;
        Ok(Some(edited))
    }

    /// The edits that a decision makes, as a list of its own; none where the same was decided before.
    ///
    /// # Errors
    /// As [`Desk::decide_past`].
    pub async fn past_edits(
        &self,
        id: &DossierId,
        file: &str,
        decision: &Decision,
    ) -> Result<Option<Submission>, Problem> {
        let view = self.view(id).await?;
        let part = self.past_part(id, file, decision).await?;
        if part.decided == Some(decision.accepted) {
            return Ok(None);
        }
        let mut edits = Vec::new();
        if let Some(at) = part.ruling.clone() {
            edits.push(Edit::Remove { at, old: None });
        }
        if decision.accepted
            && !view
                .dossier
                .items
                .iter()
                .any(|item| is(item, &decision.part))
        {
            edits.push(add("items", item(&view, file, decision, &part.proposal))?);
        }
        let ruling = json!({ "file": file, "part": decision.part, "accepted": decision.accepted });
        edits.push(add("past-rulings", ruling)?);
        let client = DossierId::random().map_err(|e| Problem::internal(&e.to_string()))?;
        let client = client
            .as_str()
            .parse()
            .map_err(|_| Problem::internal("ids"))?;
        let list = EditList {
            seq: 1,
            group: None,
            edits,
            undo: None,
        };
        Ok(Some(Submission {
            client,
            lists: vec![list],
        }))
    }

    async fn past_part(
        &self,
        id: &DossierId,
        file: &str,
        decision: &Decision,
    ) -> Result<PastPart, Problem> {
        let seen = self.past(id).await?;
        let missing = || {
            let message = format!(
                "{} speaks of no part {}",
                shown(file),
                record::visible(&decision.part)
            );
            Problem::missing(
                message,
                "take a part number as the list of proposals has it",
            )
        };
        let text = seen
            .into_iter()
            .find(|text| text.file == file)
            .ok_or_else(missing)?;
        let found = text
            .parts?
            .into_iter()
            .find(|part| part.proposal.part == decision.part);
        found.ok_or_else(missing)
    }

    /// Adds a part that was accepted to the catalogue of the library; what is known of it stays.
    ///
    /// # Errors
    /// As [`Desk::decide_past`]; a catalogue that cannot be written.
    pub async fn catalogue_past(
        &self,
        id: &DossierId,
        file: &str,
        decision: &Decision,
    ) -> Result<(), Problem> {
        let Some(path) = self.own_parts.clone().filter(|_| decision.accepted) else {
            return Ok(());
        };
        let part = self.past_part(id, file, decision).await?;
        let view = self.view(id).await?;
        let (maker, role) = said(decision, &part.proposal);
        let entry = Part {
            name: decision.part.clone(),
            maker: maker.unwrap_or_default(),
            role: role.unwrap_or_default(),
            known_from: format!(
                "{}: {}",
                view.dossier.product.name,
                origin(file, &part.proposal)
            ),
            ..Part::default()
        };
        let changed = blocking(move || {
            let row = Row {
                file: "texts published before".into(),
                line: 1,
                part: entry.tidied(),
                cleared: Vec::new(),
                own: Vec::new(),
            };
            let (_, changed) = catalogues::add(&path, |known| {
                let merged = known.add([row]);
                let changed = merged.added + merged.corrected > 0;
                (merged, changed)
            })?;
            Ok(changed)
        })
        .await?;
        if changed {
            self.parts_changed(std::slice::from_ref(&decision.part))
                .await?;
        }
        Ok(())
    }
}

/// A proposal with what the record says was decided.
fn decided(view: &View, file: &str, proposal: Proposal) -> PastPart {
    let rulings = &view.dossier.past_rulings;
    let at = rulings
        .iter()
        .rposition(|r| r.file == file && r.part == proposal.part);
    PastPart {
        decided: at.map(|at| rulings[at].accepted),
        ruling: at.and_then(|at| Place::past_ruling(&view.dossier, at)),
        proposal,
    }
}

fn is(item: &record::Item, part: &str) -> bool {
    let identity = item.part.as_ref().and_then(|facts| facts.identity.as_ref());
    identity.is_some_and(|identity| identity.name == part)
}

fn add(to: &str, entry: Value) -> Result<Edit, Problem> {
    let to = to
        .parse()
        .map_err(|e: record::PlaceError| Problem::internal(&e.to_string()))?;
    Ok(Edit::Add {
        to,
        entry,
        position: Position::default(),
    })
}

/// Maker and role: what the person says, else what the text says.
fn said(decision: &Decision, proposal: &Proposal) -> (Option<String>, Option<String>) {
    let maker = decision.maker.clone().or_else(|| proposal.maker.clone());
    let role = decision.role.clone().or_else(|| proposal.role.clone());
    (maker, role)
}

/// Where a proposal is from: file, line and sentence.
fn origin(file: &str, proposal: &Proposal) -> String {
    match proposal.quotes.first() {
        Some(quote) => format!("{file}, line {}: “{}”", quote.line, quote.sentence),
        None => file.to_string(),
    }
}

fn item(view: &View, file: &str, decision: &Decision, proposal: &Proposal) -> Value {
    let dossier = &view.dossier;
    let root = dossier.items.iter().find(|item| item.parent.is_none());
    let wanted = decision.part.to_lowercase();
    let wanted = wanted.replace(|c: char| !c.is_ascii_alphanumeric(), "-");
    let id = free_id(&format!("part-{}", wanted.trim_matches('-')), |id| {
        dossier.item(id).is_some()
    });
    let (maker, role) = said(decision, proposal);
    let name = role
        .as_deref()
        .map_or_else(|| decision.part.clone(), methods::words::capital);
    let mut identity = Map::new();
    identity.insert("name".into(), decision.part.clone().into());
    if let Some(maker) = maker {
        identity.insert("maker".into(), maker.into());
    }
    identity.insert("certainty".into(), "inferred".into());
    identity.insert(
        "because".into(),
        format!("said so in {}", origin(file, proposal)).into(),
    );
    let line = proposal.quotes.first().map_or(1, |quote| quote.line);
    identity.insert(
        "evidence".into(),
        json!([format!("text:{file}, line {line}")]),
    );
    let mut entry = Map::new();
    entry.insert("id".into(), id.into());
    entry.insert("name".into(), name.into());
    entry.insert("kind".into(), "part".into());
    if let Some(root) = root {
        entry.insert("parent".into(), root.id.clone().into());
    }
    if let Some(role) = role {
        entry.insert("role".into(), role.into());
        entry.insert("role-origin".into(), "analyst".into());
    }
    entry.insert("part".into(), json!({ "identity": identity }));
    Value::Object(entry)
}
