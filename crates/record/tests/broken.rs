//! Broken dossiers, one fault each, and exactly what is said about each.
//!
//! `tests/broken/NAME/dossier.toml` is read with the files beside it; what is said has to be
//! `expected.txt`. Rewrite those with `UPDATE=1` and read the difference.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]
#![allow(
    clippy::unwrap_used,
    reason = "a test may stop where its ground is missing"
)]

use record::{Problems, read_text, text_of};
use std::fs;
use std::path::{Path, PathBuf};
use store::DossierFolder;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/broken")
}

fn said_about(folder: &Path) -> Result<record::Dossier, Problems> {
    let bytes = fs::read(folder.join("dossier.toml")).unwrap();
    let text = text_of(&bytes, "dossier.toml")?;
    read_text(&text, "dossier.toml", &DossierFolder::at(folder)?)
}

#[test]
fn the_dossier_they_were_made_from_is_good() {
    let text = fs::read_to_string(folder().join("good.toml")).unwrap();
    let nothing = |_: &str| false;
    let read = read_text(&text, "good.toml", &nothing);
    assert!(read.is_ok(), "{}", read.unwrap_err());
}

#[test]
fn every_broken_dossier_is_told_as_expected() {
    let mut names: Vec<PathBuf> = fs::read_dir(folder())
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.is_dir())
        .collect();
    names.sort();
    assert!(names.len() >= 40, "only {} broken dossiers", names.len());
    let mut wrong = Vec::new();
    for path in &names {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let said = match said_about(path) {
            Ok(_) => {
                wrong.push(format!("{name}: nothing is said to be wrong"));
                continue;
            }
            Err(problems) => {
                if problems.0.len() != 1 {
                    wrong.push(format!(
                        "{name}: {} problems instead of one:\n{problems}",
                        problems.0.len()
                    ));
                }
                format!("{problems}\n")
            }
        };
        let expected = path.join("expected.txt");
        if std::env::var_os("UPDATE").is_some() {
            fs::write(&expected, &said).unwrap();
        }
        if fs::read_to_string(&expected).unwrap_or_default() != said {
            wrong.push(format!("{name}: found\n{said}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// All faults at once: two broken texts in one still tell both.
#[test]
fn faults_do_not_hide_each_other() {
    let text = fs::read_to_string(folder().join("good.toml")).unwrap();
    let text = text
        .replace("capacity = \"620 mAh\"", "capasity = \"620 mAh\"")
        .replace(
            "parent = \"board\"\n\n[items.contact]",
            "parent = \"bord\"\n\n[items.contact]",
        )
        .replace("value = \"11.42 g\"", "value = \"-11.42 g\"")
        .replace("opened = 2026-03-01", "opened = 2026-02-01")
        .replace("undo = \"with-new-material\"", "undo = maybe");
    let nothing = |_: &str| false;
    let problems = read_text(&text, "dossier.toml", &nothing).unwrap_err();
    let told: Vec<&str> = problems.0.iter().map(|p| p.text.as_str()).collect();
    assert_eq!(problems.0.len(), 5, "{problems}");
    assert!(told.iter().any(|t| t.contains("2026-02-01")));
    // A word without quotes hides nothing, and is told once.
    let whole = text.replace("undo = maybe", "undo = \"maybe\"");
    let with_quotes = read_text(&whole, "dossier.toml", &nothing).unwrap_err();
    let places =
        |problems: &record::Problems| -> Vec<usize> { problems.0.iter().map(|p| p.line).collect() };
    assert_eq!(places(&problems), places(&with_quotes), "{with_quotes}");
}

/// Takes the good text, makes every change and says what has to be told: line and remedy, in order.
#[track_caller]
fn told(changes: &[(&str, &str)], expected: &[(usize, &str)]) {
    let mut text = fs::read_to_string(folder().join("good.toml")).unwrap();
    for (good, bad) in changes {
        assert_eq!(text.matches(good).count(), 1, "{good}");
        text = text.replace(good, bad);
    }
    let nothing = |_: &str| false;
    let problems = read_text(&text, "dossier.toml", &nothing).unwrap_err();
    let found: Vec<(usize, &str)> = problems
        .0
        .iter()
        .map(|p| (p.line, p.remedy.as_str()))
        .collect();
    assert_eq!(found, expected, "{problems}");
}

#[test]
fn faults_of_syntax_hide_no_missing_key_and_no_dangling_id() {
    told(
        &[
            ("name = \"Glimm 2\"\nmaker", "maker"),
            ("made = 2026-01-10", "made = 2026-02-30"),
            ("accuracy = \"0.03 g\"", "accuracy = 0.03 g"),
            ("text = \"Only 120 g\"", "text = “Only 120 g”"),
            (
                "{ length = \"42.1 mm\", width = \"18.0 mm\" }",
                "{ length = 42.1 mm, width = 18.0 mm }",
            ),
            ("\"OK41\", \"6?[8B]\"", "OK41, \"6?[8B]\""),
            (
                "capacity = \"620 mAh\"",
                "capacity = 620 mAh # of the label",
            ),
            ("form = \"pouch\"", "form = "),
            ("count = 4", "count = 4.0"),
            ("from = \"charger\"", "from = \"chager\""),
            ("duration = \"2 min\"", "duration = 2 min"),
            ("id = \"mass-whole\"\n", "id = mass-whole\n"),
            ("after = \"pull\"", "after = \"push\""),
            ("coefficient = 0.5", "coefficient = \"0.5"),
        ],
        &[
            (3, "add name = \"…\""),
            (5, "write year-month-day: 2026-03-01"),
            (21, "write \"0.03 g\""),
            (25, "write \"Only 120 g\""),
            (43, "write \"42.1 mm\""),
            (43, "write \"18.0 mm\""),
            (62, "write \"OK41\""),
            (77, "write \"620 mAh\""),
            (80, "write one behind the equals sign, or remove the key"),
            (87, "write 4 without a decimal point"),
            (99, "write \"charger\""),
            (108, "write \"2 min\""),
            (128, "write \"mass-whole\""),
            (
                141,
                "write one of: pull, unscrew, warm; or add it under [[steps]]",
            ),
            (
                145,
                "close the text with \", or write \"\"\" around text of several lines",
            ),
        ],
    );
}

#[test]
fn an_open_text_of_several_lines_is_told_where_it_opens() {
    told(
        &[
            (
                "text = \"Remove the four screws\"",
                "text = \"\"\"Remove the four screws,\nand keep them.",
            ),
            ("frees = [\"cell\"]", "frees = [\"sell\"]"),
        ],
        &[
            (
                107,
                "close the text with \", or write \"\"\" around text of several lines",
            ),
            (126, "write \"cell\""),
        ],
    );
}

#[test]
fn an_open_list_costs_the_list_alone() {
    told(
        &[
            (
                "hazards = [\"heat\", \"lithium-cell\"]",
                "hazards = [\"heat\", \"lithium-cell\"",
            ),
            ("after = \"pull\"", "after = \"push\""),
        ],
        &[
            (117, "close it with ] or }"),
            (
                142,
                "write one of: pull, unscrew, warm; or add it under [[steps]]",
            ),
        ],
    );
}

#[test]
fn remedies_say_the_number_that_was_meant() {
    told(
        &[
            ("format = 1\n", "format = 1.0\n"),
            ("count = 4", "count = \"4.0\""),
        ],
        &[
            (1, "write 1 without a decimal point"),
            (88, "write 4 without quotes"),
        ],
    );
    told(
        &[("count = 4", "count = 4.5")],
        &[(88, "write a whole number, as counted")],
    );
}

#[test]
fn quotes_of_print_are_named_and_what_stands_in_them_is_kept() {
    for printed in [
        "“Oskvale Works”",
        "„Oskvale Works“",
        "«Oskvale Works»",
        "‘Oskvale Works’",
        "“Oskvale Works\"",
        "\"Oskvale Works”",
    ] {
        told(
            &[("maker = \"Oskvale Works\"", &format!("maker = {printed}"))],
            &[(5, "write \"Oskvale Works\"")],
        );
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(300))]

    /// Whatever is slipped into a good text: it is read, or told with places that lie in it.
    #[test]
    fn any_slip_is_told(
        slips in proptest::collection::vec(
            (
                proptest::prelude::any::<proptest::sample::Index>(),
                proptest::sample::select(vec![
                    "\"", "'", "\"\"\"", "“", "”", "[", "]", "[[", "{", "}", ",", "=", "#", "\n", "\r\n", "Ω 5",
                    "ü", "\\", "= ", " =", "2026-02-30", "\u{0}",
                ]),
                0..4_usize,
            ),
            1..6,
        ),
    ) {
        let mut text = fs::read_to_string(folder().join("good.toml")).unwrap();
        for (place, slip, removed) in slips {
            let from = text.floor_char_boundary(place.index(text.len()));
            let to = text.ceil_char_boundary((from + removed).min(text.len()));
            text.replace_range(from..to, slip);
        }
        let nothing = |_: &str| false;
        if let Err(problems) = read_text(&text, "dossier.toml", &nothing) {
            assert!(!problems.0.is_empty());
            for problem in problems.0 {
                assert!(text.get(problem.span.clone()).is_some(), "{problem}");
            }
        }
    }
}
