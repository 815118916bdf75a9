//! What programs are told: every command of the grammar answers `--format json` with one object, and fails with one.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Output;
use support::{code, said, told, underlid};
use tempfile::TempDir;

/// Every command with arguments that it answers, in an order in which each finds what it needs. `LED` is a
/// photograph.
const ANSWERED: &[&str] = &[
    "new other",
    "add instrument scale --in mine",
    "add claim 48g --printed box --kind mass --value 48g --in mine",
    "add label TP-1 --place lid --in mine",
    "add identifier 4711 --kind serial --private yes --in mine",
    "add accessory cable --in mine",
    "add sample second --in mine",
    "add photo LED --id led --caption x --in mine",
    "add region --photo led --id cup --rect 10,10,40,40 --in mine",
    "add reference card --photo led --shape distance --length 50mm --at 10,10 500,10 --in mine",
    "add item cup --kind shell --parent product --in mine",
    "add mode on --in mine",
    "add load --item cup --mode on --current 1mA --origin measured --in mine",
    "add link --from product --to cup --kind power --in mine",
    "add step open --action lift --undo yes --in mine",
    "add reading 48g --item product --what mass --in mine",
    "add reading 4g --item cup --what mass --in mine",
    "add correlation product-mass,cup-mass --coefficient 0.9 --in mine",
    "add measure 10,10 90,10 --photo led --what length --item cup --in mine",
    "add price 1.20EUR --of cup --confidence quote --in mine",
    "add rate 0.92EUR --of USD --date 2026-03-01 --in mine",
    "add repair-fact --what manual --is no --source shop --date 2026-03-01 --in mine",
    "add film Opened --id main --in mine",
    "add clip A1 --film main --at 0:12 --clock 2026-03-01T14:05:00Z --in mine",
    "add cut A1 --film main --from 0:10 --to 0:20 --in mine",
    "add pronunciation Xiuqe --said shookay --in mine",
    "add past-ruling --file older.html --part QZ9 --accepted no --in mine",
    "add caption-ruling --file film.vtt --before x --after y --accepted no --in mine",
    "set product.category lamp --in mine",
    "remove product.category --in mine",
    "check mine",
    "add recording street.wav --what outside --in mine",
    "listen mine",
    "tasks mine",
    "examine mine",
    "ready mine",
    "publish mine --bundle --film",
    "verify mine/report/bundle",
    "read 4K7",
    "read --batch seen.csv",
    "log charge.csv",
    "captions mine --into proof-read",
    "past texts",
    "past texts --list review.csv",
    "past texts/lamp.html --list decided.csv --into published",
    "add log charge.csv --what charge --seat cell --item cup --in mine",
    "bench trace --width 0.25mm",
    "bench coil --shape square --turns 5 --outer 10mm --width 0.3mm --space 0.2mm --capacitor 1nF",
    "bench wave --frequency 2.44GHz",
    "bench resistor --current 1A --resistance 20mOhm --thermal 250",
    "measure mine",
    "outlines mine led",
    "picture mine",
    "catalogue import parts.csv --preview 1",
    "catalogue import parts.csv --into known.csv",
    "catalogue check known.csv",
    "catalogue code known.csv OK4100 A7",
    "catalogue harvest mine --into known.csv",
    "set product.name Lampe --in mine",
    "library import kept mine",
    "library list kept",
    "library find kept Lampe",
    "library history kept Lampe",
    "library people list kept",
    "library verify kept",
    "library export kept Lampe taken-out",
    "library backup kept copy",
    "library withdraw kept Lampe",
    "schema findings",
    "notices",
    "completions fish",
    "man add",
    "demo --into demo",
    "add --help",
    "--version",
];

/// Every command with arguments that it refuses.
const REFUSED: &[&str] = &[
    "new mine",
    "add instrument scale --in nowhere",
    "add claim x --printed box --kind weight --value 48g --in mine",
    "set product.maker x --in nowhere",
    "set product.makr x --in mine",
    "remove items.nothing --in mine",
    "check nowhere",
    "check bad",
    "tasks bad",
    "examine bad",
    "ready bad",
    "publish bad",
    "publish nowhere",
    "verify nowhere",
    "read AB[",
    "read --batch nowhere.csv",
    "read --photo nowhere.jpg",
    "log nowhere.csv",
    "log seen.csv",
    "log mine",
    "captions nowhere --into out",
    "captions mine --into mine/captions/out",
    "captions bad --into out",
    "past nowhere",
    "past parts.csv",
    "past bad",
    "past texts --list seen.csv --into published",
    "past texts --into mine",
    "measure mine --photo nothing",
    "outlines mine nothing",
    "picture mine --photo nothing",
    "catalogue import nowhere.csv --into known.csv",
    "catalogue check nowhere.csv",
    "catalogue code mine OK4100 A7",
    "catalogue harvest nowhere --into known.csv",
    "library list nowhere",
    "library import kept bad",
    "library export nowhere x out",
    "man nothing",
    "demo --into bad/dossier.toml",
];

