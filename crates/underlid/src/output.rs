//! Writing a folder of files so that it appears whole or not at all.

use crate::failure::Failure;
use crate::screen::shown;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

/// One file to write: its path inside the folder and its bytes.
pub(crate) struct OutputFile {
    /// Path inside the folder, `/` between parts.
    pub(crate) path: String,
    /// Content.
    pub(crate) bytes: Vec<u8>,
}

/// Writes `files` as the folder `into`. They are first written beside it and then moved into place
/// with one rename; an earlier report of ours is replaced, anything else is left alone.
pub(crate) fn write_folder(into: &Path, files: &[OutputFile]) -> Result<(), Failure> {
    refuse_foreign_content(into, files)?;
    let parent = match into.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    };
    fs::create_dir_all(&parent).map_err(|e| Failure::io("make the folder", &parent, &e))?;
    let staging = beside(&parent, into, "partial");
    let written = fill(&staging, files).and_then(|()| swap(&staging, &parent, into));
    if written.is_err() {
        // The staging folder is ours alone; a failure to clear it must not hide the first one.
        let _ = fs::remove_dir_all(&staging);
    }
    written
}

/// Writes one file so that it appears whole or not at all; an earlier one is replaced.
pub(crate) fn write_file(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let parent = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    };
    fs::create_dir_all(&parent).map_err(|e| Failure::io("make the folder", &parent, &e))?;
    let staging = beside(&parent, path, "partial");
    let written = write_through(&staging, bytes)
        .map_err(|e| Failure::io("write", path, &e))
        .and_then(|()| fs::rename(&staging, path).map_err(|e| Failure::io("write", path, &e)));
    if written.is_err() {
        // The staging file is ours alone; a failure to clear it must not hide the first one.
        let _ = fs::remove_file(&staging);
    }
    written
}

fn write_through(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut out = fs::File::create(path)?;
    out.write_all(bytes)?;
    // A full disk may show only here.
    out.sync_all()
}

/// Names a hidden file or folder beside `into` that no other run uses.
fn beside(parent: &Path, into: &Path, word: &str) -> PathBuf {
    let name = into.file_name().unwrap_or_default().to_string_lossy();
    parent.join(format!(".{name}.{word}-{}", std::process::id()))
}

/// Refuses to replace a folder that holds a file we would not write ourselves.
fn refuse_foreign_content(into: &Path, files: &[OutputFile]) -> Result<(), Failure> {
    let entries = match fs::read_dir(into) {
        Ok(entries) => entries,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(e) => return Err(Failure::io("look into", into, &e)),
    };
    for entry in entries {
        let entry = entry.map_err(|e| Failure::io("look into", into, &e))?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let ours = files
            .iter()
            .any(|f| f.path.split('/').next() == Some(name.as_str()));
        if !ours {
            return Err(Failure::Outside {
                message: format!(
                    "{} already holds '{name}', which is not part of a report",
                    shown(into)
                ),
                remedy: "choose an empty or new folder with --into FOLDER".to_string(),
            });
        }
    }
    Ok(())
}

fn fill(staging: &Path, files: &[OutputFile]) -> Result<(), Failure> {
    for file in files {
        let path = staging.join(&file.path);
        let folder = path.parent().unwrap_or(staging);
        fs::create_dir_all(folder).map_err(|e| Failure::io("make the folder", folder, &e))?;
        write_through(&path, &file.bytes).map_err(|e| Failure::io("write", &path, &e))?;
    }
    Ok(())
}

fn swap(staging: &Path, parent: &Path, into: &Path) -> Result<(), Failure> {
    let earlier = beside(parent, into, "earlier");
    let had_one = into.exists();
    if had_one {
        fs::rename(into, &earlier).map_err(|e| Failure::io("replace", into, &e))?;
    }
    if let Err(e) = fs::rename(staging, into) {
        if had_one {
            // Put the earlier report back; the first failure is the one to tell.
            let _ = fs::rename(&earlier, into);
        }
        return Err(Failure::io("write", into, &e));
    }
    if had_one {
        fs::remove_dir_all(&earlier).map_err(|e| Failure::io("remove", &earlier, &e))?;
    }
    Ok(())
}
