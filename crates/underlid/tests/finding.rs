//! `underlid library find`: what it answers, and what it says of a line it cannot read.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use serde_json::Value as Json;
use support::{code, demo, said, told, underlid};
use tempfile::TempDir;

#[test]
fn what_was_imported_is_found_with_its_place() {
    let at = TempDir::new().unwrap();
    demo(at.path(), &[]);
    let run = |arguments: &[&str]| underlid(&[&["library"], arguments].concat(), at.path());
    assert_eq!(code(&run(&["import", "all", "lamp"])), 0);
    let found = run(&[
        "find",
        "all",
        "TH31?",
        "role:motion sensor",
        "--format",
        "json",
    ]);
    assert_eq!(code(&found), 0, "{}", told(&found));
    let answer: Json = serde_json::from_str(&said(&found)).unwrap();
    assert_eq!(
        answer["hits"][0]["matched"][0]["place"],
        "items.lamp-motion"
    );
    assert_eq!(
        (&answer["behind"], &answer["more"]),
        (&Json::from(0), &Json::from(false))
    );
    let text = said(&run(&[
        "find",
        "all",
        "maker:Threndova",
        "OXT7",
        "run-time>1h",
    ]));
    assert!(
        text.contains("Nivalet 3") && text.contains("TH310, Threndova"),
        "{text}"
    );
    assert!(said(&run(&["find", "all", "nothingofthat"])).contains("Nothing was found."));
    let unread = run(&["find", "all", "fails:>many"]);
    assert_eq!(code(&unread), 2, "{}", told(&unread));
    assert!(told(&unread).contains("fails:>0"), "{}", told(&unread));
}