/// Two seconds of a square wave of 125 Hz, mono, 16 bits, 8 kHz.
fn hum() -> Vec<u8> {
    let samples = (0..16_000).map(|n| if n / 32 % 2 == 0 { 4000_i16 } else { -4000 });
    let data: Vec<u8> = samples.flat_map(i16::to_le_bytes).collect();
    let length = u32::try_from(data.len()).unwrap();
    let mut bytes = b"RIFF".to_vec();
    bytes.extend((36 + length).to_le_bytes());
    bytes.extend(b"WAVEfmt \x10\0\0\0\x01\0\x01\0");
    bytes.extend(8000_u32.to_le_bytes());
    bytes.extend(16_000_u32.to_le_bytes());
    bytes.extend(b"\x02\0\x10\0data");
    bytes.extend(length.to_le_bytes());
    bytes.extend(data);
    bytes
}

/// A started dossier, one with mistakes, tables.
fn prepared() -> TempDir {
    let at = TempDir::new().unwrap();
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    // A demonstration that is there already is published as it is; this one is small.
    fs::create_dir_all(at.path().join("demo")).unwrap();
    assert_eq!(code(&underlid(&["new", "demo/dossier"], at.path())), 0);
    fs::create_dir(at.path().join("bad")).unwrap();
    let bad = "format = 1\n[product]\nname = \"Lamp\"\nmakr = \"Nobody\"\n";
    fs::write(at.path().join("bad/dossier.toml"), bad).unwrap();
    fs::write(at.path().join("parts.csv"), "name,codes\nOK4100,OK41\n").unwrap();
    let charge = "time_s,voltage_v,current_a\n0,3.7,0.8\n10,3.8,0.8\n20,3.9,0.8\n";
    fs::write(at.path().join("charge.csv"), charge).unwrap();
    let film = "WEBVTT\n\n00:00.000 --> 00:02.000\nHello.\n";
    fs::write(at.path().join("mine/captions/film.vtt"), film).unwrap();
    fs::write(at.path().join("street.wav"), hum()).unwrap();
    fs::create_dir(at.path().join("texts")).unwrap();
    let article = "<h1>Lamp</h1><p>The charger is the OK4100 from Halvik.";
    fs::write(at.path().join("texts/lamp.html"), article).unwrap();
    let decided = "accept,part,file\nyes,OK4100,lamp.html\n";
    fs::write(at.path().join("decided.csv"), decided).unwrap();
    fs::write(at.path().join("seen.csv"), "marking\n4K7\nAB[\n").unwrap();
    at
}

/// Runs a line of words; several points are one word.
fn run(line: &str, json: bool, at: &Path) -> Output {
    let photo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp/photos/lamp-led.jpg");
    let photo = photo.to_str().unwrap();
    let mut words: Vec<String> = Vec::new();
    for word in line.split(' ') {
        match words.last_mut() {
            Some(last) if is_point(last) && is_point(word) => *last += &format!(" {word}"),
            _ => words.push(word.replace("LED", photo)),
        }
    }
    let mut words: Vec<&str> = words.iter().map(String::as_str).collect();
    if json {
        words.extend(["--format", "json"]);
    }
    underlid(&words, at)
}

fn is_point(word: &str) -> bool {
    let numbers = word.rsplit(' ').next().unwrap_or_default();
    let mut numbers = numbers.split(',');
    numbers.clone().count() == 2 && numbers.all(|n| n.parse::<u32>().is_ok())
}

/// The names of all commands that do something, as the manual lists them.
fn commands(before: &[&str], at: &Path) -> BTreeSet<String> {
    let page = underlid(&[&["man", "--format", "json"], before].concat(), at);
    let page: Value = serde_json::from_slice(&page.stdout).unwrap();
    let inner = page["commands"].as_array().unwrap();
    if inner.is_empty() {
        return BTreeSet::from([before.join(" ")]);
    }
    let mut all = BTreeSet::new();
    for name in inner.iter().map(|name| name.as_str().unwrap()) {
        if name != "help" {
            all.extend(commands(&[before, &[name]].concat(), at));
        }
    }
    all
}

