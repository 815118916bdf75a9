//! The logs of a bundle: the measured numbers as they came, private text withheld.
//!
//! In: the folder, the record as it may be published. Out: the files, and what the methods take from them: the same that
//! a reader works with. Not here: which texts are private (`record`).

use super::add_once;
use crate::recorded::{is_workbook, read};
use crate::{Problem, Watch, shown};
use catalogue::Table;
use methods::Recorded;
use record::{Dossier, Private};
use std::path::Path;
use std::sync::Arc;
use store::{OutputFile, limits, opener};

/// Adds the logs to the files of a bundle. One whose name is private takes that of its entry.
///
/// # Errors
/// A log that is too long for a bundle, or a workbook that holds private text; work that was stopped.
pub(super) fn put(
    folder: &Path,
    public: &mut Dossier,
    private: &Private,
    files: &mut Vec<OutputFile>,
    watch: &dyn Watch,
) -> Result<Recorded, Problem> {
    let mut recorded = Recorded::none();
    for log in &mut public.logs {
        let path = format!("logs/{}", log.file);
        let bytes = match opener::read_inside(folder, &path, limits::TABLE) {
            Ok(bytes) => without(bytes, &folder.join(&path), private)?,
            Err(e) if matches!(e.fault, opener::OpenFault::TooLarge { .. }) => {
                let message = format!("{} is too long for a bundle: {}", shown(&path), e.reason());
                let remedy = "cut the log to what is told of it, or publish without a bundle";
                return Err(Problem::refused(message, remedy).at(&folder.join(&path)));
            }
            // What cannot be read has been named by its finding; readers of the bundle miss it likewise.
            Err(e) => {
                recorded.put(&log.id, Err(e.reason()));
                continue;
            }
        };
        let found = read(&bytes, log, watch)?;
        recorded.put(&log.id, found.map(Arc::new));
        if private.withheld_from(&log.file).is_some() {
            let ending = Path::new(&log.file).extension().unwrap_or_default();
            let named = Path::new(&log.id).with_extension(ending);
            log.file = named.to_string_lossy().into_owned();
        }
        add_once(files, &format!("logs/{}", log.file), bytes);
    }
    Ok(recorded)
}

/// Returns a log without private text.
fn without(bytes: Vec<u8>, path: &Path, private: &Private) -> Result<Vec<u8>, Problem> {
    if private.is_empty() {
        return Ok(bytes);
    }
    let name = shown(path);
    if is_workbook(path) {
        let table = Table::from_workbook(&bytes, &name, None);
        let held = table.is_ok_and(|table| {
            let heading = table.heading().iter().map(String::as_str);
            let cells = table.rows().flat_map(|(_, row)| row);
            let mut texts = heading.chain(cells.map(|cell| cell.unwrap_or_else(|raw| raw)));
            texts.any(|text| private.withheld_from(text).is_some())
        });
        if held {
            let message = format!("{name} holds text that is recorded as private");
            let remedy = "save its sheet as CSV, which is published without such text, and name that in the record";
            return Err(Problem::refused(message, remedy).at(path));
        }
        return Ok(bytes);
    }
    // A file that is no text is a log that cannot be read, which its finding says.
    let replaced = ::logs::replaced(&bytes[..], &name, |text| private.withheld_from(text));
    Ok(replaced.ok().flatten().unwrap_or(bytes))
}
