//! The way of a new user, from an empty folder to a report, by the very commands of `docs/first-hour.md`.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::path::Path;
use std::process::Command;
use support::{code, said, told, underlid};
use tempfile::TempDir;

/// The commands of the page, in its order.
fn commands() -> String {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/first-hour.md");
    let text = fs::read_to_string(page).unwrap();
    let blocks = text.split("```sh\n").skip(1);
    blocks
        .map(|block| block.split("```").next().unwrap())
        .collect()
}

/// A folder with the two photographs that the page names.
fn prepared() -> TempDir {
    let at = TempDir::new().unwrap();
    let photos = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp/photos");
    for (from, to) in [
        ("lamp-outside.jpg", "outside.jpg"),
        ("lamp-main.jpg", "board.jpg"),
    ] {
        fs::copy(photos.join(from), at.path().join(to)).unwrap();
    }
    at
}

#[cfg(unix)]
#[test]
fn the_page_of_the_first_hour_leads_to_a_report() {
    let at = prepared();
    let program = Path::new(env!("CARGO_BIN_EXE_underlid"));
    let path = std::env::var("PATH").unwrap_or_default();
    let commands = commands();
    assert!(commands.matches("underlid add").count() > 20);
    let output = Command::new("sh")
        .args(["-eu", "-c", &commands])
        .current_dir(at.path())
        .env(
            "PATH",
            format!("{}:{path}", program.parent().unwrap().display()),
        )
        .env("NO_COLOR", "1")
        .stdin(std::process::Stdio::null())
        .output()
        .unwrap();
    assert_eq!(code(&output), 0, "{}\n{}", said(&output), told(&output));
    assert_eq!(told(&output), "", "nothing is told where nobody watches");
    let folder = at.path().join("probe-one");
    for file in [
        "report.html",
        "report.pdf",
        "workbook.xlsx",
        "findings.json",
    ] {
        assert!(folder.join("report").join(file).is_file(), "{file}");
    }
    let same = |name: &str| {
        fs::read(folder.join("photos").join(name)).unwrap()
            == fs::read(at.path().join(name)).unwrap()
    };
    assert!(same("outside.jpg") && same("board.jpg"));
    assert!(folder.join("to-identify/board-controller.jpg").is_file());
    let text = said(&output);
    assert!(text.contains("identify U1 (Controller)"), "{text}");
    assert!(text.contains("look at photo:board#controller"), "{text}");
    assert!(
        text.contains("dossier.toml: no mistakes. 3 claims"),
        "{text}"
    );

    let dossier = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    assert!(dossier.contains("name = \"Probe One\""));
    assert!(dossier.contains("# Ids are short words"), "comments stay");
    assert!(
        dossier.contains("# hardware-revision = \"B2\""),
        "examples stay"
    );
    assert!(
        !dossier.contains("# model ="),
        "a fact takes the place of its example"
    );
}

/// A part that is identified is no task any more.
#[test]
fn what_is_identified_is_no_task() {
    let at = TempDir::new().unwrap();
    let run = |arguments: &[&str]| {
        let output = underlid(arguments, at.path());
        assert_eq!(code(&output), 0, "{arguments:?}: {}", told(&output));
        said(&output)
    };
    run(&["new", "mine"]);
    run(&[
        "add",
        "item",
        "Driver",
        "--in",
        "mine",
        "--kind",
        "part",
        "--parent",
        "product",
        "--marking",
        "OK41",
    ]);
    let tasks: serde_json::Value =
        serde_json::from_str(&run(&["tasks", "mine", "--format", "json"])).unwrap();
    let first = &tasks["tasks"][0];
    assert_eq!(first["what"], "identify Driver");
    assert_eq!(first["marking"], serde_json::json!(["OK41"]));
    run(&["remove", "items.driver", "--in", "mine"]);
    run(&[
        "add",
        "item",
        "Driver",
        "--in",
        "mine",
        "--kind",
        "part",
        "--parent",
        "product",
        "--marking",
        "OK41",
        "--identity-name",
        "OK4100",
        "--certainty",
        "read",
    ]);
    let tasks = run(&["tasks", "mine"]);
    assert!(!tasks.contains("identify Driver"), "{tasks}");
}
