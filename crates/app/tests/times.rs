//! Tables of times beside a dossier and of a whole library: read, refused with place and remedy, inherited.

use app::desk::Desk;
use app::{ExamineOptions, Kind, Unwatched, examine};
use jiff::Timestamp;
use library::{Library, Person};
use methods::{Cell, Detail, Findings, Method};
use std::path::{Path, PathBuf};

const RECORD: &str = r#"
format = 1
[product]
name = "Glimm"
maker = "Oskvale"
opened = 2026-03-01
[[items]]
id = "set"
name = "Glimm"
kind = "product"
[[items]]
id = "cell"
name = "Cell"
kind = "cell"
parent = "set"
spare = "battery"
[[steps]]
id = "unscrew"
action = "unscrew"
text = "Undo two screws."
tool = "PH0 driver"
fastener-count = 2
undo = "yes"
[[steps]]
id = "pull"
action = "pull"
text = "Pull the cell out."
frees = ["cell"]
undo = "yes"
"#;

const GOOD: &str = "action,per,seconds,source\nunscrew,fastener,30,own clock\npull,,60,own clock\n\
                    tool change,,15,own clock\n";
const BAD: &str = "action,seconds,source\nfly,5,own clock\n";

fn folder(table: &str) -> tempfile::TempDir {
    let at = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(at.path().join("catalogue")).expect("a folder");
    let write = |path: &str, text: &str| std::fs::write(at.path().join(path), text);
    write("dossier.toml", RECORD).expect("a file");
    write("catalogue/times.csv", table).expect("a file");
    at
}

fn options(folder: &Path, catalogues: Vec<PathBuf>) -> ExamineOptions {
    ExamineOptions {
        folder: folder.to_path_buf(),
        catalogues,
    }
}

/// Returns the minutes of the way to the cell by the table; none where there is no table.
fn minutes(findings: &Findings) -> Option<f64> {
    let mut all = findings.findings.iter();
    let ways = all
        .find(|f| f.method() == Method::Repair)
        .expect("an answer");
    let table = ways.details.iter().find_map(|detail| match detail {
        Detail::Table(table) => Some(table),
        _ => None,
    });
    let table = table.expect("a table of ways");
    let at = table
        .columns
        .iter()
        .position(|c| c.heading == "Table")
        .expect("its column");
    match &table.rows[0][at] {
        Cell::Number(number) => Some(number.value),
        _ => None,
    }
}

/// Two screws at 30 s, one pull at 60 s, the driver taken up and laid down at 15 s each: 150 s.
#[test]
fn a_table_beside_the_dossier_times_the_way() {
    let at = folder(GOOD);
    let found = examine(&options(at.path(), Vec::new()), &Unwatched).expect("it reads");
    assert_eq!(minutes(&found.findings), Some(2.5));
    let without = folder(BAD);
    let found = examine(&options(without.path(), Vec::new()), &Unwatched).expect("it reads");
    assert_eq!(minutes(&found.findings), None);
}

#[derive(Default)]
struct Told(std::sync::Mutex<Vec<String>>);

impl app::Watch for Told {
    fn note(&self, what: &str) {
        self.0.lock().expect("nobody panics").push(what.to_string());
    }
    fn stage(&self, _: &str) {}
    fn step(&self, _: &str, _: usize, _: usize) {}
}

#[test]
fn refused_rows_are_told_and_the_rest_is_used() {
    let at = folder(&format!("{GOOD}fly,,5,own clock\npull,,-5,own clock\n"));
    let told = Told::default();
    let found = examine(&options(at.path(), Vec::new()), &told).expect("it reads");
    assert_eq!(minutes(&found.findings), Some(2.5));
    let told = told.0.into_inner().expect("nobody panics").join("\n");
    for words in ["times.csv:5", "times.csv:6", "no action of a step"] {
        assert!(told.contains(words), "{words}: {told}");
    }
}

/// Tables are told by their names alone: a price book beside a table of times is neither part of it nor in its way.
#[test]
fn a_price_book_beside_a_table_of_times_is_none() {
    let at = folder(GOOD);
    let book = "of,name,price,currency,confidence,date,source\ncell,Li-ion,0.5,EUR,quote,2026-02-01,invented\n";
    std::fs::write(at.path().join("catalogue/prices.csv"), book).expect("a file");
    std::fs::write(
        at.path().join("catalogue/timesB.csv"),
        "action,seconds,source\npull,120,own clock\n",
    )
    .expect("a file");
    let told = Told::default();
    let found = examine(&options(at.path(), Vec::new()), &told).expect("it reads");
    let told = told.0.into_inner().expect("nobody panics");
    assert!(
        told.iter().all(|note| !note.starts_with("left out")),
        "{told:?}"
    );
    // The later of the two in the order of names says 120 s for the pull.
    assert_eq!(minutes(&found.findings), Some(3.5));
}

#[test]
fn a_named_table_of_which_nothing_can_be_used_is_refused() {
    let at = folder(GOOD);
    let named = at.path().join("times-shared.csv");
    std::fs::write(&named, BAD).expect("a file");
    let refused = examine(&options(at.path(), vec![named.clone()]), &Unwatched);
    let problem = refused.expect_err("nothing in it can be used");
    assert_eq!(problem.kind, Kind::Refused);
    assert!(
        problem.message.contains("no action of a step"),
        "{}",
        problem.message
    );
    let checked = app::catalogues::check(std::slice::from_ref(&named), &Unwatched);
    assert_eq!(checked.expect("it is read").remarks.len(), 1);
    // A later table corrects an earlier one.
    std::fs::write(&named, "action,seconds,source\npull,120,own clock\n").expect("a file");
    let found = examine(&options(at.path(), vec![named]), &Unwatched).expect("it reads");
    assert_eq!(minutes(&found.findings), Some(3.5));
}

/// A table of the desk is inherited by every dossier of its library.
#[tokio::test]
async fn a_library_inherits_the_table_of_its_desk() {
    let at = tempfile::tempdir().expect("a folder");
    let table = at.path().join("times.csv");
    std::fs::write(&table, GOOD).expect("a file");
    let library = Library::in_memory();
    let person = Person::from("A.");
    let made = library
        .create(RECORD, Vec::new(), &person, Timestamp::UNIX_EPOCH)
        .await;
    let id = made.expect("it reads");
    let desk = Desk::at(library, vec![table]);
    let view = desk.view(&id).await.expect("it is there");
    assert_eq!(minutes(&view.findings), Some(2.5));
}
