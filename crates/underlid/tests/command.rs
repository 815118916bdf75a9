//! The command as a person meets it: exit codes, messages, whole outputs or none.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use methods::{Method, Verdict};
use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use support::{code, told, underlid};
use tempfile::TempDir;

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn a_new_dossier_checks_clean_and_is_not_overwritten() {
    let at = TempDir::new().unwrap();
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    let check = underlid(&["check", "mine"], at.path());
    assert_eq!(code(&check), 0, "{}", told(&check));
    assert_eq!(code(&underlid(&["examine", "mine"], at.path())), 0);
    let again = underlid(&["new", "mine"], at.path());
    assert_eq!(code(&again), 3);
    assert!(told(&again).contains("mine"), "{}", told(&again));
}

#[test]
fn the_demo_writes_a_whole_report_and_the_same_bytes_twice() {
    let at = TempDir::new().unwrap();
    let first = underlid(&["demo", "--into", "out"], at.path());
    assert_eq!(code(&first), 0, "{}", told(&first));
    let report = at.path().join("out/report");
    let expected = [
        "article.md",
        "findings.json",
        "link.jpg",
        "parts.csv",
        "report.html",
        "report.pdf",
        "sheet.html",
        "sheet.pdf",
        "workbook.xlsx",
        "working.pdf",
    ];
    let mut held = names(&report);
    assert_eq!(held.remove(0), ".underlid-output");
    held.retain(|name| report.join(name).is_file());
    assert_eq!(held, expected);
    assert!(report.join("article/01-hero.jpg").is_file() && report.join("photos").is_dir());
    let link = fs::read(report.join("link.jpg")).unwrap();
    assert!(link.len() <= 200_000, "{}", link.len());
    let article = fs::read_to_string(report.join("article.md")).unwrap();
    assert!(article.split_whitespace().count() <= 1_200 && !article.contains('<'));
    assert_eq!(
        names(&at.path().join("out")),
        [".underlid.lock", "dossier", "report"],
        "nothing half-written"
    );
    check_verdicts(&report);
    let bytes = |name: &str| fs::read(report.join(name)).unwrap();
    let before: Vec<_> = expected.iter().map(|n| bytes(n)).collect();
    let second = underlid(
        &["publish", "out/dossier", "--into", "out/report", "--bundle"],
        at.path(),
    );
    assert_eq!(code(&second), 0, "{}", told(&second));
    for (name, before) in expected.iter().zip(before) {
        assert!(bytes(name) == before, "{name} differs between two runs");
    }
}

/// Claims of every outcome are in the demonstration.
fn check_verdicts(report: &Path) {
    let text = fs::read_to_string(report.join("findings.json")).unwrap();
    let findings = report::read_findings(&text).unwrap();
    let claims = findings.findings.iter();
    let verdicts: Vec<Verdict> = claims
        .filter(|f| f.method() == Method::Claims)
        .filter_map(|f| f.verdict)
        .collect();
    assert!(verdicts.len() >= 8, "{verdicts:?}");
    use Verdict as V;
    for verdict in [V::Holds, V::Fails, V::Undecided, V::NeedsEvidence] {
        assert!(
            verdicts.contains(&verdict),
            "no claim {verdict:?}: {verdicts:?}"
        );
    }
}

#[test]
fn a_folder_with_other_things_in_it_is_left_alone() {
    let at = TempDir::new().unwrap();
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    fs::create_dir(at.path().join("thesis")).unwrap();
    fs::write(at.path().join("thesis/chapter.txt"), "years of work").unwrap();
    let output = underlid(&["publish", "mine", "--into", "thesis"], at.path());
    assert_eq!(code(&output), 3);
    assert!(told(&output).contains("chapter.txt"), "{}", told(&output));
    assert_eq!(names(&at.path().join("thesis")), ["chapter.txt"]);
}

#[test]
fn an_output_folder_that_cannot_be_made_leaves_nothing_behind() {
    let at = TempDir::new().unwrap();
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    fs::write(at.path().join("file"), "not a folder").unwrap();
    for into in ["file", "file/inside", "/proc/underlid-report"] {
        let output = underlid(&["publish", "mine", "--into", into], at.path());
        assert_eq!(code(&output), 3, "{into}: {}", told(&output));
        assert!(told(&output).contains("try:"), "{into}: {}", told(&output));
        assert_eq!(names(at.path()), ["file", "mine"], "{into}");
    }
    assert_eq!(
        fs::read_to_string(at.path().join("file")).unwrap(),
        "not a folder"
    );
}

