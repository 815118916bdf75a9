//! From text to a dossier.

use crate::check::check;
use crate::grammar::ROOT;
use crate::upgrade::upgrade;
use crate::{Dossier, Files, Problem, Problems};

/// The version of the text format this crate reads and writes.
pub const FORMAT: u32 = 1;

/// Reads and checks the text of a dossier, of this form or an earlier one ([`crate::upgrade()`]). `file` is
/// the name problems are reported under; `files` says what lies in the folder ([`crate::AnyFile`], a closure
/// over paths such as `photos/lid.png`, or the folder on disk).
///
/// # Errors
/// Every problem found, in the order of the text.
pub fn read_text(text: &str, file: &str, files: &dyn Files) -> Result<Dossier, Problems> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let text = &upgrade(text);
    let values = check(&ROOT, text, file, files)?;
    let dossier: Dossier = serde_json::from_value(values).map_err(|e| {
        Problem::outside(
            file,
            format!("the dossier cannot be read: {e}"),
            "correct the value named",
        )
    })?;
    Ok(dossier)
}
