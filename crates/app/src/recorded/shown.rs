//! A log shown as it would be taken, before it is kept.
//!
//! In: its bytes, its entry, what its columns are said to hold. Out: the table as it is read, what its columns are taken
//! for, how its rows are read, and what reading all of it gave. Not here: guessing (`logs`), the page that shows it.

use super::columns::{columns, correct, delimiter, overlaid, taken};
use super::{accepted, guess, read};
use crate::brought::Taken;
use crate::{Problem, Unwatched};
use methods::words::counted;
use record::LogColumns;
use serde_json::{Map, Value as Json};
use std::path::Path;

/// How rows are read, by the keys of a log's entry: what somebody may have to say of a file that does not tell.
const ROWS_BY: [&str; 6] = [
    "columns.delimiter",
    "columns.decimal",
    "columns.first-row",
    "columns.time.form",
    "columns.interval",
    "columns.sign",
];

/// A log as it would be taken.
pub(crate) struct Shown {
    /// Names of its columns.
    pub(crate) headings: Vec<String>,
    /// Its first rows.
    pub(crate) rows: Vec<Vec<String>>,
    /// What each column is taken for.
    pub(crate) columns: Vec<Taken>,
    /// How its rows are read: keys of its entry, with the words that were found for them.
    pub(crate) rows_by: Vec<(&'static str, String)>,
    /// Why, where it is not sure.
    pub(crate) reasons: Vec<String>,
    /// What reading all of it gave, or why it cannot be read.
    pub(crate) read: Result<Vec<String>, String>,
    /// Its entry, with what its columns are.
    pub(crate) entry: Map<String, Json>,
}

/// Shows a log as it would be taken: its columns as they are guessed, or as they are said to be.
///
/// # Errors
/// A file that is no log.
pub(crate) fn shown(
    bytes: &[u8],
    name: &str,
    mut entry: Map<String, Json>,
    said: Option<&[Taken]>,
) -> Result<Shown, Problem> {
    let said_of_rows = entry.remove("columns").unwrap_or_default();
    let guess = guess(bytes, Path::new(name), delimiter(&said_of_rows))?;
    let width = guess.rows.iter().map(Vec::len).max().unwrap_or(0);
    let mut stated = accepted(&guess.mapping, &entry).or_else(|| columns(&guess.mapping, 0));
    if let (Some(stated), Some(said)) = (&mut stated, said) {
        correct(stated, said);
    }
    let rows_by = stated.as_ref().map(found).unwrap_or_default();
    let stated = match stated {
        Some(stated) => Some(overlaid(&stated, &said_of_rows)?),
        None => None,
    };
    let mut headings = guess.names;
    headings.resize(width, String::new());
    let reasons = guess.reasons.iter().filter(|reason| reason.unsure);
    let reasons = reasons.map(|r| format!("{}: {}", r.about, r.why)).collect();
    let read = match &stated {
        None => Err("no column is read; say below what each one holds".to_string()),
        Some(stated) if stated.current.is_none() && stated.power.is_none() => Err(
            "no column is taken for a current, or a power beside a voltage; say below what each column holds".to_string(),
        ),
        Some(stated) if stated.time.is_none() && stated.interval.is_none() => {
            Err("no column holds the time; say below which one does, or the time between rows".to_string())
        }
        Some(stated) => {
            let stated = serde_json::to_value(stated).expect("numbers and texts are JSON");
            entry.insert("columns".to_string(), stated);
            facts(bytes, name, &entry)?
        }
    };
    Ok(Shown {
        headings,
        rows_by,
        columns: taken(stated.as_ref(), width),
        rows: guess.rows,
        reasons,
        read,
        entry,
    })
}

/// Returns how rows are read as far as that was found.
fn found(columns: &LogColumns) -> Vec<(&'static str, String)> {
    let columns = serde_json::to_value(columns).expect("numbers and texts are JSON");
    let word = |path: &str| {
        let mut keys = path.split('.').skip(1);
        let at = keys.try_fold(&columns, |at, key| at.get(key));
        match at {
            Some(Json::String(word)) => word.clone(),
            Some(Json::Number(number)) => number.to_string(),
            _ => String::new(),
        }
    };
    ROWS_BY.iter().map(|path| (*path, word(path))).collect()
}

/// Reads all of a log by its entry and tells what it is; the inner error says why it cannot be read.
fn facts(
    bytes: &[u8],
    name: &str,
    entry: &Map<String, Json>,
) -> Result<Result<Vec<String>, String>, Problem> {
    let mut whole = entry.clone();
    whole.insert("file".to_string(), name.into());
    for (key, unknown) in [
        ("id", "new"),
        ("item", "new"),
        ("what", "unknown"),
        ("seat", "unknown"),
    ] {
        whole.entry(key).or_insert_with(|| unknown.into());
    }
    let log = match serde_json::from_value::<record::Log>(Json::Object(whole)) {
        Ok(log) => log,
        Err(why) => return Ok(Err(format!("{why}; correct what is said above"))),
    };
    Ok(read(bytes, &log, &Unwatched)?.map(|recording| {
        let rows = recording.rows;
        let seconds = recording
            .series
            .points
            .last()
            .map_or(0.0, |point| point.t_s)
            - recording
                .series
                .points
                .first()
                .map_or(0.0, |point| point.t_s);
        let mut facts = vec![
            counted(rows.used, "row", "rows"),
            format!("{:.1} min", seconds / 60.0),
            counted(recording.phases.len(), "phase", "phases"),
        ];
        if rows.dropped > 0 {
            facts.push(format!("{} left out", counted(rows.dropped, "row", "rows")));
        }
        facts
    }))
}
