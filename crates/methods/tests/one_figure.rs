//! One quantity has one printed figure in a report, wherever it stands.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads its cases from the disk"
)]

use catalogue::Catalogue;
use methods::{FigureKey, Findings, Known};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;
use std::path::Path;

fn findings() -> (record::Dossier, Findings) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let dossier = store::open(&folder).unwrap();
    let parts = std::fs::read(folder.join("catalogue/known-parts.csv")).unwrap();
    let mut known = Catalogue::default();
    known.merge(catalogue::read(&parts, "known-parts.csv").rows);
    let goes_on = |_| ControlFlow::Continue(());
    let findings = methods::examine(&dossier, &Known::new(known), &goes_on).unwrap();
    (dossier, findings)
}

/// Every text of a quantity by its name and what it is of: figures, inputs, results of working lines. A name that does
/// not say whose it is counts within its finding.
fn texts(dossier: &record::Dossier, findings: &Findings) -> BTreeMap<String, BTreeSet<String>> {
    let says_whose = |name: &str| dossier.items.iter().any(|item| name.contains(&item.name));
    let mut all: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for finding in &findings.findings {
        let mut add = |name: &str, text: &str, figure: Option<&FigureKey>| {
            // What has no ± is a number put in, with the digits that the next line needs.
            if !text.contains('±') && !text.starts_with("about ") {
                return;
            }
            // The points that a length was measured by are those of that length.
            let of = figure
                .filter(|_| name.starts_with("point "))
                .map(ToString::to_string);
            let whose = if says_whose(name) {
                String::new()
            } else {
                format!("{} {}", finding.id, of.unwrap_or_default())
            };
            let key = format!("{name} {whose}");
            all.entry(key).or_default().insert(text.to_string());
        };
        for keyed in &finding.figures {
            let figure = &keyed.figure;
            // A figure with a key of its own whose may share its printed name with another.
            if keyed.key.of.is_none() {
                add(&figure.name, &figure.text, None);
            }
            for input in &figure.inputs {
                add(&input.name, &input.text, Some(&keyed.key));
            }
            for line in &figure.working {
                let mut parts = line.split(" = ");
                let (name, result) = (parts.next().unwrap(), parts.last().unwrap_or_default());
                if says_whose(name) {
                    add(name, result, None);
                }
            }
        }
    }
    all
}

#[test]
fn the_same_quantity_never_has_two_printed_figures() {
    let (dossier, findings) = findings();
    let all = texts(&dossier, &findings);
    assert!(all.len() > 100, "{}", all.len());
    let twice: Vec<_> = all.iter().filter(|(_, texts)| texts.len() > 1).collect();
    assert!(twice.is_empty(), "{twice:#?}");
}

/// The energy of the cradle's cell is one figure in the claim and in the finding on the cell.
#[test]
fn an_energy_from_a_charge_is_the_same_for_the_claim_and_for_the_cell() {
    let (_, findings) = findings();
    let figure = |finding: &str, what: &str| {
        let mut all = findings.findings.iter();
        let found = all.find(|f| f.id.to_string() == finding).unwrap();
        let mut figures = found.figures.iter();
        let keyed = figures.find(|f| f.key.what.as_str() == what).unwrap();
        keyed.figure.text.replace('\u{202f}', " ")
    };
    let cell = figure("cell.energy/items.cradle-cell", "energy-from-charge");
    assert_eq!(cell, "7.15 ± 0.15 Wh");
    let mut claims = findings.findings.iter();
    let claim = claims
        .find(|f| f.sentence.contains("“7.2 Wh Li-ion”"))
        .unwrap();
    assert!(
        claim.sentence.replace('\u{202f}', " ").contains(&cell),
        "{}",
        claim.sentence
    );
}
