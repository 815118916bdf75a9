//! A dossier with names, a label and a claim in seven scripts: what the report and the pictures show of them.
//!
//! Needs Debian's fonts-wqy-microhei and fonts-noto-core, or other typefaces that have the characters.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use imaging::Picture;
use imaging::pixels::{Encoding, encode};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use support::{code, said, told, underlid};
use tempfile::TempDir;

/// Words of the dossier, one or more in each script.
const WORDS: [&str; 9] = [
    "磁吸充电宝",
    "主板",
    "無線イヤホン",
    "무선 이어폰",
    "Аккумулятор",
    "Ακουστικό",
    "بطارية صغيرة",
    "סוללה קטנה",
    "بطارية",
];

fn dossier(at: &Path) -> PathBuf {
    let folder = at.join("dossier");
    fs::create_dir_all(folder.join("photos")).unwrap();
    fs::create_dir_all(at.join("none")).unwrap();
    let text = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/scripts/dossier.toml");
    fs::copy(text, folder.join("dossier.toml")).unwrap();
    let picture = Picture {
        width: 320,
        height: 200,
        rgb: vec![200; 320 * 200 * 3],
    };
    let png = encode(&picture, Encoding::Png, None, None).unwrap();
    fs::write(folder.join("photos/inside.png"), png).unwrap();
    folder
}

/// Whether typefaces for all words are installed; says so where they are not.
fn has_typefaces() -> bool {
    let packages = ["truetype/wqy", "truetype/noto"];
    let fonts = Path::new("/usr/share/fonts");
    let has = packages.iter().all(|p| fonts.join(p).is_dir());
    if !has {
        assert!(
            std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_none(),
            "fonts-wqy-microhei and fonts-noto-core are not installed"
        );
        eprintln!("skipped: fonts-wqy-microhei and fonts-noto-core are not installed");
    }
    has
}

/// Without the marks of direction that `pdftotext` adds, and with one space for many.
fn plain(text: &str) -> String {
    let kept = |c: &char| !matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    let text: String = text.chars().filter(kept).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_script_is_set_in_pdf_and_html_and_the_typefaces_are_named() {
    if !has_typefaces() {
        return;
    }
    let at = TempDir::new().unwrap();
    dossier(at.path());
    let published = underlid(&["publish", "dossier", "--into", "one"], at.path());
    assert_eq!(code(&published), 0, "{}", told(&published));
    let words = said(&published);
    assert!(words.contains("Set in Libertinus Serif"), "{words}");
    assert!(!words.contains("No installed typeface"), "{words}");

    let mut text = String::new();
    for file in ["one/report.pdf", "one/working.pdf"] {
        let pdf = fs::read(at.path().join(file)).unwrap();
        // The typesetter writes a file of this standard only where no character lacks its glyph (ISO 14289-1, 7.21.8).
        assert!(
            pdf.windows(8).any(|w| w == b"pdfuaid:"),
            "a glyph is missing in {file}"
        );
        let read = Command::new("pdftotext")
            .args([file, "-"])
            .current_dir(at.path())
            .output()
            .unwrap();
        text += &plain(&String::from_utf8(read.stdout).unwrap());
    }
    let html = fs::read_to_string(at.path().join("one/report.html")).unwrap();
    for word in WORDS {
        assert!(text.contains(word), "{word} in the PDF: {text}");
        assert!(html.contains(word), "{word} in the HTML");
    }
    for tag in ["Hani", "Jpan", "Kore", "Cyrl", "Grek", "Arab", "Hebr"] {
        let mark = format!("<bdi lang=\"und-{tag}\" dir=\"auto\">");
        assert!(html.contains(&mark), "{mark}");
    }
    assert!(html.contains("Set in Libertinus Serif"));

    let again = underlid(&["publish", "dossier", "--into", "two"], at.path());
    assert_eq!(code(&again), 0, "{}", told(&again));
    for file in ["report.pdf", "report.html"] {
        let read = |folder: &str| fs::read(at.path().join(folder).join(file)).unwrap();
        assert!(read("one") == read("two"), "{file} differs");
    }
}

#[test]
fn what_no_typeface_has_is_named_in_the_answer_and_in_the_report() {
    let at = TempDir::new().unwrap();
    dossier(at.path());
    let arguments = ["publish", "dossier", "--into", "out", "--fonts", "none"];
    let published = underlid(&arguments, at.path());
    assert_eq!(code(&published), 0, "{}", told(&published));
    let html = fs::read_to_string(at.path().join("out/report.html")).unwrap();
    for text in [said(&published), html] {
        for part in [
            "No installed typeface has",
            "U+5145, Han",
            "fonts-wqy-microhei",
        ] {
            assert!(text.contains(part), "{part}: {text}");
        }
    }
    let pdf = fs::read(at.path().join("out/report.pdf")).unwrap();
    assert!(!pdf.windows(8).any(|w| w == b"pdfuaid:"));
}

#[test]
fn pictures_show_letters_where_boxes_would_stand() {
    if !has_typefaces() {
        return;
    }
    let at = TempDir::new().unwrap();
    dossier(at.path());
    let draw = |into: &str, more: &[&str]| {
        let arguments = [&["picture", "dossier", "--into", into], more].concat();
        let drawn = underlid(&arguments, at.path());
        assert_eq!(code(&drawn), 0, "{}", told(&drawn));
        (
            fs::read(at.path().join(into).join("inside.png")).unwrap(),
            said(&drawn),
        )
    };
    let (letters, words) = draw("letters", &[]);
    let (boxes, warning) = draw("boxes", &["--fonts", "none"]);
    assert!(letters != boxes);
    assert!(words.contains("Set in Libertinus Serif"), "{words}");
    assert!(warning.contains("No installed typeface has"), "{warning}");
    assert!(draw("again", &[]).0 == letters);
}
