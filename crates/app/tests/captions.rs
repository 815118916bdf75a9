//! Captions of the demonstration proof-read, and captions that cannot be.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use app::{CaptionOptions, Kind, Problem, ProofRead, Unwatched};
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// Spoken of the demonstration; every garble was written down by ear.
const FILM: &str = "WEBVTT - Nivalet\r\n\r\nNOTE not the knee valet\r\n\r\n\
intro\r\n00:00:01.000 --> 00:00:04.500 line:80% align:start\r\n\
This is the <i>knee valet three</i>, made by on dral camp.\r\n\r\n\
00:00:04.500 --> 00:00:09.000\r\n<v Ann>The charger is the zed you see thirty,\r\nfrom zool Marik.\r\n\r\n\
00:00:09.000 --> 00:00:14.000\r\nThe pouch cell has 620 milliamp hours,\r\nthe box says 38 gram &amp; no more.\r\n\r\n\
00:00:14.000 --> 00:00:19.000\r\nWe take the screws out and lift the board, then look at the socket.\r\n";

fn with(films: &[(&str, &[u8])]) -> (TempDir, PathBuf) {
    let at = TempDir::new().unwrap();
    let folder = app::write_demo(at.path(), &Unwatched).unwrap().folder;
    for (name, bytes) in films {
        fs::create_dir_all(folder.join("captions")).unwrap();
        fs::write(folder.join("captions").join(name), bytes).unwrap();
    }
    // The demonstration brings captions of its own.
    if folder.join("captions/nivalet.vtt").exists() {
        fs::remove_file(folder.join("captions/nivalet.vtt")).unwrap();
    }
    (at, folder)
}

fn read(folder: &Path) -> Result<ProofRead, Problem> {
    let options = CaptionOptions {
        folder: folder.to_path_buf(),
        into: Some(folder.with_file_name("read")),
        ..CaptionOptions::default()
    };
    app::captions(&options, &Unwatched)
}

fn kept(folder: &Path, name: &str) -> Vec<u8> {
    fs::read(folder.with_file_name("read").join(name)).unwrap()
}

#[test]
fn names_parts_and_makers_of_a_dossier_are_put_right_and_nothing_else() {
    let (_at, folder) = with(&[("film.vtt", FILM.as_bytes())]);
    let found = read(&folder).unwrap();
    let written = String::from_utf8(kept(&folder, "film.vtt")).unwrap();
    let right = FILM
        .replace("knee valet three", "Nivalet 3")
        .replace("on dral camp", "Ondrelkamp")
        .replace("zed you see thirty", "ZUC30")
        .replace("zool Marik", "Zulmarik");
    assert_eq!(written, right, "{:#?}", found.films);
    let list: serde_json::Value =
        serde_json::from_slice(&kept(&folder, "corrections.json")).unwrap();
    let applied: Vec<&serde_json::Value> = list
        .as_array()
        .unwrap()
        .iter()
        .filter(|c| c["applied"] == true)
        .collect();
    assert_eq!(applied.len(), 4);
    let charger = applied[2];
    let keys: Vec<&String> = charger.as_object().unwrap().keys().collect();
    assert_eq!(
        keys,
        ["after", "applied", "before", "cue", "place", "probability"]
    );
    assert_eq!(
        (&charger["cue"], &charger["before"], &charger["after"]),
        (&1.into(), &"zed you see thirty".into(), &"ZUC30".into())
    );
    assert_eq!(charger["place"], "items.lamp-charger.part.identity.name");
}

