//! Known parts as a person meets them: catalogue files, markings and codes on the command line.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::path::Path;
use support::{code, said, told, underlid};
use tempfile::TempDir;

const KNOWN: &str = "name,maker,packages,pins,role\n\
    THK4821,Threndova,QFN-16,16,charger\n\
    THK4B21,Threndova,SOT-23-5,5,regulator\n\
    OXT7,Oxquillon,QFN-16,16,touch controller\n";

#[test]
fn a_worn_marking_is_read_with_probabilities_that_add_up() {
    let at = TempDir::new().unwrap();
    fs::write(at.path().join("known.csv"), KNOWN).unwrap();
    let arguments = [
        "read",
        "THK4[8B]21",
        "--catalogue",
        "known.csv",
        "--package",
        "QFN-16",
        "--pins",
        "16",
        "--format",
        "json",
    ];
    let output = underlid(&arguments, at.path());
    assert_eq!(code(&output), 0, "{}", told(&output));
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let candidates = answer["parts"]["candidates"].as_array().unwrap();
    assert_eq!(candidates[0]["name"], "THK4821");
    assert!(candidates[0]["probability"].as_f64().unwrap() > 0.9);
    let sum: f64 = candidates
        .iter()
        .map(|c| c["probability"].as_f64().unwrap())
        .chain(["none", "unlisted"].map(|k| answer["parts"][k].as_f64().unwrap()))
        .sum();
    assert!((sum - 1.0).abs() < 1e-6, "{sum}");
    let text = said(&underlid(&arguments[..8], at.path()));
    assert!(
        text.contains("THK4821") && text.contains("none of these"),
        "{text}"
    );
}

#[test]
fn a_code_is_read_without_any_catalogue() {
    let at = TempDir::new().unwrap();
    let output = underlid(&["read", "4K7"], at.path());
    assert_eq!(code(&output), 0, "{}", told(&output));
    assert!(said(&output).contains("4.7 kΩ"), "{}", said(&output));
    assert!(said(&output).contains("IEC 60062"), "{}", said(&output));
}

#[test]
fn what_cannot_be_read_is_told_with_its_place_and_remedy() {
    let at = TempDir::new().unwrap();
    fs::write(at.path().join("known.csv"), KNOWN).unwrap();
    let cases: [(&[&str], i32, &str); 4] = [
        (&["read", "TH[8B"], 2, "character"),
        (&["read", "TH", "--size", "3 mm"], 2, "length x width"),
        (&["read", "TH", "--pitch", "5 V"], 2, "0.5 mm"),
        (
            &["read", "TH", "--catalogue", "nowhere.csv"],
            3,
            "nowhere.csv",
        ),
    ];
    for (arguments, expected_code, expected) in cases {
        let output = underlid(arguments, at.path());
        assert_eq!(code(&output), expected_code, "{arguments:?}");
        assert!(told(&output).contains(expected), "{}", told(&output));
        assert!(told(&output).contains("try:"), "{}", told(&output));
    }
}

#[test]
fn a_table_of_markings_is_answered_row_by_row() {
    let at = TempDir::new().unwrap();
    fs::write(at.path().join("known.csv"), KNOWN).unwrap();
    let seen = "marking,pins,size\nOXT?,16,3 x 3 mm\nTH[,16,\nTHK4821,many,\n";
    fs::write(at.path().join("seen.csv"), seen).unwrap();
    let arguments = ["read", "--batch", "seen.csv", "--catalogue", "known.csv"];
    let output = underlid(&arguments, at.path());
    assert_eq!(code(&output), 0, "{}", told(&output));
    let mut rows = csv::Reader::from_reader(output.stdout.as_slice());
    let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 3);
    assert_eq!(&rows[0][1], "OXT7");
    assert_eq!(&rows[0][8], "");
    assert!(rows[1][8].contains("brackets"), "{:?}", rows[1]);
    assert!(rows[2][8].contains("number of pins"), "{:?}", rows[2]);
}

#[test]
fn a_table_is_imported_once_and_its_bad_rows_are_told() {
    let at = TempDir::new().unwrap();
    let table = "Part No;Mfr;Pins\nTHK4821;Threndova;16\nOXT7;Oxquillon;many\n";
    fs::write(at.path().join("bought.csv"), table).unwrap();
    let look = underlid(
        &["catalogue", "import", "bought.csv", "--preview", "5"],
        at.path(),
    );
    assert_eq!(code(&look), 0, "{}", told(&look));
    assert!(said(&look).contains("THK4821"), "{}", said(&look));
    assert!(!at.path().join("known.csv").exists());
    let arguments = ["catalogue", "import", "bought.csv", "--into", "known.csv"];
    let first = underlid(&arguments, at.path());
    assert_eq!(code(&first), 0, "{}", told(&first));
    assert!(said(&first).contains("1 new"), "{}", said(&first));
    assert!(said(&first).contains("bought.csv:3"), "{}", said(&first));
    let before = fs::read(at.path().join("known.csv")).unwrap();
    let second = underlid(&arguments, at.path());
    assert!(
        said(&second).contains("nothing to write"),
        "{}",
        said(&second)
    );
    assert_eq!(fs::read(at.path().join("known.csv")).unwrap(), before);
    let check = underlid(&["catalogue", "check", "known.csv"], at.path());
    assert_eq!(code(&check), 0, "{}", said(&check));
}

