//! Columns that were accepted read every dialect as they were guessed.

use super::*;
use crate::Unwatched;
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
