//! Price books beside a dossier and of a whole library: read, refused with place and remedy, inherited.

use app::desk::Desk;
use app::{ExamineOptions, Kind, Watch, examine};
use jiff::Timestamp;
use library::{Library, Person};
use methods::{Finding, Method, Verdict};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

const RECORD: &str = r#"
format = 1
[product]
name = "Glimm"
maker = "Oskvale"
opened = 2026-03-01
[cost]
volume = 1000
[[items]]
id = "set"
name = "Glimm"
kind = "product"
[[items]]
id = "lamp"
name = "Lamp"
kind = "transducer"
parent = "set"
"#;

const GOOD: &str = "of,name,price,currency,confidence,date,source\n\
                    part,Lamp,2.50,EUR,quote,2026-02-01,invented\n";
const BAD: &str = "of,name,price,currency,within\n\
                   part,Lamp,1: -2 | 10: 1,EUR,10 %\n\
                   part,Lamp,2,XBT,10 %\n";

/// Keeps what it is told.
#[derive(Default)]
struct Told(Mutex<Vec<String>>);

impl Watch for Told {
    fn stage(&self, what: &str) {
        self.0.lock().expect("nobody panics").push(what.to_string());
    }
    fn step(&self, _: &str, _: usize, _: usize) {}
}

fn folder(book: &str) -> tempfile::TempDir {
    let at = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(at.path().join("catalogue")).expect("a folder");
    let write = |path: &str, text: &str| std::fs::write(at.path().join(path), text);
    write("dossier.toml", RECORD).expect("a file");
    write("catalogue/prices.csv", book).expect("a file");
    at
}

fn options(folder: &Path, catalogues: Vec<PathBuf>) -> ExamineOptions {
    ExamineOptions {
        folder: folder.to_path_buf(),
        catalogues,
    }
}

fn cost(findings: &methods::Findings) -> &Finding {
    let mut all = findings.findings.iter();
    all.find(|f| f.method() == Method::Cost).expect("an answer")
}

#[test]
fn a_book_beside_the_dossier_prices_it() {
    let at = folder(GOOD);
    let found = examine(&options(at.path(), Vec::new()), &app::Unwatched).expect("it reads");
    let found = cost(&found.findings);
    assert_eq!(found.figures[0].figure.value, 2.5);
    assert_eq!(found.figures[0].figure.unit.symbol(), "EUR");
}

#[test]
fn refused_rows_are_told_and_the_rest_is_used() {
    let at = folder(BAD);
    let told = Told::default();
    let found = examine(&options(at.path(), Vec::new()), &told).expect("it reads");
    assert_eq!(cost(&found.findings).verdict, Some(Verdict::NeedsEvidence));
    let told = told.0.into_inner().expect("nobody panics").join("\n");
    for words in [
        "prices.csv:2, column price: ",
        "-2 is no price",
        "prices.csv:3, column currency: \"XBT\" is no currency that is known here; write one of EUR,",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
}

#[test]
fn a_named_book_of_which_nothing_can_be_used_is_refused() {
    let at = folder(GOOD);
    let named = at.path().join("prices-shared.csv");
    std::fs::write(&named, BAD).expect("a file");
    let refused = examine(&options(at.path(), vec![named.clone()]), &app::Unwatched);
    let problem = refused.expect_err("nothing in it can be used");
    assert_eq!(problem.kind, Kind::Refused);
    assert!(
        problem.message.contains("prices-shared.csv"),
        "{}",
        problem.message
    );
    let checked = app::catalogues::check(std::slice::from_ref(&named), &app::Unwatched);
    assert_eq!(checked.expect("it is read").remarks.len(), 2);
    // A later book corrects an earlier one.
    std::fs::write(&named, GOOD.replace("2.50", "3.00")).expect("a file");
    let found = examine(&options(at.path(), vec![named]), &app::Unwatched).expect("it reads");
    assert_eq!(cost(&found.findings).figures[0].figure.value, 3.0);
}

/// A book of the desk is inherited by every dossier of its library.
#[tokio::test]
async fn a_library_inherits_the_book_of_its_desk() {
    let at = tempfile::tempdir().expect("a folder");
    let book = at.path().join("prices.csv");
    std::fs::write(&book, GOOD).expect("a file");
    let library = Library::in_memory();
    let person = Person::from("A.");
    let made = library
        .create(RECORD, Vec::new(), &person, Timestamp::UNIX_EPOCH)
        .await;
    let id = made.expect("it reads");
    let desk = Desk::at(library, vec![book]);
    let view = desk.view(&id).await.expect("it is there");
    assert_eq!(cost(&view.findings).figures[0].figure.value, 2.5);
}
