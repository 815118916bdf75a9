//! Nothing that a record, a file, a code or an argument holds steers the terminal: it is written out instead.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use imaging::Picture;
use imaging::pixels::{Encoding, encode};
use rxing::{BarcodeFormat, MultiFormatWriter, Writer as _};
use std::fs;
use std::path::Path;
use std::process::Output;
use support::underlid;
use tempfile::TempDir;

/// Colour, move, title, and the same as one character of the C1 set; turning and hiding characters.
const RED: &str = "\u{1b}[31m";
const BACK: &str = "\u{202e}";

/// Both streams of an answer, held against everything that steers.
#[track_caller]
fn calm(output: &Output) -> String {
    let text = [&output.stdout[..], &output.stderr].concat();
    let text = String::from_utf8(text).unwrap();
    let steers = |c: char| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
    };
    assert!(!text.contains(steers), "{text:?}");
    text
}

#[track_caller]
fn shows(arguments: &[&str], at: &Path, visible: &str) {
    let text = calm(&underlid(arguments, at));
    assert!(text.contains(visible), "{visible}: {text}");
}

const DOSSIER: &str = r#"format = 1

[product]
name = "Lamp"
maker = "Oskvale Works"
opened = 2026-03-01

[[claims]]
id = "weight"
text = "CLAIM"
printed = "box"
kind = "mass"
says = { item = "lamp" }
value = "120 g"
evidence = ["text:box"]

[[items]]
id = "lamp"
name = "ITEM"
kind = "product"

[[items]]
id = "chip"
name = "Chip"
kind = "part"
parent = "lamp"

[items.part]
marking = ["MARK"]

[[links]]
from = "chip"
to = "LINK"
kind = "power"
"#;

fn dossier(at: &Path, changes: &[(&str, &str)]) {
    let mut text = DOSSIER.to_string();
    for (placeholder, content) in changes {
        text = text.replace(placeholder, content);
    }
    for (placeholder, content) in [
        ("CLAIM", "120 g"),
        ("ITEM", "Lamp"),
        ("MARK", "AB12"),
        ("LINK", "lamp"),
    ] {
        text = text.replace(placeholder, content);
    }
    fs::create_dir_all(at.join("d")).unwrap();
    fs::write(at.join("d/dossier.toml"), text).unwrap();
}

#[test]
fn names_of_items_and_texts_of_claims() {
    let at = TempDir::new().unwrap();
    dossier(
        at.path(),
        &[
            ("ITEM", "La\u{202e}pm"),
            ("CLAIM", "only \u{2067}120 g\u{200f}"),
        ],
    );
    shows(&["examine", "d"], at.path(), "only \\u{2067}120 g\\u{200f}");
    let json = underlid(&["examine", "d", "--format", "json"], at.path());
    calm(&json);
    let read: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert!(read.to_string().contains("La\u{202e}pm"));
}

#[test]
fn an_escape_in_the_name_of_an_item_is_refused_calmly() {
    let at = TempDir::new().unwrap();
    dossier(at.path(), &[("ITEM", "La\\u001b[31mmp")]);
    shows(&["check", "d"], at.path(), "control character U+001B");
    // As the character itself it is no TOML, and is not repeated.
    dossier(at.path(), &[("ITEM", "La\u{1b}[31mmp\u{9b}2J")]);
    shows(&["check", "d"], at.path(), "\u{fffd}[31mmp\u{fffd}2J");
}

#[test]
fn ids_and_markings_in_excerpts_of_mistakes() {
    let at = TempDir::new().unwrap();
    dossier(
        at.path(),
        &[("LINK", "la\u{202e}pm"), ("MARK", "AB[\u{2066}")],
    );
    shows(
        &["check", "d"],
        at.path(),
        "no item with the id \"la\\u{202e}pm\"",
    );
    shows(
        &["check", "d", "--format", "json"],
        at.path(),
        "la\\u202epm",
    );
}

#[test]
fn a_marking_on_the_command_line() {
    let at = TempDir::new().unwrap();
    shows(&["read", &format!("4K7{RED}")], at.path(), "4K7\\u{1b}[31m");
    shows(&["read", &format!("4K7{BACK}")], at.path(), "4K7\\u{202e}");
}

