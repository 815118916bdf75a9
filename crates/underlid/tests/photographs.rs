//! Measuring on photographs and drawing them, as a person meets it. True sizes are those of the scenes that
//! the photographs were drawn from (`demo/lamp/scenes`).

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use serde_json::Value;
use std::fs;
use std::path::Path;
use support::{code, demo, keeps, said, told, underlid};
use tempfile::TempDir;

fn json(arguments: &[&str], at: &Path) -> Value {
    let output = underlid(&[arguments, &["--format", "json"]].concat(), at);
    assert_eq!(code(&output), 0, "{}", told(&output));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Exit code of what cannot be done as asked.
const REFUSED: i32 = 3;
const UNFIT: i32 = 2;
/// Exit code of what was looked into and has no answer.
const NO_ANSWER: i32 = 4;

#[track_caller]
fn refused(arguments: &[&str], at: &Path, words: &str) {
    fails(arguments, at, REFUSED, words);
}

#[track_caller]
fn unfit(arguments: &[&str], at: &Path, words: &str) {
    fails(arguments, at, UNFIT, words);
}

#[track_caller]
fn no_answer(arguments: &[&str], at: &Path, words: &str) {
    fails(arguments, at, NO_ANSWER, words);
}

#[track_caller]
fn fails(arguments: &[&str], at: &Path, with: i32, words: &str) {
    let output = underlid(arguments, at);
    let told = told(&output);
    assert_eq!(code(&output), with, "{arguments:?}: {told}");
    assert!(told.contains(words), "{told}");
    assert!(!told.contains("panicked"), "{told}");
}

const RIM: &str = "1550,403 1295,666 1027,404 1283,142";

/// Rough clicks, some pixels off, on the rim of a disc of 52.06 mm that stands 7 mm above the table.
#[test]
fn a_rough_rim_is_snapped_and_gives_the_diameter() {
    let at = TempDir::new().unwrap();
    demo(at.path(), &["bench-lamp.jpg"]);
    let answer = json(
        &[
            "measure",
            "lamp",
            "--photo",
            "bench-lamp",
            "--what",
            "diameter",
            "--at",
            RIM,
            "--height",
            "7.0 ± 0.3 mm",
            "--snap",
            // Marks this far off have to be said to be rough, or they stay where they are.
            "--within",
            "5",
        ],
        at.path(),
    );
    let figure = &answer["measures"][0]["figures"][0];
    let [value, u] = ["value", "standard-uncertainty"].map(|key| figure[key].as_f64().unwrap());
    assert!((value - 52.06).abs() < 3.0 * u, "{value} ± {u}");
    // Two edges lie within five pixels of 0.07 mm: which one is meant stays open.
    assert!(u < 0.4, "{u}");
    assert!(!figure["working"].as_array().unwrap().is_empty());
}

#[test]
fn measuring_again_keeps_the_older_measure_in_the_record() {
    let at = TempDir::new().unwrap();
    let folder = demo(at.path(), &["bench-lamp.jpg"]);
    let before = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    let output = underlid(
        &[
            "measure",
            "lamp",
            "--photo",
            "bench-lamp",
            "--item",
            "lamp",
            "--what",
            "diameter",
            "--at",
            RIM,
            "--within",
            "1.5",
            "--save",
        ],
        at.path(),
    );
    assert_eq!(code(&output), 0, "{}", told(&output));
    assert!(said(&output).contains("takes the place of lamp-diameter"));
    let after = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    assert!(keeps(&after, &before), "the older text is kept");
    assert!(after.contains("replaces = \"lamp-diameter\""), "{after}");
    assert_eq!(code(&underlid(&["check", "lamp"], at.path())), 0);
}

#[test]
fn a_card_and_a_ruler_are_marked_and_kept() {
    let at = TempDir::new().unwrap();
    let folder = demo(at.path(), &["bench-lamp.jpg", "bench-main.jpg"]);
    let answer = json(
        &[
            "measure",
            "lamp",
            "--photo",
            "bench-lamp",
            "--known",
            "ID-1 card",
            "--at",
            "73,149 935,142 936,676 81,688",
            "--snap",
            "--save",
        ],
        at.path(),
    );
    // The camera stands 415 mm away with 4150 pixels of focal length: 0.1 mm a pixel.
    let scale = answer["mm-per-pixel"].as_f64().unwrap();
    assert!((scale - 0.1).abs() < 0.001, "{scale}");
    // Eight pins 0.5 mm apart.
    let row = json(
        &[
            "measure",
            "lamp",
            "--photo",
            "bench-main",
            "--row",
            "--height",
            "0 mm",
            "--at",
            "578,536 669,538",
        ],
        at.path(),
    );
    let note = row["measures"][0]["measure"]["note"].as_str().unwrap();
    // These pins are as wide as what lies between them, which is said rather than guessed at.
    assert!(note.contains("counted 8 bright bands"), "{note}");
    let pitch = row["measures"][0]["figures"][0]["value"].as_f64().unwrap();
    assert!((pitch - 0.5).abs() < 0.006, "{pitch}");
    assert_eq!(
        row["measures"][0]["measure"]["at"]
            .as_array()
            .unwrap()
            .len(),
        8
    );
    json(
        &[
            "measure",
            "lamp",
            "--photo",
            "bench-main",
            "--row",
            "--at",
            "578,536 669,538",
            "--every",
            "0.5 mm",
            "--name",
            "row of pins",
            "--save",
        ],
        at.path(),
    );
    let text = fs::read_to_string(folder.join("dossier.toml")).unwrap();
    assert!(text.contains("row of pins"), "{text}");
    assert_eq!(code(&underlid(&["check", "lamp"], at.path())), 0);
}

#[test]
fn all_measures_are_worked_out_and_drawn() {
    let at = TempDir::new().unwrap();
    let bench = [
        "bench-cell.jpg",
        "bench-lamp.jpg",
        "bench-light.jpg",
        "bench-main.jpg",
    ];
    demo(at.path(), &bench);
    let answer = json(&["measure", "lamp", "--pictures", "drawn"], at.path());
    assert!(
        answer["measures"].as_array().unwrap().len() >= 6,
        "{answer}"
    );
    assert_eq!(answer["failed"], serde_json::json!([]));
    for photo in ["bench-cell", "bench-lamp", "bench-light", "bench-main"] {
        let svg = fs::read_to_string(at.path().join(format!("drawn/{photo}.svg"))).unwrap();
        assert!(svg.contains("±\u{202f}"), "{photo}");
        assert!(at.path().join(format!("drawn/{photo}.png")).is_file());
    }
}

/// The gauge plate of 25 mm × 15 mm in a view of 20 pixels per mm has 500 × 300 pixels; PNG states the
/// resolution in pixels per metre (PNG specification, 11.3.4.3, pHYs).
#[test]
fn a_rectified_view_has_the_scale_asked_for() {
    let at = TempDir::new().unwrap();
    demo(at.path(), &["bench-main.jpg"]);
    let answer = json(
        &[
            "picture",
            "lamp",
            "--photo",
            "bench-main",
            "--rectified",
            "--per-mm",
            "20",
            "--into",
            "out",
        ],
        at.path(),
    );
    assert_eq!(answer["files"].as_array().unwrap().len(), 5);
    let bytes = fs::read(at.path().join("out/bench-main-rectified-plain.png")).unwrap();
    let phys = bytes.windows(4).position(|w| w == b"pHYs").unwrap() + 4;
    assert_eq!(
        bytes[phys..phys + 9],
        [0, 0, 0x4e, 0x20, 0, 0, 0x4e, 0x20, 1]
    );
    let picture = imaging::pixels::decode(&bytes, &Default::default())
        .unwrap()
        .picture;
    let level = |x: u32, y: u32| picture.rgb[3 * (y * picture.width + x) as usize];
    // The plate is the only bright thing in a row through its middle, beside the board's white connectors.
    let bright = |y: u32| (0..picture.width).filter(|x| level(*x, y) > 150).count();
    let longest = |y: u32| {
        let (mut run, mut most) = (0u32, 0u32);
        for x in 0..picture.width {
            run = if level(x, y) > 150 { run + 1 } else { 0 };
            most = most.max(run);
        }
        most
    };
    let rows: Vec<u32> = (0..picture.height).filter(|y| longest(*y) > 480).collect();
    assert!(bright(rows[rows.len() / 2]) > 0);
    let widest = rows.iter().map(|y| longest(*y)).max().unwrap();
    assert!(widest.abs_diff(500) <= 4, "{widest}");
    // The print in the middle breaks the run there.
    let height = rows[rows.len() - 1] - rows[0] + 1;
    assert!(height.abs_diff(300) <= 12, "{height}");
}

#[test]
fn what_cannot_be_measured_is_told_with_a_remedy() {
    let at = TempDir::new().unwrap();
    let folder = demo(at.path(), &["bench-lamp.jpg"]);
    let at = at.path();
    let base = ["measure", "lamp", "--photo", "bench-lamp"];
    let with = |more: &[&'static str]| [&base[..], more].concat();
    refused(
        &["measure", "lamp", "--photo", "nowhere"],
        at,
        "choose one of: bench-cell",
    );
    unfit(
        &with(&["--at", "1,2 three", "--what", "distance"]),
        at,
        "“three” is not a point",
    );
    unfit(
        &with(&["--at", "1,2 3,nan", "--what", "distance"]),
        at,
        "“3,nan” is not a point",
    );
    unfit(
        &with(&["--at", "1,2 3,4", "--what", "girth"]),
        at,
        "choose one of: length",
    );
    unfit(
        &with(&["--at", "1,2", "--what", "distance"]),
        at,
        "mark exactly 2",
    );
    unfit(
        &with(&["--at", "1,2 3,4", "--known", "ID-1 card"]),
        at,
        "mark exactly 4",
    );
    unfit(
        &with(&["--at", "1,2 3,4", "--known", "9 g"]),
        at,
        "neither a size nor a thing",
    );
    no_answer(
        &with(&["--at", "1200,400 1260,400", "--what", "distance", "--snap"]),
        at,
        "no clear edge",
    );
    unfit(
        &with(&["--at", "1,2 3,4", "--what", "distance", "--height", "7 g"]),
        at,
        "the height must be a length",
    );
    refused(
        &with(&[
            "--at",
            "1550,403 1295,666 1027,404",
            "--what",
            "diameter",
            "--item",
            "lump",
        ]),
        at,
        "there is no item with the id \"lump\"",
    );
    no_answer(
        &with(&["--row", "--at", "1200,400 1300,400"]),
        at,
        "no row of equal things",
    );
    let crossed = "1550,403 1027,404 1295,666 1283,142";
    no_answer(
        &with(&["--what", "body", "--item", "lamp", "--at", crossed]),
        at,
        "cross over",
    );
    refused(
        &["measure", "lamp", "--photo", "box"],
        at,
        "nothing is measured",
    );
    refused(
        &["picture", "lamp", "--photo", "box", "--into", "out"],
        at,
        "box.jpg",
    );
    fs::write(folder.join("photos/bench-lamp.jpg"), b"\0no picture").unwrap();
    refused(
        &with(&["--at", RIM, "--what", "diameter", "--snap"]),
        at,
        "bench-lamp.jpg",
    );
    assert!(!at.join("out").exists());
}
