//! Several runs at once on one dossier and on one catalogue: what each was told is saved is there.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::path::Path;
use std::process::Child;
use support::{code, demo, started, told, underlid};
use tempfile::TempDir;

fn ended(child: Child) {
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success(), "{}", told(&output));
}

/// Measures of one thing take each other's place; those of different ones stand side by side.
#[test]
fn measures_saved_by_six_runs_at_once_are_all_recorded() {
    let at = TempDir::new().unwrap();
    let folder = demo(at.path(), &[]);
    let before = record(&folder);
    let measure = |process: usize, n: usize| {
        let points = format!("{},100 {},200", 100 + 10 * process, 100 + n);
        let what = ["length", "width", "thickness"][n];
        started(
            &[
                "measure",
                "lamp",
                "--photo",
                "bench-lamp",
                "--item",
                "lamp",
                "--what",
                what,
                "--at",
                &points,
                "--within",
                "1.5",
                "--save",
            ],
            at.path(),
        )
    };
    for n in 0..3 {
        let runs: Vec<Child> = (0..6).map(|process| measure(process, n)).collect();
        runs.into_iter().for_each(ended);
    }
    let after = record(&folder);
    assert_eq!(after.len() - before.len(), 18);
    for process in 0..6 {
        for n in 0..3 {
            let from = format!("[{}, 100]", 100 + 10 * process);
            let from_float = format!("[{}.0, 100.0]", 100 + 10 * process);
            let to = format!("{}", 100 + n);
            assert!(
                after
                    .iter()
                    .any(|m| (m.contains(&from) || m.contains(&from_float)) && m.contains(&to)),
                "run {process}, measure {n}"
            );
        }
    }
    assert_eq!(code(&underlid(&["check", "lamp"], at.path())), 0);
}

/// The measures in a dossier's text.
fn record(folder: &Path) -> Vec<String> {
    let text = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    text.split("[[measures]]")
        .skip(1)
        .map(str::to_string)
        .collect()
}

#[test]
fn parts_imported_by_four_runs_at_once_are_all_in_the_catalogue() {
    let at = TempDir::new().unwrap();
    for round in 0..9 {
        let runs: Vec<Child> = (0..4)
            .map(|process| {
                let table = format!("bought-{process}.csv");
                fs::write(
                    at.path().join(&table),
                    format!("name,maker\nP{process}-{round},Threndova\n"),
                )
                .unwrap();
                started(
                    &["catalogue", "import", &table, "--into", "known.csv"],
                    at.path(),
                )
            })
            .collect();
        runs.into_iter().for_each(ended);
    }
    let known = fs::read_to_string(at.path().join("known.csv")).unwrap();
    for process in 0..4 {
        for round in 0..9 {
            let name = format!("P{process}-{round},");
            assert!(known.lines().any(|l| l.starts_with(&name)), "{name}");
        }
    }
    assert_eq!(known.lines().count(), 37);
    let history = fs::read_dir(at.path().join(".revisions")).unwrap().count();
    assert_eq!(history, 35, "each catalogue that was replaced is kept");
}

/// A table taken in while a dossier is harvested into the same file.
#[test]
fn imports_and_harvests_at_once_keep_each_others_parts() {
    let at = TempDir::new().unwrap();
    demo(at.path(), &[]);
    fs::write(at.path().join("bought.csv"), "name,maker\nZZ9,Threndova\n").unwrap();
    let runs = [
        started(
            &["catalogue", "harvest", "lamp", "--into", "known.csv"],
            at.path(),
        ),
        started(
            &["catalogue", "import", "bought.csv", "--into", "known.csv"],
            at.path(),
        ),
    ];
    runs.into_iter().for_each(ended);
    let known = fs::read_to_string(at.path().join("known.csv")).unwrap();
    assert!(
        known.contains("TH-KARN2") && known.contains("ZZ9"),
        "{known}"
    );
}

#[test]
fn codes_added_by_six_runs_at_once_are_all_kept() {
    let at = TempDir::new().unwrap();
    let add = |n: usize| {
        let (part, code) = (format!("QX{}", n % 2), format!("C{n}"));
        let arguments = [
            "catalogue",
            "code",
            "known.csv",
            &part,
            &code,
            "--package",
            "SC-70",
        ];
        started(&arguments, at.path())
    };
    for round in 0..3 {
        let runs: Vec<Child> = (0..6).map(|n| add(6 * round + n)).collect();
        runs.into_iter().for_each(ended);
    }
    let known = fs::read_to_string(at.path().join("known.csv")).unwrap();
    assert_eq!(known.lines().count(), 3, "{known}");
    for n in 0..18 {
        assert!(known.contains(&format!("C{n} @ SC-70")), "C{n}: {known}");
    }
}