#[test]
fn the_users_own_columns_are_carried_through() {
    let at = TempDir::new().unwrap();
    let own = "shelf;name;pins;;my notes;pins\n\
        \"A; 3\";THK4821;16;loose;  ask \"\"Tarn\"\" first ;20\n;OXT7;16;;-;\n";
    fs::write(at.path().join("known.csv"), own).unwrap();
    fs::write(
        at.path().join("more.csv"),
        "name,maker\nOXT7,Oxquillon\nNEW1,Oxquillon\n",
    )
    .unwrap();
    let import = ["catalogue", "import", "more.csv", "--into", "known.csv"];
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let harvest = [
        "catalogue",
        "harvest",
        demo.to_str().unwrap(),
        "--into",
        "known.csv",
    ];
    for arguments in [&import, &harvest] {
        let output = underlid(arguments, at.path());
        assert_eq!(code(&output), 0, "{}", told(&output));
        let mut rows = csv::Reader::from_path(at.path().join("known.csv")).unwrap();
        let headings = rows.headers().unwrap().clone();
        let own: Vec<usize> = (0..headings.len())
            .filter(|at| ["shelf", "column 4", "my notes"].contains(&&headings[*at]))
            .chain([headings.len() - 1])
            .collect();
        let cells = |row: &csv::StringRecord| -> Vec<String> {
            own.iter().map(|at| row[*at].to_string()).collect()
        };
        let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
        let named = |name: &str| cells(rows.iter().find(|r| &r[0] == name).unwrap());
        // A second column `pins` is not read as one, and stays.
        assert_eq!(headings.iter().next_back(), Some("pins"));
        assert_eq!(
            named("THK4821"),
            ["A; 3", "loose", "  ask \"\"Tarn\"\" first ", "20"]
        );
        assert_eq!(named("OXT7"), ["", "", "-", ""]);
        assert_eq!(named("NEW1"), ["", "", "", ""]);
    }
    let kept = fs::read_to_string(at.path().join(".revisions/0001-known.csv")).unwrap();
    assert_eq!(kept, own, "the file as it was is in the history");
}

#[test]
fn a_catalogue_with_bad_rows_is_not_written_over() {
    let at = TempDir::new().unwrap();
    let bad = "name,pins\nTHK4821,many\n";
    fs::write(at.path().join("known.csv"), bad).unwrap();
    fs::write(at.path().join("more.csv"), KNOWN).unwrap();
    let output = underlid(
        &["catalogue", "import", "more.csv", "--into", "known.csv"],
        at.path(),
    );
    assert_eq!(code(&output), 3);
    assert!(told(&output).contains("known.csv:2"), "{}", told(&output));
    assert_eq!(
        fs::read_to_string(at.path().join("known.csv")).unwrap(),
        bad
    );
    assert_eq!(
        code(&underlid(&["catalogue", "check", "known.csv"], at.path())),
        1
    );
}

#[test]
fn identities_that_were_read_are_harvested_once() {
    let at = TempDir::new().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let demo = demo.to_str().unwrap();
    let arguments = ["catalogue", "harvest", demo, "--into", "known.csv"];
    let first = underlid(&arguments, at.path());
    assert_eq!(code(&first), 0, "{}", told(&first));
    let known = fs::read_to_string(at.path().join("known.csv")).unwrap();
    assert!(known.contains("TH-KARN2"), "{known}");
    // Recorded as inferred.
    assert!(!known.contains("PLX8"), "{known}");
    let second = underlid(&arguments, at.path());
    assert!(
        said(&second).contains("0 new, 0 corrected"),
        "{}",
        said(&second)
    );
}

#[test]
fn an_installed_set_of_symbol_libraries_is_imported_whole() {
    let symbols = Path::new("/usr/share/kicad/symbols");
    if !symbols.is_dir() {
        assert!(
            std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_none(),
            "the package kicad-symbols is not installed"
        );
        eprintln!("skipped: the package kicad-symbols is not installed");
        return;
    }
    let at = TempDir::new().unwrap();
    let arguments = [
        "catalogue",
        "import",
        symbols.to_str().unwrap(),
        "--into",
        "symbols.csv",
    ];
    let first = underlid(&arguments, at.path());
    assert_eq!(code(&first), 0, "{}", told(&first));
    let answer = said(&first);
    let new = answer
        .strip_prefix("symbols.csv: ")
        .and_then(|rest| rest.split_once(" new"));
    let new: u32 = new.unwrap().0.parse().unwrap();
    assert!(new > 15_000, "{answer}");
    let second = underlid(&arguments, at.path());
    assert!(
        said(&second).contains("nothing to write"),
        "{}",
        said(&second)
    );
}
