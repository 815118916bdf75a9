//! One dossier of a library to a folder or an archive, byte for byte.
//!
//! In: a library, an id, a path that is not there yet. Out: the folder or the archive, whole, or nothing.

use super::history;
use super::published::{self, PUBLISHED};
use super::source::{HISTORY, MOST_FILES};
use crate::{Problem, Watch, shown};
use library::{DossierId, FileEntry, LeavingOut, Library, Publication};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use store::{NewFile, NewFolder, OutputFile, SUBFOLDERS};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

/// What to export.
#[derive(Debug, Clone, Default)]
pub struct ExportOptions {
    /// Where to: an archive if it ends in `.zip`, else a folder.
    pub into: PathBuf,
    /// Which revision [default: the latest].
    pub revision: Option<u64>,
    /// Leave its history and what was published of it.
    pub alone: bool,
}

/// What was exported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exported {
    /// Number of the revision.
    pub revision: u64,
    /// Number of files beside the text.
    pub files: usize,
    /// Number of publications.
    pub publications: usize,
}

/// Writes a dossier out of a library.
///
/// # Errors
/// No such dossier or revision; something at the path; files that are damaged; no room.
pub async fn export(
    library: &Library,
    id: &DossierId,
    options: &ExportOptions,
    watch: &(dyn Watch + Sync),
) -> Result<Exported, Problem> {
    let latest = library.head(id).await?.revision;
    let revision = options.revision.unwrap_or(latest);
    let (_, text) = library.revision(id, revision).await?;
    let files = library.files(id).await?;
    let publications = match options.alone {
        true => Vec::new(),
        false => published_until(library, id, revision).await?,
    };
    let files = beside(files, &publications)?;
    let mut out = Out::begin(&options.into)?;
    out.put(store::TEXT, text.into_bytes())?;
    if !options.alone {
        let mut all = Vec::new();
        for number in 1..=revision {
            all.push(library.revision(id, number).await?);
        }
        out.put(HISTORY, history::write(all)?)?;
        let leaving_out = library.leaving_out(id).await?;
        if !publications.is_empty() || leaving_out != LeavingOut::default() {
            let list = published::write(publications.clone(), leaving_out)?;
            out.put(PUBLISHED, list)?;
        }
    }
    for (number, (path, file)) in (1..).zip(&files) {
        if !watch.goes_on() {
            return Err(Problem::stopped());
        }
        watch.step(path, number, files.len());
        let bytes = library.object(&file.sha256).await?;
        out.put(path, bytes.into())?;
    }
    out.finish()?;
    watch.stage(&format!("written to {}", shown(&options.into)));
    Ok(Exported {
        revision,
        files: files.len(),
        publications: publications.len(),
    })
}

/// What was published of a dossier up to a revision; later ones would name revisions that do not go along.
async fn published_until(
    library: &Library,
    id: &DossierId,
    revision: u64,
) -> Result<Vec<Publication>, Problem> {
    let all = library.publications(id).await?.into_iter();
    Ok(all.take_while(|p| p.revision <= revision).collect())
}

/// Every file that is written beside the text, by the path that it gets.
fn beside(
    files: Vec<FileEntry>,
    publications: &[Publication],
) -> Result<Vec<(String, FileEntry)>, Problem> {
    let own = files.into_iter().map(|file| (file.path.clone(), file));
    let mut all: Vec<_> = own.collect();
    for publication in publications {
        let files = publication.files.iter();
        all.extend(files.map(|file| (published::path(publication.version, file), file.clone())));
    }
    match all.len() <= MOST_FILES {
        true => Ok(all),
        false => Err(Problem::refused(
            format!(
                "the dossier and what was published of it are {} files, more than an import takes ({MOST_FILES})",
                all.len()
            ),
            "export the dossier alone, or copy the whole library",
        )),
    }
}

/// What is being written.
enum Out {
    Folder(NewFolder),
    Archive(Box<ZipWriter<NewFile>>),
}

impl Out {
    fn begin(into: &Path) -> Result<Self, Problem> {
        let is_archive = into
            .extension()
            .is_some_and(|e| e.eq_ignore_ascii_case("zip"));
        if is_archive {
            return Ok(Self::Archive(Box::new(ZipWriter::new(NewFile::begin(
                into,
            )?))));
        }
        let folder = NewFolder::begin(into)?;
        SUBFOLDERS
            .iter()
            .try_for_each(|name| folder.put_folder(name))?;
        Ok(Self::Folder(folder))
    }

    fn put(&mut self, path: &str, bytes: Vec<u8>) -> Result<(), Problem> {
        match self {
            Self::Folder(folder) => {
                let path = path.to_string();
                Ok(folder.put(&OutputFile { path, bytes })?)
            }
            Self::Archive(archive) => {
                // Pictures are compressed already. The time is always the same, so equal dossiers give equal archives.
                let method = match record::content_of(&bytes[..bytes.len().min(record::LOOKED_AT)])
                {
                    record::Content::Picture => CompressionMethod::Stored,
                    _ => CompressionMethod::Deflated,
                };
                let options = SimpleFileOptions::default()
                    .compression_method(method)
                    .last_modified_time(zip::DateTime::default());
                archive.start_file(path, options)?;
                archive
                    .write_all(&bytes)
                    .map_err(zip::result::ZipError::from)?;
                Ok(())
            }
        }
    }

    fn finish(self) -> Result<(), Problem> {
        match self {
            Self::Folder(folder) => Ok(folder.finish()?),
            Self::Archive(archive) => Ok(archive.finish()?.finish()?),
        }
    }
}
