//! Running the command as a person does.

#![allow(
    clippy::unwrap_used,
    dead_code,
    reason = "a test fails by panicking; not every test needs every helper"
)]

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};

pub(crate) fn underlid(arguments: &[&str], at: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_underlid"))
        .args(arguments)
        .current_dir(at)
        .env("NO_COLOR", "1")
        .output()
        .unwrap()
}

/// Starts the command and does not wait for it.
pub(crate) fn started(arguments: &[&str], at: &Path) -> Child {
    Command::new(env!("CARGO_BIN_EXE_underlid"))
        .args(arguments)
        .current_dir(at)
        .env("NO_COLOR", "1")
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

pub(crate) fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

/// Starts a line of commands on a terminal of its own (`script`); `None` where there is no `script`.
pub(crate) fn terminal(line: &str, term: &str, at: &Path) -> Option<Child> {
    let program = Path::new(env!("CARGO_BIN_EXE_underlid"));
    let path = std::env::var("PATH").unwrap_or_default();
    let child = Command::new("script")
        .args(["-qec", line, "/dev/null"])
        .current_dir(at)
        .env(
            "PATH",
            format!("{}:{path}", program.parent().unwrap().display()),
        )
        .env("TERM", term)
        .env_remove("NO_COLOR")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn();
    if child.is_err() {
        assert!(
            std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_none(),
            "a terminal of its own needs `script`"
        );
        eprintln!("skipped: a terminal of its own needs `script`");
    }
    child.ok()
}

/// Runs a line of commands on a terminal with what is typed, to its end.
pub(crate) fn on_a_terminal(line: &str, typed: &str, term: &str, at: &Path) -> Option<Output> {
    let mut child = terminal(line, term, at)?;
    let mut input = child.stdin.take().unwrap();
    input.write_all(typed.as_bytes()).unwrap();
    drop(input);
    Some(child.wait_with_output().unwrap())
}

/// What was answered.
pub(crate) fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// What was told beside the answer: progress and failures.
pub(crate) fn told(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Copies the dossier of the demonstration without its photographs, then those named.
pub(crate) fn demo(into: &Path, photos: &[&str]) -> PathBuf {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let folder = into.join("lamp");
    std::fs::create_dir_all(folder.join("photos")).unwrap();
    std::fs::copy(from.join("dossier.toml"), folder.join("dossier.toml")).unwrap();
    for sub in ["logs", "recordings"] {
        std::fs::create_dir_all(folder.join(sub)).unwrap();
        for file in std::fs::read_dir(from.join(sub)).unwrap() {
            let file = file.unwrap();
            std::fs::copy(file.path(), folder.join(sub).join(file.file_name())).unwrap();
        }
    }
    let all = std::fs::read_dir(from.join("photos")).unwrap();
    for file in all.map(|f| f.unwrap().file_name().into_string().unwrap()) {
        let place = folder.join("photos").join(&file);
        if photos.contains(&file.as_str()) {
            std::fs::copy(from.join("photos").join(&file), place).unwrap();
        } else {
            // Only its name matters; its size then is not known.
            std::fs::write(place, b"\0not looked at").unwrap();
        }
    }
    folder
}

/// Whether a text is another one with something put in at one place, what ends the lines aside.
pub(crate) fn keeps(after: &str, before: &str) -> bool {
    let (after, before) = (after.trim_end().as_bytes(), before.trim_end().as_bytes());
    let same = after.iter().zip(before).take_while(|(a, b)| a == b).count();
    after.len() >= before.len() && after[same..].ends_with(&before[same..])
}
