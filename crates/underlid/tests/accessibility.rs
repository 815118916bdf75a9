//! The report in a browser: no violation that axe-core finds, no contrast left open, no error of the HTML validator.
//!
//! Rules: WCAG 2.0 to 2.2, levels A and AA, by axe-core; HTML by the Nu validator, its remarks on CSS left out.
//! The article for web sites is read as others read it (`accessibility/article.rs`).
//! `.ci/run` installs both and says where they lie: `UNDERLID_AXE` (axe.min.js) and `UNDERLID_VNU` (vnu.jar).

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "accessibility/article.rs"]
mod article;
mod support;

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use support::{code, told, underlid};
use tempfile::TempDir;

/// Says that a test was skipped; where nothing may be skipped, that is a failure.
fn skip(why: &str) {
    let must = std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_some();
    assert!(!must, "{why}");
    eprintln!("skipped: {why}");
}

/// A program that can be started, and a file that a variable names.
fn tools(programs: &[&str], variable: &str) -> Option<PathBuf> {
    for program in programs {
        if Command::new(program).arg("--version").output().is_err() {
            skip(&format!("{program} is not installed"));
            return None;
        }
    }
    let file = std::env::var_os(variable).map(PathBuf::from);
    let file = file.filter(|file| file.is_file());
    if file.is_none() {
        skip(&format!("{variable} names no file"));
    }
    file
}

/// The pages of the demonstration's report, published once.
fn pages() -> &'static [PathBuf] {
    static PAGES: OnceLock<(TempDir, Vec<PathBuf>)> = OnceLock::new();
    let (_, pages) = PAGES.get_or_init(|| {
        let at = TempDir::new().unwrap();
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
        let into = at.path().join("report");
        let arguments = [
            "publish",
            demo.to_str().unwrap(),
            "--into",
            into.to_str().unwrap(),
        ];
        let out = underlid(&arguments, at.path());
        assert_eq!(code(&out), 0, "{}", told(&out));
        let mut pages: Vec<PathBuf> = std::fs::read_dir(&into)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|e| e == "html"))
            .collect();
        pages.sort();
        let names: Vec<_> = pages.iter().filter_map(|page| page.file_name()).collect();
        assert_eq!(names, ["report.html", "sheet.html"]);
        (at, pages)
    });
    pages
}

/// Every view of some pages; light and dark in a browser each, at once.
fn looked_at(axe: &Path, pages: &[PathBuf]) -> Vec<Value> {
    let looking = ["light", "dark"].map(|scheme| {
        Command::new("node")
            .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/accessibility/axe.mjs"))
            .args(["chromium".as_ref(), axe, scheme.as_ref()])
            .args(pages)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    });
    // What each answers is long: both are read while they work.
    let answers = looking.map(|browser| std::thread::spawn(|| browser.wait_with_output().unwrap()));
    answers
        .into_iter()
        .flat_map(|answer| {
            let out = answer.join().unwrap();
            assert!(
                out.status.success(),
                "{}",
                String::from_utf8_lossy(&out.stderr)
            );
            let views: Value = serde_json::from_slice(&out.stdout).unwrap();
            views.as_array().unwrap().clone()
        })
        .collect()
}

fn told_of(nodes: &Value) -> String {
    let nodes = nodes.as_array().unwrap();
    let line = |n: &Value| {
        format!(
            "{} {} {}\n  {}",
            n["rule"], n["target"], n["ratio"], n["why"]
        )
    };
    let lines: Vec<String> = nodes.iter().take(10).map(line).collect();
    format!("{} nodes\n{}", nodes.len(), lines.join("\n"))
}

/// Page, width and scheme of a view.
fn named(view: &Value) -> String {
    let word = |key: &str| view[key].as_str().unwrap_or_default();
    let page = word("page").rsplit('/').next().unwrap_or_default();
    format!("{page} {} {}", view["width"], word("scheme"))
}

#[test]
fn axe_finds_nothing_at_any_width_light_or_dark() {
    let Some(axe) = tools(&["node", "chromium"], "UNDERLID_AXE") else {
        return;
    };
    let views = looked_at(&axe, pages());
    let seen: BTreeSet<String> = views.iter().map(named).collect();
    let wanted = pages().iter().flat_map(|page| {
        let page = page.file_name().unwrap().to_str().unwrap();
        let sizes = [360, 1280].into_iter();
        sizes.flat_map(move |width| ["light", "dark"].map(|s| format!("{page} {width} {s}")))
    });
    assert_eq!(seen, wanted.collect());
    for view in views {
        let at = named(&view);
        assert_eq!(view["closed"], 0, "{at}");
        let none = view["violations"].as_array().unwrap().is_empty();
        assert!(none, "{at}: {}", told_of(&view["violations"]));
        let open = view["incomplete"].as_array().unwrap().iter();
        let open: Vec<Value> = open
            .filter(|n| n["rule"] == "color-contrast")
            .cloned()
            .collect();
        assert!(open.is_empty(), "{at}: {}", told_of(&open.into()));
    }
}

/// That the check sees anything: letters too pale for their ground, where axe alone cannot tell.
#[test]
fn pale_letters_on_a_gradient_are_found() {
    let Some(axe) = tools(&["node", "chromium"], "UNDERLID_AXE") else {
        return;
    };
    let at = TempDir::new().unwrap();
    let page = at.path().join("pale.html");
    let text = "<!doctype html><html lang=en><title>Pale</title>\
        <body style='background:linear-gradient(#fff,#eee)'><main><h1>Dark enough</h1>\
        <p style='color:#999'>Too pale</p></main>";
    std::fs::write(&page, text).unwrap();
    for view in looked_at(&axe, &[page]) {
        let open = view["incomplete"].as_array().unwrap();
        assert_eq!(open.len(), 1, "{view}");
        assert_eq!(open[0]["target"], "p");
        assert!(open[0]["ratio"].as_f64().unwrap() < 4.5);
        assert_eq!(view["settled"], 1);
    }
}

#[test]
fn the_html_validator_finds_no_error() {
    let Some(vnu) = tools(&["java"], "UNDERLID_VNU") else {
        return;
    };
    let out = Command::new("java")
        .arg("-jar")
        .arg(vnu)
        .args(["--format", "json", "--stdout", "--exit-zero-always"])
        .args(["--filterpattern", "CSS: .*"])
        .args(pages())
        .output()
        .unwrap();
    let answer: Value = serde_json::from_slice(&out.stdout).unwrap();
    let messages = answer["messages"].as_array().unwrap().iter();
    let errors: Vec<&Value> = messages.filter(|m| m["type"] == "error").collect();
    assert!(errors.is_empty(), "{errors:#?}");
}
