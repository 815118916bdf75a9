//! Columns that were accepted read every dialect as they were guessed.

use super::*;
use crate::Unwatched;
use crate::brought::{Holds, Taken};
use record::{LogKind, LogSeat};

/// Logs of meters in many dialects; they lie beside the crate that reads them.
const DIALECTS: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../logs/tests/published/badlogs"
);

fn entry(file: &str) -> record::Log {
    record::Log {
        id: "log".into(),
        file: file.into(),
        what: LogKind::Charge,
        seat: LogSeat::Cell,
        item: "cell".into(),
        from: None,
        mode: None,
        instrument: None,
        started: None,
        origin: None,
        columns: None,
        evidence: Vec::new(),
        note: None,
    }
}

/// What `add` writes down of a file reads it as the guess did: same charge, same energy, to the last bit.
#[test]
fn accepted_columns_read_a_file_as_the_guess_did() {
    let mut compared = 0;
    for found in opener::names(Path::new(DIALECTS)).unwrap() {
        let file = found.to_string_lossy().into_owned();
        let path = Path::new(DIALECTS).join(&found);
        let bytes = opener::read(&path, limits::TABLE).unwrap();
        let guessed = read(&bytes, &entry(&file), &Unwatched).unwrap();
        let mut taken = Map::new();
        taken.insert("seat".to_string(), "cell".into());
        let told = accept(&bytes, &path, &mut taken, &Unwatched);
        let Some(columns) = told.ok().and_then(|()| taken.remove("columns")) else {
            continue;
        };
        let stated = record::Log {
            columns: Some(serde_json::from_value(columns).unwrap()),
            ..entry(&file)
        };
        let again = read(&bytes, &stated, &Unwatched).unwrap();
        match (guessed, again) {
            (Ok(guessed), Ok(again)) if guessed.series.name.is_empty() => {
                assert_eq!(guessed.series.charge_c(), again.series.charge_c(), "{file}");
                assert_eq!(guessed.series.energy_j(), again.series.energy_j(), "{file}");
                compared += 1;
            }
            (Err(_), Ok(_)) => panic!("{file}: read only as accepted"),
            (Ok(_), Err(why)) => panic!("{file}: not read as accepted: {why}"),
            _ => {}
        }
    }
    assert!(compared > 15, "{compared}");
}

fn said(columns: &[(Option<Holds>, &str)]) -> Vec<Taken> {
    let taken = |(holds, unit): &(Option<Holds>, &str)| Taken {
        holds: *holds,
        unit: (*unit).to_string(),
    };
    columns.iter().map(taken).collect()
}

fn rows_by(json: &str) -> Map<String, Json> {
    let mut entry = Map::new();
    entry.insert("columns".to_string(), serde_json::from_str(json).unwrap());
    entry
}

/// A file whose names say nothing: it is shown, each column is said by hand, and what is kept reads it.
/// 0.8 A for 30 s is 24 C, at 3.7 V to 4.0 V rising evenly 92.4 J, by hand.
#[test]
fn columns_that_are_not_recognised_are_said_by_hand() {
    let text = "alpha\tbeta\tgamma\tdelta\n0,0\t7\t3700,0\t800,0\n10,0\t7\t3800,0\t800,0\n20,0\t7\t3900,0\t800,0\n30,0\t7\t4000,0\t800,0\n";
    let looked = shown(text.as_bytes(), "odd.tsv", Map::new(), None).unwrap();
    assert_eq!(looked.headings, ["alpha", "beta", "gamma", "delta"]);
    assert_eq!((looked.rows.len(), looked.columns.len()), (4, 4));
    let why = looked.read.unwrap_err();
    assert!(why.contains("say below what each column holds"), "{why}");
    // The command still refuses it, with a remedy.
    let refused = accept(
        text.as_bytes(),
        Path::new("odd.tsv"),
        &mut Map::new(),
        &Unwatched,
    );
    assert!(
        refused
            .unwrap_err()
            .to_string()
            .contains("no column is a current")
    );
    let columns = said(&[
        (Some(Holds::Time), "s"),
        (None, ""),
        (Some(Holds::Voltage), "mV"),
        (Some(Holds::Current), "mA"),
    ]);
    let looked = shown(text.as_bytes(), "odd.tsv", Map::new(), Some(&columns)).unwrap();
    assert_eq!(looked.read.as_ref().unwrap()[0], "4 rows");
    let kept = looked.entry.get("columns").unwrap().clone();
    let log = record::Log {
        columns: Some(serde_json::from_value(kept).unwrap()),
        ..entry("odd.tsv")
    };
    let read = read(text.as_bytes(), &log, &Unwatched).unwrap().unwrap();
    assert!((read.series.charge_c() - 24.0).abs() < 1e-9);
    assert!((read.series.energy_j().unwrap() - 92.4).abs() < 1e-9);
}

/// What separates cells, how time is written, the time between rows and the direction of the current are said too.
#[test]
fn how_rows_are_read_is_said_by_hand() {
    // Clock times under a name that says nothing.
    let clock = "a;b;c\n00:00:00;3.7;0.8\n00:00:30;3.8;0.8\n00:01:00;3.9;0.8\n";
    let columns = said(&[
        (Some(Holds::Time), ""),
        (Some(Holds::Voltage), "V"),
        (Some(Holds::Current), "A"),
    ]);
    let by = rows_by(r#"{ "time": { "form": "minutes" } }"#);
    let looked = shown(clock.as_bytes(), "c.csv", by, Some(&columns)).unwrap();
    assert_eq!(looked.entry["columns"]["time"]["form"], "minutes");
    let by = rows_by(r#"{ "time": { "form": "clock" }, "interval": "5 s" }"#);
    let looked = shown(clock.as_bytes(), "c.csv", by, Some(&columns)).unwrap();
    assert_eq!(looked.read.unwrap()[1], "1.0 min");
    assert!(looked.entry["columns"].get("interval").is_none());
    // No time at all: the interval between rows.
    let bare = "b,c\n3.7,-0.8\n3.8,-0.8\n3.9,-0.8\n";
    let columns = said(&[(Some(Holds::Voltage), "V"), (Some(Holds::Current), "A")]);
    let looked = shown(bare.as_bytes(), "b.csv", Map::new(), Some(&columns)).unwrap();
    assert!(looked.read.unwrap_err().contains("the time between rows"));
    let by = rows_by(r#"{ "interval": "30 s", "sign": "turned" }"#);
    let looked = shown(bare.as_bytes(), "b.csv", by, Some(&columns)).unwrap();
    assert_eq!(looked.read.unwrap()[1], "1.0 min");
    // Another character between cells than the one that was found.
    let by = rows_by(r#"{ "delimiter": "bar" }"#);
    let looked = shown(bare.as_bytes(), "b.csv", by, None);
    assert!(looked.is_err(), "no table by bars");
    // A word that its key does not take is told, with a remedy.
    let by = rows_by(r#"{ "decimal": "stroke" }"#);
    let wrong = shown(bare.as_bytes(), "b.csv", by, Some(&columns))
        .err()
        .unwrap();
    assert!(wrong.to_string().contains("cannot be read so"), "{wrong}");
}
