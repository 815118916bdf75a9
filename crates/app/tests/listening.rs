//! Listening to the recordings of a dossier: what is heard is written down, and what cannot be used is told.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

use app::{Addition, ExamineOptions, Unwatched, add, examine, listen};
use methods::{Method, Verdict};
use std::fs;
use std::path::Path;

/// A WAV file of 16 bits at 48 kHz.
fn wave(channels: &[Vec<f64>]) -> Vec<u8> {
    let count = channels.len() as u16;
    let frames = channels[0].len();
    let size = frames as u32 * u32::from(count) * 2;
    let mut out = b"RIFF".to_vec();
    out.extend((36 + size).to_le_bytes());
    out.extend(b"WAVEfmt \x10\0\0\0\x01\0");
    out.extend(count.to_le_bytes());
    out.extend(48_000_u32.to_le_bytes());
    out.extend((96_000 * u32::from(count)).to_le_bytes());
    out.extend((2 * count).to_le_bytes());
    out.extend(b"\x10\0data");
    out.extend(size.to_le_bytes());
    for n in 0..frames {
        for channel in channels {
            out.extend(((channel[n] * 32_767.0).round() as i16).to_le_bytes());
        }
    }
    out
}

/// Numbers from −1 to 1 (an xorshift).
fn noise(seed: u64, count: usize, size: f64) -> Vec<f64> {
    let mut x = seed;
    (0..count)
        .map(|_| {
            x ^= x << 13;
            x ^= x >> 7;
            x ^= x << 17;
            size * ((x >> 11) as f64 / (1_u64 << 52) as f64 - 1.0)
        })
        .collect()
}

fn scaled(samples: &[f64], by: f64) -> Vec<f64> {
    samples.iter().map(|x| x * by).collect()
}

const TEXT: &str = r#"format = 1
[product]
name = "Stille"
maker = "Oskvale"
opened = 2026-03-01

[[claims]]
id = "delay"
text = "Delay of 80 ms"
printed = "box"
kind = "delay"
value = "80 ms"

[[items]]
id = "product"
name = "Headphones"
kind = "product"

[[recordings]]
id = "out"
file = "out.wav"
what = "outside"

[[recordings]]
id = "in"
file = "in.wav"
what = "inside"
switched = "on"
seating = 1

[[recordings]]
id = "source"
file = "both.wav"
what = "event"

[[recordings]]
id = "late"
file = "both.wav"
what = "event"
channel = 2
source = "source"

[[recordings]]
id = "empty"
file = "empty.wav"
what = "quiet"
"#;

fn dossier(at: &Path) {
    fs::create_dir(at.join("recordings")).unwrap();
    fs::write(at.join("dossier.toml"), TEXT).unwrap();
    let put =
        |name: &str, bytes: &[u8]| fs::write(at.join("recordings").join(name), bytes).unwrap();
    let played = noise(7, 3 * 48_000, 0.5);
    put("out.wav", &wave(std::slice::from_ref(&played)));
    // A tenth of the amplitude: 20 dB in every band.
    put("in.wav", &wave(&[scaled(&played, 0.1)]));
    let sound = noise(11, 2 * 48_000, 0.3);
    let mut late = vec![0.0; 3000];
    late.extend(&sound[..sound.len() - 3000]);
    put("both.wav", &wave(&[sound, late]));
    put("empty.wav", b"");
}

