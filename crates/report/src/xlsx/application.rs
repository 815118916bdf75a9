//! The name of the program that wrote a workbook.
//!
//! In: a workbook. Out: the same one, with our name in its properties. Not here: any content.
//! Source: ECMA-376, part 1, 22.2 (extended properties).

use super::WorkbookError;
use std::io::{Cursor, Read as _, Write as _};
use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

/// The part that names the program.
const PART: &str = "docProps/app.xml";

/// Writes our own name for the one that the library writes for compatibility.
pub(super) fn named(workbook: Vec<u8>) -> Result<Vec<u8>, WorkbookError> {
    let mut from = ZipArchive::new(Cursor::new(workbook))?;
    let mut to = ZipWriter::new(Cursor::new(Vec::new()));
    for at in 0..from.len() {
        let mut part = from.by_index(at)?;
        if part.name()? == PART {
            let mut text = String::new();
            part.read_to_string(&mut text)?;
            let text = text.replace(
                "<Application>Microsoft Excel</Application>",
                "<Application>Underlid</Application>",
            );
            to.start_file(
                PART,
                SimpleFileOptions::default().last_modified_time(zip::DateTime::default()),
            )?;
            to.write_all(text.as_bytes())?;
        } else {
            to.raw_copy_file(part)?;
        }
    }
    Ok(to.finish()?.into_inner())
}
