//! The logs of a dossier, read from its files.
//!
//! In: the folder or the bytes, what the record says of each log. Out: what the methods take, and what columns a file
//! was taken to have, as the record keeps it. A log that cannot be read is told by its finding and stops nothing.
//! Not here: what a log says about a cell (`methods`); logs outside a dossier (`log`).

mod columns;
mod shown;

use crate::log::sheet;
use crate::{Problem, Watch, shown as shown_path};
use catalogue::Table;
use columns::{columns, mapping};
use logs::{Delimiter, Fault, Guess, Log, LogError, Mapping, Options};
use methods::{Recorded, Recording, seat_of};
use record::{Dossier, LogColumns};
use serde_json::{Map, Value as Json};
pub(crate) use shown::{Shown, shown};
use std::io::Read;
use std::path::Path;
use std::sync::Arc;
use store::{limits, opener};

/// Points that are kept of a log; its integrals are exact whatever it is.
const POINTS: usize = 10_000;

/// Reads every log of a dossier in a folder.
///
/// # Errors
/// Work that was stopped.
pub(crate) fn load(
    folder: &Path,
    dossier: &Dossier,
    watch: &dyn Watch,
) -> Result<Recorded, Problem> {
    let mut recorded = Recorded::none();
    for log in &dossier.logs {
        let path = format!("logs/{}", log.file);
        let read = match is_workbook(&log.file) {
            true => match opener::read_inside(folder, &path, limits::TABLE) {
                Ok(bytes) => read(&bytes[..], log, watch)?,
                Err(e) => Err(e.reason()),
            },
            false => {
                let head = opener::open_inside(folder, &path, limits::LOG);
                let whole = opener::open_inside(folder, &path, limits::LOG);
                match (head, whole) {
                    (Ok(head), Ok(whole)) => read_text(head, whole, log, watch)?,
                    (Err(e), _) | (_, Err(e)) => Err(e.reason()),
                }
            }
        };
        recorded.put(&log.id, read.map(Arc::new));
    }
    Ok(recorded)
}

/// Reads a log from its bytes; the inner error says why it cannot be.
///
/// # Errors
/// Work that was stopped.
pub(crate) fn read(
    bytes: &[u8],
    log: &record::Log,
    watch: &dyn Watch,
) -> Result<Result<Recording, String>, Problem> {
    if !is_workbook(&log.file) {
        return read_text(bytes, bytes, log, watch);
    }
    let table = match Table::from_workbook(bytes, &log.file, None) {
        Ok(table) => table,
        Err(remark) => return Ok(Err(remark.to_string())),
    };
    let guess = || logs::look_at_rows(sheet(&table), &log.file);
    let options = match options(log, guess) {
        Ok(options) => options,
        Err(why) => return Ok(Err(why)),
    };
    let mut go_on = progress(log, watch);
    done(
        logs::read_rows(sheet(&table), &log.file, &options, &mut go_on),
        log,
    )
}

/// Reads a text; `head` is the same text as `whole`.
fn read_text(
    head: impl Read,
    whole: impl Read,
    log: &record::Log,
    watch: &dyn Watch,
) -> Result<Result<Recording, String>, Problem> {
    let options = match options(log, || logs::look_at_text(head, &log.file, None)) {
        Ok(options) => options,
        Err(why) => return Ok(Err(why)),
    };
    let mut go_on = progress(log, watch);
    done(logs::read_text(whole, &log.file, &options, &mut go_on), log)
}

fn progress<'a>(
    log: &'a record::Log,
    watch: &'a dyn Watch,
) -> impl FnMut(logs::Progress) -> bool + 'a {
    move |so_far| {
        watch.stage(&format!(
            "reading {}: {} rows",
            record::visible(&log.file),
            so_far.rows
        ));
        watch.goes_on()
    }
}

/// Returns how a log is read: as its columns are recorded, or as they are guessed, with the recorded seat.
fn options(
    log: &record::Log,
    guess: impl FnOnce() -> Result<Guess, LogError>,
) -> Result<Options, String> {
    let seat = seat_of(log.seat);
    let mapping = match &log.columns {
        Some(stated) => mapping(stated, seat)?,
        None => {
            let guess = guess().and_then(|guess| guess.readable(&log.file));
            let mut guessed = guess.map_err(|error| said(&error))?.mapping;
            // Of several channels the reading tells which sat where; one alone sat where the record says.
            if let [only] = guessed.channels.as_mut_slice() {
                only.seat = seat;
            }
            guessed
        }
    };
    Ok(Options {
        mapping: Some(mapping),
        interval_s: None,
        most_points: POINTS,
    })
}

fn done(
    read: Result<Log, LogError>,
    log: &record::Log,
) -> Result<Result<Recording, String>, Problem> {
    match read {
        Ok(read) => Ok(Recording::of(read, log.seat)),
        Err(error) if error.fault == Fault::Stopped => Err(error.into()),
        Err(error) => Ok(Err(said(&error))),
    }
}

fn said(error: &LogError) -> String {
    match error.line {
        Some(line) => format!("line {line}: {}; {}", error.what, error.remedy),
        None => format!("{}; {}", error.what, error.remedy),
    }
}

/// Whether a log is a workbook, by the ending of its name.
pub(crate) fn is_workbook(file: impl AsRef<Path>) -> bool {
    let ending = file.as_ref().extension();
    ending.is_some_and(|ending| ending.eq_ignore_ascii_case("xlsx"))
}

/// Writes into the entry of a log what its columns were taken for, unless they are stated there, and looks whether it
/// can be read at all.
///
/// # Errors
/// A file that is no log.
pub(crate) fn accept(
    bytes: &[u8],
    path: &Path,
    entry: &mut Map<String, Json>,
    watch: &dyn Watch,
) -> Result<(), Problem> {
    if entry.contains_key("columns") {
        return Ok(());
    }
    watch.stage(&format!("looking at {}", shown_path(path)));
    let readable = guess(bytes, path, None)?.readable(&shown_path(path));
    let guess = readable.map_err(|error| Problem::from(error).at(path))?;
    if let Some(columns) = accepted(&guess.mapping, entry).filter(|c| c.time.is_some()) {
        let columns = serde_json::to_value(columns).expect("numbers and texts are JSON");
        entry.insert("columns".to_string(), columns);
    }
    Ok(())
}

/// Looks at the beginning of a file.
fn guess(bytes: &[u8], path: &Path, delimiter: Option<Delimiter>) -> Result<Guess, Problem> {
    let file = shown_path(path);
    let guess = if is_workbook(&file) {
        let table = Table::from_workbook(bytes, &file, None).map_err(|remark| {
            Problem::unfit(remark.to_string(), "name a workbook with one log").at(path)
        })?;
        logs::look_at_rows(sheet(&table), &file)
    } else {
        logs::look_at_text(bytes, &file, delimiter)
    };
    guess.map_err(|error| Problem::from(error).at(path))
}

/// Returns the columns of the channel that sits where the entry says, or of the only one.
fn accepted(mapping: &Mapping, entry: &Map<String, Json>) -> Option<LogColumns> {
    let seat = entry.get("seat").and_then(Json::as_str).unwrap_or_default();
    let wanted = serde_json::from_value(seat.into()).map(seat_of).ok();
    let channel = match mapping.channels.as_slice() {
        [_] => 0,
        many => many.iter().position(|one| Some(one.seat) == wanted)?,
    };
    columns(mapping, channel)
}

#[cfg(test)]
mod tests;