/// Runs the command as somebody who may not do everything: root ignores permissions. `None` where
/// the tests run as root and `setpriv` is not installed.
fn as_nobody(arguments: &[&str], at: &Path) -> Option<Output> {
    let root = Command::new("id").arg("-u").output().ok()?.stdout == b"0\n";
    if !root {
        return Some(underlid(arguments, at));
    }
    let program = at.join("program");
    if !program.exists() {
        fs::copy(env!("CARGO_BIN_EXE_underlid"), &program).unwrap();
    }
    Command::new("setpriv")
        .args(["--reuid=65534", "--regid=65534", "--clear-groups"])
        .arg(program)
        .args(arguments)
        .current_dir(at)
        .env("NO_COLOR", "1")
        .output()
        .ok()
}

/// Folders and files that may not be read or written, and what is said about each.
#[cfg(unix)]
#[test]
fn missing_permissions_are_told_and_leave_nothing_behind() {
    use std::os::unix::fs::PermissionsExt as _;
    let mode = |path: &Path, mode| {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    };
    let at = TempDir::new().unwrap();
    mode(at.path(), 0o755);
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    fs::create_dir(at.path().join("locked")).unwrap();
    mode(&at.path().join("locked"), 0o555);
    let Some(output) = as_nobody(&["publish", "mine", "--into", "locked/report"], at.path()) else {
        assert!(
            std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_none(),
            "permissions need `setpriv` to be tested as root"
        );
        eprintln!("skipped: permissions need `setpriv` to be tested as root");
        return;
    };
    assert_eq!(code(&output), 3, "{}", told(&output));
    assert!(told(&output).contains("locked"), "{}", told(&output));
    assert!(told(&output).contains("try:"), "{}", told(&output));
    assert!(names(&at.path().join("locked")).is_empty());

    let text = at.path().join("mine/dossier.toml");
    mode(&text, 0o000);
    let output = as_nobody(&["check", "mine"], at.path()).unwrap();
    assert_ne!(code(&output), 0);
    assert!(told(&output).contains("dossier.toml"), "{}", told(&output));
    assert!(told(&output).contains("try:"), "{}", told(&output));
    mode(&text, 0o644);
    mode(&at.path().join("locked"), 0o755);
}

#[test]
fn a_full_disk_is_told_and_leaves_nothing_behind() {
    let at = TempDir::new().unwrap();
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    let small = at.path().join("small");
    fs::create_dir(&small).unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=64k", "tmpfs"])
        .arg(&small)
        .output()
        .is_ok_and(|o| o.status.success());
    if !mounted {
        eprintln!("skipped: a full disk needs the right to mount a small file system");
        return;
    }
    let output = underlid(&["publish", "mine", "--into", "small/report"], at.path());
    let left = names(&small);
    let unmounted = Command::new("umount").arg(&small).status().unwrap();
    assert!(unmounted.success());
    assert_eq!(code(&output), 3, "{}", told(&output));
    assert!(
        told(&output).contains("free some space"),
        "{}",
        told(&output)
    );
    // Who writes there next waits at this file.
    assert_eq!(left, [".underlid.lock"]);
}

#[test]
fn a_dossier_with_mistakes_is_told_in_full_for_people_and_programs() {
    let at = TempDir::new().unwrap();
    let folder = at.path().join("bad");
    fs::create_dir(&folder).unwrap();
    fs::write(
        folder.join("dossier.toml"),
        "format = 1\n\n[product]\nname = \"Lamp\"\nmakr = \"Nobody\"\nopened = 2026-13-01\n",
    )
    .unwrap();
    let text = underlid(&["check", "bad"], at.path());
    assert_eq!(code(&text), 1);
    assert!(told(&text).contains("dossier.toml"), "{}", told(&text));
    let json = underlid(&["check", "bad", "--format", "json"], at.path());
    assert_eq!(code(&json), 1);
    let problems: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let faults = problems["faults"].as_array().unwrap();
    let lines: Vec<Option<u64>> = faults.iter().map(|f| f["line"].as_u64()).collect();
    assert!(
        lines.contains(&Some(5)) && lines.contains(&Some(6)),
        "{problems}"
    );
}

#[test]
fn a_missing_folder_and_wrong_usage_have_their_own_codes() {
    let at = TempDir::new().unwrap();
    let missing = underlid(&["check", "nowhere"], at.path());
    assert_eq!(code(&missing), 3);
    assert!(told(&missing).contains("nowhere"), "{}", told(&missing));
    assert_eq!(code(&underlid(&["chek"], at.path())), 2);
}

/// The published schemas are what the command prints. To renew them: `underlid schema findings`.
#[test]
fn the_schemas_under_docs_are_the_ones_printed() {
    let at = TempDir::new().unwrap();
    for of in ["dossier", "findings"] {
        let output = underlid(&["schema", of], at.path());
        assert_eq!(code(&output), 0);
        let schema: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        assert!(
            schema["$schema"].as_str().unwrap().contains("2020-12"),
            "{of}"
        );
        let docs = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs");
        let published = docs.join(format!("{of}.schema.json"));
        let published = fs::read_to_string(&published).unwrap();
        assert_eq!(published, String::from_utf8(output.stdout).unwrap(), "{of}");
    }
}