#[test]
fn names_in_catalogues() {
    let at = TempDir::new().unwrap();
    let rows = format!("name,maker,role\nTHK4821,Thren{RED}dova,char{BACK}ger\nOX{BACK}T7,,\n");
    fs::write(at.path().join("known.csv"), &rows).unwrap();
    let after = rows.replace("char", "dis").replace("OX", "Z");
    fs::write(at.path().join("later.csv"), after).unwrap();
    shows(
        &["catalogue", "check", "known.csv", "later.csv"],
        at.path(),
        "\\u{202e}",
    );
    shows(
        &["catalogue", "import", "known.csv", "--preview", "5"],
        at.path(),
        "\\u{202e}",
    );
    shows(
        &["read", "THK4821", "--catalogue", "known.csv"],
        at.path(),
        "\\u{202e}",
    );
    let batch = format!("marking\nTHK4821\n4K7{BACK}\n=1+1\n-5\n");
    fs::write(at.path().join("batch.csv"), batch).unwrap();
    let answers = calm(&underlid(
        &["read", "--batch", "batch.csv", "--catalogue", "known.csv"],
        at.path(),
    ));
    assert!(answers.contains("4K7\\u{202e}"), "{answers}");
    // And no answer is a formula to a spreadsheet program, while numbers stay numbers.
    assert!(
        answers.contains("\n'=1+1,") && answers.contains("\n-5,"),
        "{answers}"
    );
}

#[test]
fn names_of_files_in_arguments_progress_and_errors() {
    let at = TempDir::new().unwrap();
    let name = format!("a{RED}b\nc{BACK}.csv");
    let shown = "a\\u{1b}[31mb\\nc\\u{202e}.csv";
    shows(&["check", &name], at.path(), shown);
    shows(&["catalogue", "check", &name], at.path(), shown);
    shows(&["read", "--photo", &name], at.path(), shown);
    fs::write(at.path().join(&name), "name\nTHK4821\n\"broken").unwrap();
    shows(&["catalogue", "check", &name], at.path(), shown);
    shows(&["read", "THK4821", "--catalogue", &name], at.path(), shown);
    shows(&["read", "--batch", &name], at.path(), shown);
    shows(&["new", &name], at.path(), shown);
}

#[test]
fn arguments_that_are_not_understood() {
    let at = TempDir::new().unwrap();
    // The reader of arguments takes colours out itself.
    shows(&[&format!("che{RED}ck")], at.path(), "'check'");
    shows(&[&format!("che{BACK}ck")], at.path(), "'che\\u{202e}ck'");
    shows(
        &["check", "d", &format!("--for{BACK}mat")],
        at.path(),
        "\\u{202e}",
    );
}

/// A matrix code as a photograph of its own.
fn code(text: &str) -> Vec<u8> {
    const SCALE: u32 = 6;
    const EDGE: u32 = 40;
    let matrix = MultiFormatWriter
        .encode(text, &BarcodeFormat::QR_CODE, 0, 0)
        .unwrap();
    let side = matrix.getWidth() * SCALE + 2 * EDGE;
    let mut rgb = Vec::new();
    for y in 0..side {
        for x in 0..side {
            let inside = |n: u32| {
                n.checked_sub(EDGE)
                    .map(|n| n / SCALE)
                    .filter(|n| *n < matrix.getWidth())
            };
            let dark = inside(x)
                .zip(inside(y))
                .is_some_and(|(x, y)| matrix.get(x, y));
            rgb.extend([if dark { 25 } else { 235 }; 3]);
        }
    }
    let picture = Picture {
        width: side,
        height: side,
        rgb,
    };
    encode(&picture, Encoding::Png, None, None).unwrap()
}

#[test]
fn contents_of_codes() {
    let at = TempDir::new().unwrap();
    fs::write(
        at.path().join("code.png"),
        code(&format!("SN{RED}1234\u{7}")),
    )
    .unwrap();
    shows(
        &["read", "--photo", "code.png"],
        at.path(),
        "“SN\\u{1b}[31m1234\\u{7}”",
    );
    let json = underlid(
        &["read", "--photo", "code.png", "--format", "json"],
        at.path(),
    );
    calm(&json);
    let read: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert_eq!(read["codes"][0]["text"], format!("SN{RED}1234\u{7}"));
}
