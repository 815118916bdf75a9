//! What is still missing before a report is published.
//!
//! In: a dossier's folder. Out: every gap with what to do about it, in the order of what a publisher answers for:
//! disclosure, privacy, pictures, parts, contradictions. Apart from them, what the report leaves open, and says so:
//! what can still be had until a step that is planned, and what a step has ended. Neither is a fault of the report.
//! Not here: mistakes in the record (`dossier::check`), verdicts.

mod masks;

use crate::{At, ExamineOptions, Problem, Task, Watch, examine, tasks};
use methods::{Findings, Method, OpenReason, Verdict};
use record::{Dossier, Item, Place, Thing};
use std::collections::BTreeSet;

/// Something missing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gap {
    /// What it is about, one word or two ("masks").
    pub about: &'static str,
    /// Where in the record.
    pub place: At,
    /// What is missing, one sentence.
    pub message: String,
    /// What to do.
    pub remedy: String,
}

/// What was looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Readiness {
    /// What is missing; empty where all is ready.
    pub gaps: Vec<Gap>,
    /// What a planned step will end, in the order of the steps.
    pub pending: Vec<Task>,
    /// What a step that is done has ended.
    pub too_late: Vec<Task>,
    /// What a report of it says of itself.
    pub disclosure: Vec<String>,
}

/// Lists what is missing before a report is published.
///
/// # Errors
/// The dossier's mistakes; a catalogue that cannot be read.
pub fn ready(options: &ExamineOptions, watch: &dyn Watch) -> Result<Readiness, Problem> {
    let examined = examine(options, watch)?;
    Ok(readiness(&examined.dossier, &examined.findings))
}

/// As [`ready`], of a dossier that was examined.
pub fn readiness(dossier: &Dossier, findings: &Findings) -> Readiness {
    let mut gaps = disclosure(dossier);
    gaps.extend(masks::gaps(dossier));
    gaps.extend(pictures(dossier));
    gaps.extend(parts(dossier));
    gaps.extend(slips(dossier, findings));
    let left = tasks(dossier, findings);
    let mut pending = left.tasks;
    pending.retain(|task| task.before.is_some());
    Readiness {
        gaps,
        pending,
        too_late: left.too_late,
        disclosure: report::disclosure(&dossier.published()),
    }
}

fn gap(
    about: &'static str,
    place: Place,
    message: impl Into<String>,
    remedy: impl Into<String>,
) -> Gap {
    Gap {
        about,
        place: place.into(),
        message: message.into(),
        remedy: remedy.into(),
    }
}

fn disclosure(dossier: &Dossier) -> Vec<Gap> {
    let said = dossier.product.disclosure.clone().unwrap_or_default();
    let mut gaps = Vec::new();
    let mut need = |there: bool, about, message: &str, key: &str, example: &str| {
        if !there {
            let remedy =
                format!("set `product.disclosure.{key}` to \"{example}\", or whatever is true");
            gaps.push(gap(about, Place::product(), message, remedy));
        }
    };
    need(
        said.paid_by.is_some(),
        "who paid",
        "Nothing says who paid for the sample and the work.",
        "paid-by",
        "the analyst",
    );
    need(
        said.sample_from.is_some(),
        "sample",
        "Nothing says where the sample came from.",
        "sample-from",
        "bought in a shop",
    );
    let uncredited = dossier
        .photos
        .iter()
        .filter(|photo| report::credit(dossier, photo).is_none());
    let uncredited = uncredited.count();
    need(
        uncredited == 0,
        "credits",
        &format!("Nothing says who took {uncredited} of the photographs."),
        "photographs-by",
        "the analyst",
    );
    gaps
}

/// Words of a caption below which it does not say what a picture shows.
const CAPTION_WORDS: usize = 2;

fn pictures(dossier: &Dossier) -> Vec<Gap> {
    let mut gaps = Vec::new();
    let mut captions = BTreeSet::new();
    for photo in &dossier.photos {
        let place = Place::photo(&photo.id);
        let caption = photo.caption.trim();
        let remedy = "write in its caption what it shows, for those who do not see it";
        if caption.split_whitespace().count() < CAPTION_WORDS || caption == photo.file {
            let message = format!("The caption “{caption}” is no alternative text.");
            gaps.push(gap("alternative text", place, message, remedy));
        } else if !captions.insert(caption) {
            let message = format!("Two photographs have the caption “{caption}”.");
            gaps.push(gap("alternative text", place, message, remedy));
        }
    }
    if !dossier.photos.iter().any(|photo| photo.hero) {
        let message = "No photograph is marked to open the report.";
        let remedy = "set `photos.ID.hero` to true, with the id of the one that shows the product";
        gaps.push(gap("hero", Place::product(), message, remedy));
    }
    gaps
}

/// Semiconductors without an identity; passive parts and connectors need none.
fn parts(dossier: &Dossier) -> Vec<Gap> {
    let unidentified = |item: &&Item| {
        let marked = |part: &record::PartFacts| part.identity.is_none() && !part.marking.is_empty();
        methods::geometry::is_semiconductor(item) && item.part.as_ref().is_some_and(marked)
    };
    let all = dossier.items.iter().filter(unidentified);
    all.map(|item| {
        gap(
            "parts",
            Place::item(&item.id),
            format!("{} has a marking and no identity.", item.name),
            "record what it is taken for, or why that stays open, as its identity",
        )
    })
    .collect()
}

/// Contradictions of the record that a claim rests on.
fn slips(dossier: &Dossier, findings: &Findings) -> Vec<Gap> {
    let all = || findings.findings.iter();
    let slips =
        all().filter(|f| f.method() == Method::Consistency && f.verdict == Some(Verdict::Fails));
    let mut gaps = Vec::new();
    for slip in slips {
        let readings: Vec<&Place> = slip
            .evidence
            .iter()
            .filter(|p| p.thing() == Thing::Reading)
            .collect();
        let touched = all().find_map(|finding| {
            let claim = finding.claim(dossier)?;
            let open = finding.judgement.as_ref().and_then(|j| j.open);
            let rests = open == Some(OpenReason::RecordContradicts)
                || finding.verdict.is_some()
                    && readings.iter().any(|r| finding.evidence.contains(r));
            rests.then_some(claim)
        });
        if let Some(claim) = touched {
            let place = slip
                .evidence
                .first()
                .cloned()
                .unwrap_or_else(Place::product);
            gaps.push(gap(
                "slips",
                place,
                format!(
                    "“{}” rests on a record that contradicts itself: {}",
                    claim.text, slip.sentence
                ),
                "correct the entry, or set it aside in its note",
            ));
        }
    }
    gaps
}
