//! What an edit changed: the verdicts and figures that differ between two examinations.
//!
//! In: the findings before and after. Out: verdicts that moved, fails first, and figures that moved.
//! Not here: what was edited.

use crate::{FigureId, Finding, FindingId, Findings, Verdict};
use record::Place;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What differs between two examinations of one dossier.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Moved {
    /// Verdicts, those that fail now first.
    pub verdicts: Vec<VerdictMoved>,
    /// Figures, in the order of the day.
    pub figures: Vec<FigureMoved>,
}

/// A verdict that is another now.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct VerdictMoved {
    /// The finding.
    pub finding: FindingId,
    /// Its heading.
    pub title: String,
    /// What it is about.
    pub about: Option<Place>,
    /// The verdict before; none where there was no such finding or no verdict.
    pub was: Option<Verdict>,
    /// The verdict now.
    pub now: Option<Verdict>,
    /// Probability that the statement is true, before.
    pub was_conformance: Option<f64>,
    /// Probability that the statement is true, now.
    pub conformance: Option<f64>,
}

/// A figure that is printed otherwise now.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct FigureMoved {
    /// The figure.
    pub figure: FigureId,
    /// What it is ("energy").
    pub name: String,
    /// As printed before; none where there was none.
    pub was: Option<String>,
    /// As printed now; none where there is none.
    pub now: Option<String>,
}

impl Moved {
    /// Returns whether nothing differs.
    pub fn is_empty(&self) -> bool {
        self.verdicts.is_empty() && self.figures.is_empty()
    }
}

/// Compares two examinations of one dossier by the identities of findings and figures.
pub fn moved(before: &Findings, after: &Findings) -> Moved {
    let old: BTreeMap<&FindingId, &Finding> = before.findings.iter().map(|f| (&f.id, f)).collect();
    let new: BTreeMap<&FindingId, &Finding> = after.findings.iter().map(|f| (&f.id, f)).collect();
    let gone = before.findings.iter().filter(|f| !new.contains_key(&f.id));
    let pairs = after
        .findings
        .iter()
        .map(|f| (old.get(&f.id).copied(), Some(f)));
    let pairs = pairs.chain(gone.map(|f| (Some(f), None)));
    let mut moved = Moved::default();
    for (was, now) in pairs {
        moved.verdicts.extend(verdict_moved(was, now));
        figures_moved(was, now, &mut moved.figures);
    }
    moved.verdicts.sort_by_key(|v| match v.now {
        Some(Verdict::Fails) => 0,
        Some(_) => 1,
        None => 2,
    });
    moved
}

fn verdict_moved(was: Option<&Finding>, now: Option<&Finding>) -> Option<VerdictMoved> {
    let verdict = |f: Option<&Finding>| f.and_then(|f| f.verdict);
    let conformance = |f: Option<&Finding>| f.and_then(|f| f.conformance);
    if verdict(was) == verdict(now) {
        return None;
    }
    let told = now.or(was)?;
    Some(VerdictMoved {
        finding: told.id.clone(),
        title: told.title.clone(),
        about: told.about.clone(),
        was: verdict(was),
        now: verdict(now),
        was_conformance: conformance(was),
        conformance: conformance(now),
    })
}

fn figures_moved(was: Option<&Finding>, now: Option<&Finding>, into: &mut Vec<FigureMoved>) {
    let figures = |f: Option<&Finding>| -> BTreeMap<FigureId, (String, String)> {
        let all = f.into_iter().flat_map(|f| {
            f.figures.iter().map(|figure| {
                let id = FigureId {
                    finding: f.id.clone(),
                    key: figure.key.clone(),
                };
                (id, (figure.name.clone(), figure.text.clone()))
            })
        });
        all.collect()
    };
    let (old, new) = (figures(was), figures(now));
    for (id, (name, text)) in &new {
        let was = old.get(id).map(|(_, text)| text.clone());
        if was.as_ref() != Some(text) {
            into.push(FigureMoved {
                figure: id.clone(),
                name: name.clone(),
                was,
                now: Some(text.clone()),
            });
        }
    }
    let gone = old.iter().filter(|(id, _)| !new.contains_key(id));
    into.extend(gone.map(|(id, (name, text))| FigureMoved {
        figure: id.clone(),
        name: name.clone(),
        was: Some(text.clone()),
        now: None,
    }));
}
