//! One finding as data for the template.
//!
//! In: a finding. Out: its texts, with numbers written to the digits their uncertainty deserves.
//! Not here: how anything looks; the finding's details, which follow as tables and drawings.

use super::data::Anchors;
use methods::inputs::places;
use methods::{Finding, Missing, Verdict};
use quantity::{Figure, FigureInput};
use report::words::{Words as _, interval, percent, share};
use report::{Struck, verdict_words};
use serde_json::{Value, json};

/// Inputs printed per figure; the rest is counted.
const INPUTS: usize = 8;
/// Pieces of evidence printed per finding; the rest is counted.
const EVIDENCE: usize = 10;

/// Turns a finding into data.
pub(super) fn data(
    f: &Finding,
    anchor: Option<String>,
    number: Option<&str>,
    level: usize,
    anchors: &Anchors,
    struck: Option<&Struck>,
) -> Value {
    let mut evidence: Vec<Value> = Vec::new();
    for piece in f.evidence.iter().map(|e| anchors.place(e)) {
        if !evidence.contains(&piece) {
            evidence.push(piece);
        }
    }
    let more = evidence.len().saturating_sub(EVIDENCE);
    evidence.truncate(EVIDENCE);
    json!({
        "kind": "finding",
        "anchor": anchor,
        "number": number,
        "level": level,
        "title": f.title,
        "verdict": f.verdict.map(verdict),
        "conformance": f.conformance.map(percent),
        "sentence": f.sentence,
        "corrected": struck.map(|s| json!({ "when": s.when, "changes": s.changes, "why": s.why })),
        "figures": f.figures.iter().map(|figure| self::figure(figure, anchors)).collect::<Vec<_>>(),
        "evidence": evidence,
        "more-evidence": more,
        "missing": f.missing.iter().map(|m| missing(m, anchors)).collect::<Vec<_>>(),
        "assumptions": f.assumptions,
        "sources": f.sources,
        "cautions": f.cautions,
        "unused": f.unused,
    })
}

/// Returns a verdict as a key, by which its mark is drawn, and words.
pub(super) fn verdict(verdict: Verdict) -> Value {
    let key = match verdict {
        Verdict::Holds => "holds",
        Verdict::Fails => "fails",
        Verdict::Undecided => "undecided",
        Verdict::NeedsEvidence => "needs-evidence",
    };
    json!({ "key": key, "words": verdict_words(verdict) })
}

fn figure(figure: &Figure, anchors: &Anchors) -> Value {
    json!({
        "name": figure.name,
        "text": figure.text,
        "interval": interval(figure),
        "coverage": percent(figure.interval.probability),
        "method": figure.method,
        "working": figure.working,
        "notes": figure.notes,
        "inputs": figure.inputs.iter().take(INPUTS).map(|i| input(i, anchors)).collect::<Vec<_>>(),
        "more": figure.inputs.len().saturating_sub(INPUTS),
    })
}

fn input(input: &FigureInput, anchors: &Anchors) -> Value {
    json!({
        "name": input.name,
        "text": input.text,
        "origin": input.source.origin.words(),
        "note": methods::words::for_readers(&input.source.note),
        "share": share(input.variance_share),
        "evidence": places(&input.source.evidence).map(|e| anchors.place(&e)).collect::<Vec<_>>(),
    })
}

fn missing(missing: &Missing, anchors: &Anchors) -> Value {
    json!({
        "measure": missing.measure,
        "resolution": missing.resolution,
        "before": missing.before_step.as_ref().map(|step| anchors.place(step)),
        "late": missing.too_late,
    })
}