#[test]
fn every_command_of_the_grammar_answers_with_one_object() {
    let at = prepared();
    let mut left = commands(&[], at.path());
    assert!(left.len() > 35, "{left:?}");
    for line in ANSWERED {
        let output = run(line, true, at.path());
        let answer: Result<Value, _> = serde_json::from_slice(&output.stdout);
        let answer = answer.unwrap_or_else(|e| panic!("{line}: {e}: {}", said(&output)));
        assert!(answer.is_object(), "{line}: {answer}");
        let is_failure = answer["kind"].is_string();
        assert!(!is_failure, "{line}: {answer}");
        assert_eq!(told(&output), "", "{line}");
        left.retain(|command| line != command && !line.starts_with(&format!("{command} ")));
    }
    // It goes on until it is stopped; see below. Passwords are typed: `people.rs`.
    left.remove("serve");
    for typed in ["add", "password", "remove"] {
        left.remove(&format!("library people {typed}"));
    }
    assert!(left.is_empty(), "not tried: {left:?}");
}

#[test]
fn what_fails_for_people_fails_for_programs_with_one_object_and_the_same_code() {
    let at = prepared();
    for line in REFUSED {
        let people = run(line, false, at.path());
        assert_ne!(code(&people), 0, "{line}: {}", said(&people));
        let output = run(line, true, at.path());
        assert_eq!(code(&output), code(&people), "{line}: {}", said(&output));
        assert_eq!(told(&output), "", "{line}");
        let failure: Value = serde_json::from_slice(&output.stdout)
            .unwrap_or_else(|e| panic!("{line}: {e}: {}", said(&output)));
        for key in ["kind", "message", "remedy"] {
            let words = failure[key].as_str().unwrap_or_default();
            assert!(!words.is_empty(), "{line}: {key}: {failure}");
        }
        assert!(failure["faults"].is_array(), "{line}: {failure}");
        let kinds: &[&str] = match code(&people) {
            1 => &["mistakes"],
            2 => &["unfit", "usage"],
            4 => &["no-answer"],
            _ => &["missing", "refused", "outside"],
        };
        let kind = failure["kind"].as_str().unwrap();
        assert!(kinds.contains(&kind), "{line}: {failure}");
    }
}

#[test]
fn every_command_tells_wrong_usage_with_one_object() {
    let at = TempDir::new().unwrap();
    for command in commands(&[], at.path()) {
        let output = run(&format!("{command} --no-such-option"), true, at.path());
        assert_eq!(code(&output), 2, "{command}");
        let failure: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(failure["kind"], "usage", "{command}");
        let message = failure["message"].as_str().unwrap();
        assert!(message.contains("--no-such-option"), "{command}: {message}");
        assert!(!message.starts_with("error"), "{message}");
        assert_eq!(told(&output), "", "{command}");
    }
}

#[test]
fn a_failure_says_where_and_which_values() {
    let at = prepared();
    let failure = |line: &str| -> Value {
        serde_json::from_slice(&run(line, true, at.path()).stdout).unwrap()
    };
    let mistakes = failure("check bad");
    assert_eq!(mistakes["place"], "product");
    let fault = &mistakes["faults"][0];
    assert_eq!(
        (&fault["line"], &fault["file"]),
        (&2.into(), &"bad/dossier.toml".into())
    );
    assert!(
        fault["remedy"].as_str().unwrap().contains("maker"),
        "{fault}"
    );
    let unfit = failure("add claim x --printed box --kind weight --in mine");
    assert_eq!(unfit["faults"][0]["field"], "kind");
    let tip = failure("add screw");
    assert!(tip["remedy"].as_str().unwrap().contains("item"), "{tip}");
    let nothing = failure("add");
    let message = nothing["message"].as_str().unwrap();
    assert!(message.contains("subcommand"), "{message}");
}

#[cfg(unix)]
#[test]
fn what_serves_says_where_with_one_object_and_goes_on() {
    use std::io::{BufRead as _, BufReader};
    use std::process::{Command, Stdio};
    let at = TempDir::new().unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_underlid"))
        .args(["serve", "library", "--port", "0", "--format", "json"])
        .current_dir(at.path())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut text = String::new();
    for line in BufReader::new(child.stdout.take().unwrap()).lines() {
        text += &line.unwrap();
        if text.ends_with('}') {
            break;
        }
    }
    let answer: Value = serde_json::from_str(&text).unwrap();
    let address = answer["address"].as_str().unwrap();
    assert!(address.starts_with("http://127.0.0.1:"), "{address}");
    assert!(child.try_wait().unwrap().is_none(), "it has ended");
    let id = child.id().to_string();
    assert!(
        Command::new("kill")
            .args(["-INT", &id])
            .status()
            .unwrap()
            .success()
    );
    assert!(child.wait().unwrap().success());
}
