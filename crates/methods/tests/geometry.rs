//! Sizes out of photographs, from dossiers written as text. Products are invented; the expected sizes
//! follow from the rule of three, which holds exactly for a camera that looks straight down.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use methods::{Detail, Finding, Verdict};
use record::Dossier;

/// A board of 400 × 300 pixels beside a ruler of 50 mm on 1000 pixels: 20 × 15 mm.
fn examine(size: &str, region: &str) -> Vec<Finding> {
    let text = format!(
        "format = 1\n[product]\nname = \"Sample\"\nmaker = \"Nobody\"\nopened = 2026-01-05\ninvented = true\n\
         [[items]]\nid = \"set\"\nname = \"Sample\"\nkind = \"product\"\n\
         [[items]]\nid = \"board\"\nname = \"Board\"\nkind = \"board\"\nparent = \"set\"\nsize = {{ {size} }}\n\
         [[photos]]\nid = \"top\"\nfile = \"top.jpg\"\ncaption = \"Board from above\"\n\
         scale = {{ from = [100.0, 900.0], to = [1100.0, 900.0], length = \"50.0 mm\" }}\n\
         regions = [{{ id = \"b\", rect = [300, 300, 400, 300], item = \"board\"{region} }}]\n"
    );
    let dossier: Dossier = match record::read_text(&text, "dossier.toml", &|_: &str| true) {
        Ok(dossier) => dossier,
        Err(problems) => panic!("{problems:#?}"),
    };
    methods::geometry::examine(&dossier)
}

const OUTLINE: &str = ", outline = true";

#[test]
fn sizes_that_fit_hold() {
    let found = examine("length = \"20.0 mm\", width = \"15.0 mm\"", OUTLINE);
    assert_eq!(found[0].id, "geometry.top");
    assert_eq!(
        found[0].verdict,
        Some(Verdict::Holds),
        "{}",
        found[0].sentence
    );
    let Detail::Table { rows, .. } = &found[0].details[0] else {
        panic!("a table was expected");
    };
    assert!(rows[0][2].starts_with("20.0"), "{:?}", rows[0]);
    assert!(rows[1][2].starts_with("15.0"), "{:?}", rows[1]);
}

#[test]
fn a_wrong_size_is_contradicted_with_its_working() {
    let found = examine("length = \"24.0 mm\", width = \"15.0 mm\"", OUTLINE);
    assert_eq!(found[0].verdict, Some(Verdict::Fails));
    assert!(
        found[0].sentence.contains("1 of 2"),
        "{}",
        found[0].sentence
    );
    let figure = &found[0].figures[0];
    assert!((figure.value - 20.0).abs() < 0.05, "{}", figure.value);
    assert!(figure.standard_uncertainty > 0.05);
    assert!(!figure.working.is_empty() && !figure.inputs.is_empty());
}

#[test]
fn a_round_thing_is_held_against_its_diameter() {
    let found = examine("diameter = \"17.5 mm\"", OUTLINE);
    assert_eq!(
        found[0].verdict,
        Some(Verdict::Holds),
        "{}",
        found[0].sentence
    );
}

#[test]
fn a_region_that_is_no_outline_measures_nothing() {
    assert!(examine("length = \"24.0 mm\", width = \"15.0 mm\"", "").is_empty());
}

#[test]
fn without_a_recorded_size_there_is_no_verdict() {
    let found = examine("", OUTLINE);
    assert_eq!(found[0].verdict, None);
}