#[test]
fn what_is_heard_is_written_down_and_decides() {
    let at = tempfile::tempdir().unwrap();
    dossier(at.path());
    let heard = listen(at.path(), &Unwatched).unwrap();
    assert_eq!(heard.len(), 5);
    let failed: Vec<&str> = heard
        .iter()
        .filter(|h| h.failed.is_some())
        .map(|h| h.id.as_str())
        .collect();
    assert_eq!(failed, ["empty"]);
    let why = heard[4].failed.as_deref().unwrap();
    assert!(
        why.contains("no bytes") && why.contains("copy the file"),
        "{why}"
    );
    let dossier = app::open(at.path(), &Unwatched).unwrap();
    let [out, inside, _, late, empty] = dossier.recordings.as_slice() else {
        panic!()
    };
    let (out, inside) = (out.heard.as_ref().unwrap(), inside.heard.as_ref().unwrap());
    assert_eq!((out.levels.len(), out.seconds, out.rate), (24, 3.0, 48_000));
    for (open, closed) in out.levels.iter().zip(&inside.levels) {
        assert!((open - closed - 20.0).abs() < 0.05, "{open} {closed}");
    }
    let late = late.heard.as_ref().unwrap();
    assert!((late.delay.unwrap() - 0.0625).abs() < 1e-6, "{late:?}");
    assert!(late.peak.len() > 100 && late.clock.is_none());
    assert_eq!(empty.heard, None);
    // Heard again the text stays as it is.
    let text = fs::read_to_string(at.path().join("dossier.toml")).unwrap();
    listen(at.path(), &Unwatched).unwrap();
    assert_eq!(
        fs::read_to_string(at.path().join("dossier.toml")).unwrap(),
        text
    );
    let options = ExamineOptions {
        folder: at.path().to_path_buf(),
        catalogues: Vec::new(),
    };
    let found = examine(&options, &Unwatched).unwrap().findings.findings;
    let claim = found.iter().find(|f| f.method() == Method::Claims).unwrap();
    assert_eq!(claim.verdict, Some(Verdict::Holds), "{}", claim.sentence);
    let sound = found.iter().filter(|f| f.method() == Method::Sound);
    assert_eq!(sound.count(), 2);
}

#[test]
fn a_file_that_is_not_there_is_told_where_it_is_named() {
    let at = tempfile::tempdir().unwrap();
    dossier(at.path());
    fs::remove_file(at.path().join("recordings/out.wav")).unwrap();
    let refused = listen(at.path(), &Unwatched).unwrap_err();
    let told = format!("{refused:?}");
    assert!(told.contains("recordings/out.wav"), "{told}");
}

#[test]
fn a_recording_is_copied_and_heard_when_it_is_added() {
    let at = tempfile::tempdir().unwrap();
    let folder = at.path().join("dossier");
    fs::create_dir(&folder).unwrap();
    dossier(&folder);
    let source = noise(7, 48_000, 0.4);
    let mut late = vec![0.0; 480];
    late.extend(&source[..source.len() - 480]);
    let file = at.path().join("knock.wav");
    fs::write(&file, wave(&[source, late])).unwrap();
    let added = |entry: serde_json::Value| {
        let addition = Addition {
            word: "recording".to_string(),
            entry: entry.as_object().unwrap().clone(),
            file: Some(file.clone()),
            ..Addition::default()
        };
        add(&folder, &addition, &Unwatched)
    };
    let first = added(serde_json::json!({ "what": "event" })).unwrap();
    assert_eq!(first.file.as_deref(), Some("recordings/knock.wav"));
    assert_eq!(first.at.to_string(), "recordings.knock");
    let second = serde_json::json!({ "what": "event", "channel": 2, "source": "knock" });
    assert_eq!(added(second).unwrap().at.to_string(), "recordings.knock-2");
    let read = app::open(&folder, &Unwatched).unwrap();
    let heard = read.recording("knock-2").unwrap().heard.clone().unwrap();
    // 480 samples at 48 kHz are 10 ms; one file has one clock.
    assert!((heard.delay.unwrap() - 0.01).abs() < 1e-6, "{heard:?}");
    assert_eq!(heard.clock, None);
    assert!(folder.join("recordings/knock.wav").is_file());
    let before = fs::read(folder.join("dossier.toml")).unwrap();
    let third = added(serde_json::json!({ "what": "event", "channel": 3 })).unwrap_err();
    assert!(third.to_string().contains("no channel 3"), "{third}");
    fs::write(&file, "no sound").unwrap();
    let none = added(serde_json::json!({ "what": "event" })).unwrap_err();
    assert!(!none.remedy.to_string().is_empty());
    assert_eq!(fs::read(folder.join("dossier.toml")).unwrap(), before);
}
