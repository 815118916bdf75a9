//! A reader's own check: a bundle that was published agrees, one that was tampered with is found out, and nothing
//! private is in what was published.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;
use support::{code, said, told, underlid};
use tempfile::TempDir;

const SERIAL: &str = "NC3-2631-004417";

/// The demonstration with a private serial number that one region masks, published with its bundle, once.
fn published() -> &'static Path {
    static AT: OnceLock<(TempDir, PathBuf)> = OnceLock::new();
    let (_, report) = AT.get_or_init(|| {
        let at = TempDir::new().unwrap();
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
        copy(&from, &at.path().join("lamp"));
        let text = at.path().join("lamp/dossier.toml");
        let dossier = fs::read_to_string(&text).unwrap();
        let number = format!("text = \"{SERIAL}\", ");
        assert!(dossier.contains(&number));
        let private = dossier.replace(&number, &format!("{number}private = true, "));
        let region = "{ id = \"label\", ";
        let photo = private.find("id = \"cradle-outside\"").unwrap();
        let mark = photo + private[photo..].find(region).unwrap() + region.len();
        let private = format!("{}private = true, {}", &private[..mark], &private[mark..]);
        // A meter writes what it was told above what it measured.
        let rows = ["header = 1\nfirst-row = 2", "header = 2\nfirst-row = 3"];
        assert!(private.contains(rows[0]));
        fs::write(&text, private.replace(rows[0], rows[1])).unwrap();
        let log = at.path().join("lamp/logs/lamp-charge.csv");
        let measured = fs::read_to_string(&log).unwrap();
        fs::write(&log, format!("charge of {SERIAL}\n{measured}")).unwrap();
        let out = underlid(
            &["publish", "lamp", "--bundle", "--into", "report"],
            at.path(),
        );
        assert_eq!(code(&out), 0, "{}", told(&out));
        assert!(said(&out).contains("Fingerprint of the bundle: "));
        let report = at.path().join("report");
        (at, report)
    });
    report
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let into = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &into);
        } else {
            fs::copy(&path, &into).unwrap();
        }
    }
}

/// A bundle of one's own to change.
fn bundle() -> (TempDir, PathBuf) {
    let at = TempDir::new().unwrap();
    let folder = at.path().join("bundle");
    copy(&published().join("bundle"), &folder);
    (at, folder)
}

fn verify(bundle: &Path) -> Output {
    let report = published().to_str().unwrap();
    underlid(
        &["verify", bundle.to_str().unwrap(), "--report", report],
        bundle,
    )
}

fn change(bundle: &Path, file: &str, from: &str, to: &str) {
    let text = fs::read_to_string(bundle.join(file)).unwrap();
    assert!(text.contains(from), "{file}: {from}");
    fs::write(bundle.join(file), text.replacen(from, to, 1)).unwrap();
}

/// Gives the list the sums of the files as they are now, as one would who tampers with them.
fn list_anew(bundle: &Path, file: &str) {
    let list = bundle.join("bundle.json");
    let mut json: serde_json::Value = serde_json::from_slice(&fs::read(&list).unwrap()).unwrap();
    let sum = Command::new("sha256sum")
        .arg(bundle.join(file))
        .output()
        .unwrap();
    let sum = String::from_utf8(sum.stdout).unwrap();
    json["files"][file] = sum.split_whitespace().next().unwrap().into();
    fs::write(&list, serde_json::to_vec_pretty(&json).unwrap()).unwrap();
}

#[track_caller]
fn found_out(bundle: &Path, words: &str) {
    let out = verify(bundle);
    assert_eq!(code(&out), 1, "{}{}", said(&out), told(&out));
    assert!(said(&out).contains(words), "{words}: {}", said(&out));
    assert!(said(&out).contains("does not follow from the bundle"));
}

#[test]
fn a_bundle_as_it_was_published_agrees() {
    let (_at, bundle) = bundle();
    let out = verify(&bundle);
    assert_eq!(code(&out), 0, "{}{}", said(&out), told(&out));
    for words in [
        "The findings beside the report are those of the bundle.",
        "The report prints the fingerprint of this bundle.",
        "The report follows from the bundle.",
    ] {
        assert!(said(&out).contains(words), "{}", said(&out));
    }
}

