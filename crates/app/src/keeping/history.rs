//! The history of a dossier as one file beside its text.
//!
//! As JSON: `{"format": "underlid-history 1", "revisions": [{"number": 1, "at": …, "by": …, "text": …}, …]}`.

use crate::Problem;
use library::Revision;
use record::visible;
use serde::{Deserialize, Serialize};

const FORMAT: &str = "underlid-history 1";

#[derive(Serialize, Deserialize)]
struct History {
    format: String,
    revisions: Vec<Entry>,
}

#[derive(Serialize, Deserialize)]
struct Entry {
    #[serde(flatten)]
    revision: Revision,
    text: String,
}

/// Writes revisions and the texts after them.
///
/// # Errors
/// A fault of the program.
pub(super) fn write(history: Vec<(Revision, String)>) -> Result<Vec<u8>, Problem> {
    let revisions = history
        .into_iter()
        .map(|(revision, text)| Entry { revision, text })
        .collect();
    let format = FORMAT.to_string();
    serde_json::to_vec(&History { format, revisions })
        .map_err(|e| Problem::internal(&e.to_string()))
}

/// Reads them back.
///
/// # Errors
/// Something else in the file.
pub(super) fn read(bytes: &[u8], shown: &str) -> Result<Vec<(Revision, String)>, Problem> {
    let unread = |why: String| {
        Problem::refused(
            format!("the history in {shown} cannot be read: {}", visible(&why)),
            "bring the dossier without its history",
        )
    };
    let history: History = serde_json::from_slice(bytes).map_err(|e| unread(e.to_string()))?;
    if history.format != FORMAT {
        return Err(unread(format!("its format is “{}”", history.format)));
    }
    let entries = history.revisions.into_iter();
    Ok(entries.map(|entry| (entry.revision, entry.text)).collect())
}
