//! Findings on numbers with check digits: article numbers, device identities.

use crate::inputs::seen;
use crate::words::counted;
use crate::{Cell, Column, Detail, Finding, Method, Table, Verdict};
use ::codes::{Context, Kind, MarkedObject, Reading, Value, read};
use record::{Dossier, Place};

/// A number of the record and how it reads.
struct Checked {
    place: String,
    kind: String,
    evidence: Vec<Place>,
    reading: Reading,
    right: bool,
}

/// Words in the kind of an identifier that promise a check digit, and what they promise.
const PROMISES: [(&str, Kind); 10] = [
    ("gtin", Kind::Gs1),
    ("ean", Kind::Gs1),
    ("upc", Kind::Gs1),
    ("gln", Kind::Gs1),
    ("sscc", Kind::Gs1),
    ("article", Kind::Gs1),
    ("barcode", Kind::Gs1),
    ("bar code", Kind::Gs1),
    ("imeisv", Kind::Imeisv),
    ("imei", Kind::Imei),
];

/// What an identifier of a kind should be.
fn promised(kind: &str) -> Option<Kind> {
    let kind = kind.to_lowercase();
    PROMISES
        .iter()
        .find(|(word, _)| kind.contains(word))
        .map(|(_, k)| *k)
}

/// Answers whether the numbers with check digits are right; nothing without such numbers.
pub(super) fn examine(dossier: &Dossier) -> Option<Finding> {
    let mut checked = Vec::new();
    let mut unused = Vec::new();
    for (at, identifier) in dossier.product.identifiers.iter().enumerate() {
        let Some(kind) = promised(&identifier.kind) else {
            continue;
        };
        let readings = read(&identifier.text, &Context::on(MarkedObject::Label));
        let found = readings
            .into_iter()
            .find_map(|reading| match &reading.value {
                Some(Value::Number {
                    check_digit_right: Some(right),
                    ..
                }) if reading.kind == kind => Some((*right, reading)),
                _ => None,
            });
        match found {
            Some((right, reading)) => {
                let own = Place::identifier(&dossier.product, at).unwrap_or_else(Place::product);
                let evidence = seen(own, &identifier.evidence);
                checked.push(Checked {
                    place: identifier.text.clone(),
                    kind: identifier.kind.clone(),
                    evidence,
                    reading,
                    right,
                });
            }
            None => unused.push(format!(
                "{}: \"{}\" has no check digit that could be tested",
                identifier.kind, identifier.text
            )),
        }
    }
    if checked.is_empty() && unused.is_empty() {
        return None;
    }
    let mut finding = Finding::new(
        Method::Codes,
        word!("numbers"),
        "Are the numbers with check digits right?",
    );
    finding.unused = unused;
    let wrong: Vec<&Checked> = checked.iter().filter(|c| !c.right).collect();
    finding.verdict = match (checked.is_empty(), wrong.is_empty()) {
        (true, _) => None,
        (false, true) => Some(Verdict::Holds),
        (false, false) => Some(Verdict::Fails),
    };
    finding.sentence = if checked.is_empty() {
        "No identifier has a check digit that could be tested.".to_string()
    } else if wrong.is_empty() {
        format!(
            "{} tested, all right.",
            counted(checked.len(), "check digit", "check digits")
        )
    } else {
        let told: Vec<String> = wrong
            .iter()
            .map(|c| {
                format!(
                    "{} {}: {}",
                    c.kind,
                    c.place,
                    c.reading.meaning.trim_end_matches('.')
                )
            })
            .collect();
        format!(
            "{} tested, {} wrong: {}. A digit was misread or miscopied.",
            counted(checked.len(), "check digit", "check digits"),
            wrong.len(),
            told.join("; ")
        )
    };
    finding.add_evidence(checked.iter().flat_map(|c| c.evidence.iter().cloned()));
    for c in &checked {
        finding.cite(c.reading.standard.clone());
    }
    if checked.iter().any(|c| c.reading.kind == Kind::Imei) {
        finding.caution(
            "A device identity names one device: leave its serial part out of what is published.",
        );
    }
    let row = |c: Checked| [c.kind, c.place, c.reading.meaning, c.reading.because];
    finding.details.push(Detail::Table(Table {
        caption: "Numbers with check digits".to_string(),
        columns: ["Kind", "Number", "Reads", "Working"]
            .map(Column::words)
            .to_vec(),
        rows: checked
            .into_iter()
            .map(|c| row(c).map(Cell::words).to_vec())
            .collect(),
    }));
    Some(finding)
}