#[test]
fn a_changed_number_is_found() {
    let (_at, bundle) = bundle();
    change(&bundle, "dossier.toml", "\"41.13 g\"", "\"41.31 g\"");
    found_out(&bundle, "dossier.toml was changed after it was published.");
    list_anew(&bundle, "dossier.toml");
    found_out(&bundle, "the record gives");
}

#[test]
fn a_changed_sentence_is_found() {
    let (_at, bundle) = bundle();
    let json = fs::read_to_string(bundle.join("findings.json")).unwrap();
    let findings: serde_json::Value = serde_json::from_str(&json).unwrap();
    let sentence = findings["findings"][0]["sentence"].as_str().unwrap();
    let first: String = sentence
        .chars()
        .take_while(|c| !"\"\\".contains(*c))
        .collect();
    change(
        &bundle,
        "findings.json",
        &first,
        &format!("Not so: {first}"),
    );
    list_anew(&bundle, "findings.json");
    found_out(&bundle, "published is “Not so: ");
}

#[test]
fn a_changed_photograph_is_found() {
    let (_at, bundle) = bundle();
    let path = bundle.join("photos/lamp-main.jpg");
    let mut bytes = fs::read(&path).unwrap();
    let at = bytes.len() / 2;
    bytes[at] ^= 1;
    fs::write(&path, bytes).unwrap();
    found_out(
        &bundle,
        "photos/lamp-main.jpg was changed after it was published.",
    );
    list_anew(&bundle, "photos/lamp-main.jpg");
    found_out(
        &bundle,
        "The report does not print the fingerprint of this bundle",
    );
}

#[test]
fn a_photograph_more_or_less_is_found() {
    let (_at, bundle) = bundle();
    fs::copy(
        bundle.join("photos/box.jpg"),
        bundle.join("photos/other.jpg"),
    )
    .unwrap();
    found_out(&bundle, "photos/other.jpg does not belong to the bundle.");
    fs::remove_file(bundle.join("photos/other.jpg")).unwrap();
    fs::remove_file(bundle.join("catalogue/known-parts.csv")).unwrap();
    found_out(&bundle, "catalogue/known-parts.csv cannot be read");
}

#[test]
fn what_is_no_bundle_is_told_so() {
    let at = TempDir::new().unwrap();
    let out = underlid(&["verify", "."], at.path());
    assert_eq!(code(&out), 3);
    fs::write(at.path().join("bundle.json"), "{}").unwrap();
    let out = underlid(&["verify", "."], at.path());
    assert_eq!(code(&out), 3);
    assert!(
        told(&out).contains("is no list of a bundle"),
        "{}",
        told(&out)
    );
}

/// Texts of a file, whatever it is packed in.
fn texts(path: &Path) -> String {
    let bytes = fs::read(path).unwrap();
    match path.extension().and_then(|e| e.to_str()) {
        Some("xlsx") => {
            let mut all = String::new();
            let mut zip = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
            for n in 0..zip.len() {
                zip.by_index(n).unwrap().read_to_string(&mut all).unwrap();
            }
            all
        }
        Some("pdf") => {
            let out = Command::new("pdftotext").arg(path).arg("-").output();
            match out {
                Ok(out) => String::from_utf8_lossy(&out.stdout).into_owned(),
                Err(_) => {
                    let must = std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_some();
                    assert!(!must, "pdftotext is not installed");
                    String::new()
                }
            }
        }
        _ => String::from_utf8_lossy(&bytes).into_owned(),
    }
}

fn files(folder: &Path, all: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files(&path, all);
        } else {
            all.push(path);
        }
    }
}

#[test]
fn nothing_private_is_in_anything_published() {
    let mut all = Vec::new();
    files(published(), &mut all);
    assert!(all.len() > 20);
    let mut withheld = 0;
    for path in all {
        let text = texts(&path);
        let plain: String = text.chars().filter(|c| c.is_ascii_alphanumeric()).collect();
        assert!(!plain.contains("NC32631004417"), "{}", path.display());
        withheld += usize::from(text.contains("[withheld]"));
    }
    assert!(withheld >= 3, "{withheld}");
    let log = fs::read_to_string(published().join("bundle/logs/lamp-charge.csv")).unwrap();
    assert!(
        log.starts_with("charge of [withheld]\nTime (s),"),
        "{log:.80}"
    );
}
