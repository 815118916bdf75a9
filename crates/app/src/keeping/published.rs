//! What was published of a dossier, beside its text: a list of the publications, and the files that went out.
//!
//! As JSON: `{"format": "underlid-published 1", "publications": [{"version": 1, "revision": 4, …, "files": [{"path":
//! "report.html", "sha256": …}, …]}, …], "leaving-out": {…}}`. The files of version 1 lie in `published/1/`.
//! In: publications; the list and the names beside it. Out: the list; publications whose files are all there.
//! Not here: which revisions there are (`library`).

use crate::Problem;
use library::{FileEntry, LeavingOut, Publication};
use record::visible;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

const FORMAT: &str = "underlid-published 1";

/// Name of the list.
pub(super) const PUBLISHED: &str = "published.json";

/// Folder in which the files lie, each version in its own.
pub(super) const FOLDER: &str = "published";

/// Publications of a dossier, and what is left out of the next.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Published {
    format: String,
    publications: Vec<Publication>,
    #[serde(default)]
    leaving_out: LeavingOut,
}

/// Publications that came in, with the paths in the source that hold their files.
#[derive(Debug, Default)]
pub(super) struct Read {
    pub(super) publications: Vec<Publication>,
    pub(super) leaving_out: LeavingOut,
    /// Files by the paths they have in the source.
    pub(super) files: BTreeMap<String, FileEntry>,
}

/// Returns where a file of a version lies beside the dossier.
pub(super) fn path(version: u64, file: &FileEntry) -> String {
    format!("{FOLDER}/{version}/{}", file.path)
}

/// Writes the list.
///
/// # Errors
/// A fault of the program.
pub(super) fn write(
    publications: Vec<Publication>,
    leaving_out: LeavingOut,
) -> Result<Vec<u8>, Problem> {
    let published = Published {
        format: FORMAT.to_string(),
        publications,
        leaving_out,
    };
    serde_json::to_vec(&published).map_err(|e| Problem::internal(&e.to_string()))
}

/// Reads the list. `there` are the paths in the source below the folder.
///
/// # Errors
/// Something else in the list; a file of it that is not there.
pub(super) fn read(bytes: &[u8], there: &[String], shown: &str) -> Result<Read, Problem> {
    let unread = |why: &str| unread(shown, why);
    let list: Published = serde_json::from_slice(bytes).map_err(|e| unread(&e.to_string()))?;
    if list.format != FORMAT {
        return Err(unread(&format!("its format is “{}”", list.format)));
    }
    let there: BTreeSet<&str> = there.iter().map(String::as_str).collect();
    let mut files = BTreeMap::new();
    for publication in &list.publications {
        let version = publication.version;
        for file in &publication.files {
            let path = path(version, file);
            if !there.contains(path.as_str()) {
                return Err(unread(&format!("“{path}” is missing")));
            }
            if files.insert(path, file.clone()).is_some() {
                let twice = format!("version {version} names “{}” twice", file.path);
                return Err(unread(&twice));
            }
        }
    }
    Ok(Read {
        publications: list.publications,
        leaving_out: list.leaving_out,
        files,
    })
}

/// Says that a file is not the one that was published.
pub(super) fn another(shown: &str, path: &str) -> Problem {
    unread(
        shown,
        &format!("“{path}” has other bytes than were published"),
    )
}

fn unread(shown: &str, why: &str) -> Problem {
    Problem::refused(
        format!(
            "what was published, in {shown}, cannot be taken in: {}",
            visible(why)
        ),
        "bring the dossier without its history",
    )
}
