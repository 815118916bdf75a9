//! Ctrl-C typed at a terminal: nothing is half written, and it is said.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use serde_json::Value;
use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::path::Path;
use std::process::{Command, Stdio};
use support::{code, terminal, underlid};
use tempfile::TempDir;

const CTRL_C: &[u8] = b"\x03";

/// Runs a line on a terminal and types Ctrl-C when it shows `sign`; returns its exit code and all it said.
fn stopped_at(line: &str, sign: &str, at: &Path) -> Option<(i32, String)> {
    let mut child = terminal(line, "xterm", at)?;
    let mut input = child.stdin.take().unwrap();
    let mut output = child.stdout.take().unwrap();
    let mut text = String::new();
    let mut bytes = [0; 4096];
    let mut typed = false;
    loop {
        let read = output.read(&mut bytes).unwrap();
        if read == 0 {
            break;
        }
        text += &String::from_utf8_lossy(&bytes[..read]);
        if !typed && text.contains(sign) {
            input.write_all(CTRL_C).unwrap();
            input.flush().unwrap();
            typed = true;
        }
    }
    assert!(typed, "it never said {sign}: {text}");
    Some((child.wait().unwrap().code().unwrap(), text))
}

/// Everything in a folder but the lock that the next one waits at.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name());
    let names = entries.map(|name| name.into_string().unwrap());
    let mut names: Vec<String> = names.filter(|name| name != ".underlid.lock").collect();
    names.sort();
    names
}

fn started() -> TempDir {
    let at = TempDir::new().unwrap();
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    at
}

#[test]
fn a_report_that_is_stopped_is_not_there() {
    let at = started();
    let before = names(&at.path().join("mine"));
    for stage in ["examining", "composing the report"] {
        let Some((code, text)) = stopped_at("underlid publish mine", stage, at.path()) else {
            return;
        };
        assert_eq!(code, 130, "{stage}: {text}");
        assert!(text.contains("stopped; nothing is half written"), "{text}");
        assert_eq!(names(&at.path().join("mine")), before, "{stage}");
    }
}

#[test]
fn a_question_is_left_at_once() {
    let at = started();
    let text = fs::read_to_string(at.path().join("mine/dossier.toml")).unwrap();
    for line in [
        "underlid add claim 'Only 48 g' --in mine",
        "underlid new other",
    ] {
        let Some((code, told)) = stopped_at(line, "> ", at.path()) else {
            return;
        };
        assert_eq!(code, 130, "{told}");
        assert!(told.contains("stopped; nothing was written"), "{told}");
    }
    assert_eq!(names(at.path()), ["mine"]);
    let after = fs::read_to_string(at.path().join("mine/dossier.toml")).unwrap();
    assert_eq!(after, text);
}

/// The answers given so far and the failure are one object. More rows follow than a pipe holds, so that it cannot
/// have ended before.
#[test]
fn answers_that_are_stopped_are_whole_for_programs() {
    let at = TempDir::new().unwrap();
    let rows = "4K7\n".repeat(50_000);
    fs::write(at.path().join("seen.csv"), format!("marking\n{rows}")).unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_underlid"))
        .args(["read", "--batch", "seen.csv", "--format", "json"])
        .current_dir(at.path())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut output = BufReader::new(child.stdout.take().unwrap());
    let mut text = String::new();
    output.read_line(&mut text).unwrap();
    let id = child.id().to_string();
    assert!(
        Command::new("kill")
            .args(["-INT", &id])
            .status()
            .unwrap()
            .success()
    );
    output.read_to_string(&mut text).unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(130));
    let answer: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(answer["kind"], "stopped");
    let answers = answer["answers"].as_array().unwrap().len();
    assert!(answers > 0 && answers < 50_000, "{answers}");
}
