//! Power, run time and claims from dossiers written as text, against closed forms and published
//! values. All products are invented.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod claims;
mod flow;
mod logged;
mod power;
mod runtime;
#[path = "../support/answers.rs"]
mod support;

use methods::{Finding, Findings, Known};
use quantity::Figure;
use record::Dossier;
use std::ops::ControlFlow;
pub(crate) use support::answers;

/// Reads a dossier of a product with these further tables.
#[track_caller]
pub(crate) fn dossier(tables: &str) -> Dossier {
    dossier_with("", tables)
}

/// As [`dossier`], with further keys of the product.
#[track_caller]
fn dossier_with(product: &str, tables: &str) -> Dossier {
    let head = "format = 1\n[product]\nname = \"Sample\"\nmaker = \"Nobody\"\nopened = 2026-01-05\ninvented = true\n";
    match record::read_text(
        &format!("{head}{product}\n{tables}"),
        "dossier.toml",
        &|_: &str| true,
    ) {
        Ok(dossier) => dossier,
        Err(problems) => panic!("{problems:#?}"),
    }
}

#[track_caller]
pub(crate) fn examine(tables: &str) -> Findings {
    everything(&dossier(tables))
}

#[track_caller]
pub(crate) fn examine_with(product: &str, tables: &str) -> Findings {
    everything(&dossier_with(product, tables))
}

#[track_caller]
pub(crate) fn finding<'f>(findings: &'f [Finding], id: &str) -> &'f Finding {
    let ids: Vec<String> = findings.iter().map(|f| f.id.to_string()).collect();
    findings
        .iter()
        .find(|f| f.id.to_string() == id)
        .unwrap_or_else(|| panic!("no {id} in {ids:?}"))
}

#[track_caller]
pub(crate) fn figure<'f>(finding: &'f Finding, name: &str) -> &'f Figure {
    let names: Vec<&str> = finding.figures.iter().map(|f| f.name.as_str()).collect();
    finding
        .figures
        .iter()
        .find(|f| f.name == name)
        .unwrap_or_else(|| panic!("no {name} in {names:?}"))
}

#[track_caller]
pub(crate) fn near(found: f64, expected: f64, relative: f64) {
    assert!(
        (found - expected).abs() <= relative * expected.abs(),
        "{found} for {expected}"
    );
}

/// What all methods say of a dossier, without known parts.
fn everything(dossier: &Dossier) -> Findings {
    let goes_on = |_| ControlFlow::Continue(());
    methods::examine(dossier, &Known::default(), &goes_on).unwrap()
}
