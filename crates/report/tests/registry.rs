//! Every method of the registry reaches every output, on the findings of the demonstration dossier.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

mod support;

use calamine::{Reader, Xlsx};
use methods::{Finding, Findings, METHODS, Method, word};
use record::Place;
use report::{Block, Photographs, compose, findings_schema, html, json, terminal, xlsx};
use std::io::Cursor;

/// Fails for each method of which `shown` is not true of every finding.
#[track_caller]
fn all_shown(findings: &Findings, output: &str, shown: impl Fn(&Finding) -> bool) {
    for entry in METHODS {
        let mut own = findings
            .findings
            .iter()
            .filter(|f| f.method() == entry.method)
            .peekable();
        // The demonstration dossier does not contradict itself.
        let silent = entry.method == Method::Consistency;
        assert_eq!(own.peek().is_none(), silent, "{}", entry.name);
        for finding in own {
            assert!(shown(finding), "{output} leaves out {}", finding.id);
        }
    }
}

#[test]
fn no_method_is_missing_from_the_report() {
    let (dossier, findings) = support::among();
    let document = compose(dossier, findings, &Photographs::default());
    let told: Vec<&methods::FindingId> = document
        .sections
        .iter()
        .flat_map(|s| s.all())
        .filter_map(|b| match b {
            Block::Finding(finding) => Some(&finding.id),
            _ => None,
        })
        .collect();
    all_shown(findings, "the document", |f| told.contains(&&f.id));
    let page = html(&document);
    all_shown(findings, "the page", |f| {
        page.contains(&format!("id=\"{}\"", report::finding_anchor(&f.id)))
    });
}

#[test]
fn no_method_is_missing_from_the_workbook() {
    let (dossier, findings) = support::among();
    let bytes = xlsx(dossier, findings).unwrap();
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    let sheet = book.worksheet_range("Findings").unwrap();
    let told: Vec<String> = sheet.rows().skip(1).map(|r| r[2].to_string()).collect();
    all_shown(findings, "the workbook", |f| {
        told.contains(&f.id.to_string())
    });
    assert_eq!(told.len(), findings.findings.len());
}

#[test]
fn no_method_is_missing_from_the_terminal() {
    let (dossier, findings) = support::among();
    let text = terminal(dossier, findings, 100).to_string();
    for entry in METHODS {
        let start = entry.question.split(',').next().unwrap();
        let named = |l: &&str| l.trim_start().starts_with(&format!("{} ", entry.name));
        let told = text.lines().filter(named).any(|l| l.contains(start));
        assert!(told, "{}", entry.name);
    }
}

#[test]
fn no_method_is_missing_from_json_and_its_schema() {
    let (_, findings) = support::among();
    let text = json(findings);
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let told = value["findings"].as_array().unwrap();
    all_shown(findings, "JSON", |f| {
        told.iter().any(|t| t["id"] == f.id.to_string())
    });
    let schema = findings_schema();
    let pattern = schema["$defs"]["FindingId"]["pattern"].as_str().unwrap();
    let names: Vec<&str> = METHODS.iter().map(|m| m.name).collect();
    assert!(pattern.contains(&format!("({})", names.join("|"))));
}

#[test]
fn a_finding_about_a_photo_does_not_lead_to_the_item_of_that_name() {
    let (dossier, mut findings) = support::among().clone();
    let name = dossier.items.iter().find(|i| i.cell.is_some()).unwrap();
    let name = name.id.as_str();
    let about =
        |place: &Place| Finding::new(Method::Geometry, word!("sizes"), "?").about(place.clone());
    let (item, photo) = (Place::item(name), Place::photo(name));
    findings.findings = vec![about(&item), about(&photo)];
    let document = compose(&dossier, &findings, &Photographs::default());
    let of_item = &document.places[&item];
    assert_eq!(of_item.anchor, report::anchor("item", name));
    assert_eq!(document.places.get(&photo), None);
}
