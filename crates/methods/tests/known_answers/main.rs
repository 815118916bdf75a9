//! Small dossiers whose right answers a practitioner can give without this tool.
//!
//! Every `.toml` file beside this one is a case: comment lines on top say the point, why the answer
//! is right and what is expected (`expectation.rs`), written before the code ran; the dossier
//! follows. What every case shares (format, product) is put before it unless it brings its own. All
//! products are invented. The table `docs/known-answers.md` is made from them.

#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test fails by panicking and reads its cases from the disk"
)]

mod expectation;
mod wording;

use expectation::{Expectation, Outcome};
use methods::Known;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

const HEAD: &str = "format = 1\n[product]\nname = \"Sample\"\nmaker = \"Nobody\"\nopened = 2026-01-05\n\
                    invented = true\n";
const WHOLE: &str = "\n[[items]]\nid = \"product\"\nname = \"Sample\"\nkind = \"product\"\n";

/// One dossier and what must come out.
struct Case {
    name: String,
    point: String,
    because: String,
    expectations: Vec<Expectation>,
    text: String,
}

impl Case {
    fn read(path: &Path) -> Self {
        let written = std::fs::read_to_string(path).unwrap();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let line = |word: &str| -> String {
            let prefix = format!("# {word}: ");
            let found = written.lines().find_map(|l| l.strip_prefix(&prefix));
            found
                .unwrap_or_else(|| panic!("{name} says no {word}"))
                .trim()
                .to_string()
        };
        let expectations: Vec<Expectation> = written
            .lines()
            .filter_map(|l| l.strip_prefix("# expect "))
            .map(|l| l.parse().unwrap_or_else(|why| panic!("{name}: {l}: {why}")))
            .collect();
        assert!(!expectations.is_empty(), "{name} expects nothing");
        Self {
            point: line("point"),
            because: line("because"),
            expectations,
            text: complete(&written),
            name,
        }
    }

    fn outcome(&self) -> Outcome {
        match record::read_text(&self.text, "dossier.toml", &record::AnyFile) {
            Err(problems) => Outcome::Refused(problems),
            Ok(dossier) => {
                let goes_on = |_| ControlFlow::Continue(());
                Outcome::Examined(methods::examine(&dossier, &Known::default(), &goes_on).unwrap())
            }
        }
    }
}

/// Puts before the text what it does not bring itself.
fn complete(written: &str) -> String {
    let has = |start: &str| written.lines().any(|l| l.starts_with(start));
    let head = if has("format") { "" } else { HEAD };
    let whole = if has("kind = \"product\"") { "" } else { WHOLE };
    // Keys of the product come first, then its tables, then the whole.
    format!("{head}{written}{whole}")
}

fn cases() -> Vec<Case> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/known_answers");
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    files.iter().map(|f| Case::read(f)).collect()
}

#[test]
fn every_dossier_gets_its_right_answer() {
    let mut wrong = String::new();
    for case in cases() {
        let outcome = case.outcome();
        for expectation in &case.expectations {
            if let Err(found) = expectation.met(&outcome) {
                writeln!(wrong, "{}: {expectation}\n    {found}", case.name).unwrap();
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn no_two_dossiers_make_the_same_point() {
    let cases = cases();
    assert!(cases.len() >= 60, "only {} dossiers", cases.len());
    let mut points: BTreeMap<&str, &str> = BTreeMap::new();
    for case in &cases {
        if let Some(other) = points.insert(&case.point, &case.name) {
            panic!("{other} and {} make the same point", case.name);
        }
    }
}

/// Rewrite the table with `UPDATE=1 cargo test -p underlid-methods --test known_answers`.
#[test]
fn the_table_lists_every_dossier() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/known-answers.md");
    let mut table = String::from(
        "# Dossiers with known right answers\n\nEach is a file in `crates/methods/tests/known_answers/`; \
         the answers were written before the code ran. This table is made from them.\n\n\
         | dossier | point | right answer | because |\n| --- | --- | --- | --- |\n",
    );
    for case in cases() {
        let answers: Vec<String> = case.expectations.iter().map(ToString::to_string).collect();
        let row = [&case.name, &case.point, &answers.join("; "), &case.because]
            .map(|cell| cell.replace('|', "or"));
        writeln!(table, "| {} |", row.join(" | ")).unwrap();
    }
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, &table).unwrap();
    }
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        found == table,
        "docs/known-answers.md is out of date; run with UPDATE=1"
    );
}