#[test]
fn several_films_are_told_apart_and_each_keeps_its_form() {
    let srt = b"1\n00:00:01,000 --> 00:00:03,000\nmade by on dral camp, caf\xe9\n\n\
2\n00:00:02,500 --> 00:00:04,000\nright\n";
    let (_at, folder) = with(&[
        ("a.SRT", srt),
        ("b.vtt", FILM.as_bytes()),
        ("notes.txt", b"x"),
    ]);
    let found = read(&folder).unwrap();
    assert_eq!(
        kept(&folder, "a.SRT"),
        b"1\n00:00:01,000 --> 00:00:03,000\nmade by Ondrelkamp, caf\xe9\n\n\
2\n00:00:02,500 --> 00:00:04,000\nright\n"
    );
    let [fault] = &found.films[0].faults[..] else {
        panic!("{:?}", found.films[0].faults)
    };
    assert!(fault.contains("before the one above ends"), "{fault}");
    let list: serde_json::Value =
        serde_json::from_slice(&kept(&folder, "corrections.json")).unwrap();
    assert_eq!(list[0]["file"], "a.SRT");
    assert!(!folder.with_file_name("read").join("notes.txt").exists());
}

#[test]
fn captions_that_cannot_be_read_are_named_with_a_remedy_and_nothing_is_written() {
    let utf16 = b"\xff\xfeW\0E\0B\0V\0T\0T\0";
    let cases: [(&str, &[u8], &str); 4] = [
        ("a.vtt", b"1\n00:01 --> 00:02\nx", "begins with `WEBVTT`"),
        ("b.vtt", utf16, "UTF-16"),
        (
            "c.vtt",
            b"WEBVTT\n\n00:00.000 --> 00:01.000\n\xe9",
            "line 4: not UTF-8",
        ),
        ("d.srt", b"only words, no times", "no line has times"),
    ];
    for (name, bytes, why) in cases {
        let (_at, folder) = with(&[("good.vtt", FILM.as_bytes()), (name, bytes)]);
        let problem = read(&folder).unwrap_err();
        assert!(problem.message.contains(why), "{name}: {problem:?}");
        assert!(
            matches!(problem.kind, Kind::Unfit(_)),
            "{name}: {problem:?}"
        );
        let place = problem.place.unwrap().to_string();
        assert!(place.ends_with(&format!("captions/{name}")), "{place}");
        assert!(!folder.with_file_name("read").exists());
    }
    let (_at, folder) = with(&[("long.srt", b"")]);
    let long = File::create(folder.join("captions/long.srt")).unwrap();
    long.set_len(100 << 20).unwrap();
    let problem = read(&folder).unwrap_err();
    assert!(
        problem.message.contains("larger than the 16 MB"),
        "{problem:?}"
    );
}

#[test]
fn a_dossier_without_captions_says_where_they_go() {
    let (_at, folder) = with(&[]);
    let problem = read(&folder).unwrap_err();
    assert_eq!(problem.kind, Kind::Missing);
    assert!(problem.message.contains("no captions"), "{problem:?}");
}

/// What was refused is not made and not proposed again; what was taken is made whatever its probability.
#[test]
fn what_the_analyst_decided_is_remembered() {
    let (_at, folder) = with(&[("film.vtt", FILM.as_bytes())]);
    let all = read(&folder).unwrap().films.remove(0).corrections;
    let charger = all.iter().find(|c| c.after == "ZUC30").unwrap();
    let rule = |accepted: bool, file: &str| {
        let text = fs::read_to_string(folder.join("dossier.toml")).unwrap();
        let ruling = format!(
            "\n[[caption-rulings]]\nfile = \"{file}\"\nbefore = \"{}\"\nafter = \"ZUC30\"\naccepted = {accepted}\n",
            charger.before
        );
        fs::write(folder.join("dossier.toml"), text + &ruling).unwrap();
    };
    rule(false, "other.vtt");
    assert_eq!(read(&folder).unwrap().films[0].corrections, all);
    rule(false, "film.vtt");
    let found = read(&folder).unwrap();
    assert_eq!(found.films[0].corrections.len(), all.len() - 1);
    assert_eq!(found.films[0].refused.len(), 1);
    let written = String::from_utf8(kept(&folder, "film.vtt")).unwrap();
    assert!(
        written.contains("zed you see thirty") && written.contains("Zulmarik"),
        "{written}"
    );
    let list = String::from_utf8(kept(&folder, "corrections.json")).unwrap();
    assert!(!list.contains("ZUC30"), "{list}");
    // The last word counts.
    rule(true, "film.vtt");
    assert_eq!(read(&folder).unwrap().films[0].corrections, all);
}
