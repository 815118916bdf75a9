//! `underlid library people`, and who is served what.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

/// Runs the program with this on its standard input.
fn run(words: &[&str], typed: &str, at: &Path) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_underlid"))
        .args(words)
        .current_dir(at)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that asks for nothing may have ended.
    let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
    child.wait_with_output().unwrap()
}

fn people(words: &[&str], typed: &str, at: &Path) -> (i32, String) {
    let output = run(&[&["library", "people"], words].concat(), typed, at);
    let said = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
    (output.status.code().unwrap(), said.into_owned())
}

const PASSWORD: &str = "copper lamp on the bench\n";

#[test]
fn people_come_change_their_password_and_go() {
    let at = TempDir::new().unwrap();
    let at = at.path();
    let (code, said) = people(&["add", "lab", "Ada", "--role", "owner"], PASSWORD, at);
    assert_eq!(code, 0, "{said}");
    assert!(!said.contains("copper"), "{said}");
    let (code, said) = people(&["add", "lab", "ADA"], PASSWORD, at);
    assert!(code == 3 && said.contains("already"), "{code}: {said}");
    for short in ["", "short\n"] {
        let (code, said) = people(&["add", "lab", "Mira"], short, at);
        assert!(
            code == 2 && said.contains("12 characters"),
            "{code}: {said}"
        );
    }
    let (_, said) = people(&["list", "lab"], "", at);
    assert!(said.starts_with("owner   Ada"), "{said}");
    let (code, said) = people(
        &["password", "lab", "Ada"],
        "another lamp on the bench\n",
        at,
    );
    assert_eq!(code, 0, "{said}");
    let (code, said) = people(&["password", "lab", "Mira"], PASSWORD, at);
    assert!(code == 3 && said.contains("nobody"), "{code}: {said}");
    let (code, said) = people(&["remove", "lab", "ada", "--format", "json"], "", at);
    assert!(code == 0 && said.contains("\"removed\": true"), "{said}");
    let (_, said) = people(&["list", "lab"], "", at);
    assert!(said.contains("nobody"), "{said}");
}

/// A password can be given in no argument.
#[test]
fn a_password_is_no_argument() {
    let at = TempDir::new().unwrap();
    for words in [
        &["add", "lab", "Ada", "--password", "x"][..],
        &["add", "lab", "Ada", "copper lamp on the bench"],
    ] {
        let (code, said) = people(words, "", at.path());
        assert_eq!(code, 2, "{said}");
    }
}

#[test]
fn a_library_without_people_is_served_to_this_machine_alone() {
    let at = TempDir::new().unwrap();
    for words in [
        &["serve", "lab", "--address", "0.0.0.0", "--port", "0"][..],
        &["serve", "lab", "--address", "192.0.2.1", "--port", "0"],
        &["serve", "lab", "--host", "bench.example", "--port", "0"],
    ] {
        let output = run(words, "", at.path());
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(3), "{said}");
        assert!(
            said.contains("no accounts") && said.contains("people add"),
            "{said}"
        );
    }
    people(&["add", "lab", "Ada"], PASSWORD, at.path());
    let output = run(
        &["serve", "lab", "--address", "0.0.0.0", "--port", "0"],
        "",
        at.path(),
    );
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("--host"), "{said}");
}

#[test]
fn a_program_without_postgres_says_how_it_is_built() {
    let at = TempDir::new().unwrap();
    let output = run(
        &["library", "list", "postgres://bench@db.example/lab"],
        "",
        at.path(),
    );
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(3), "{said}");
    let wanted = match library::TEAM {
        true => "UNDERLID_STORE",
        false => "cargo build --release --features team",
    };
    assert!(said.contains(wanted), "{said}");
    assert!(!at.path().join("postgres:").exists());
}
