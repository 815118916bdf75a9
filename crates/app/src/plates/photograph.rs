//! A photograph that arrives: looked at, kept, and the edits that record it.
//!
//! In: a dossier, the bytes of a file and what it is called. Out: the id and the edits of a new photograph, or that it
//! is there already. The file is kept as it came; its entry is written by who sent it.

use super::{Plates, path};
use crate::desk::View;
use crate::{Problem, desk};
use bytes::Bytes;
use imaging::pixels::{Format, metadata};
use library::FileEntry;
use record::{Edit, Moment, Place, Position};
use serde_json::json;

/// What became of a photograph.
#[derive(Debug, Clone, PartialEq)]
pub enum Arrived {
    /// Its file is kept; these edits record it.
    New {
        /// Id of the photograph.
        photo: String,
        /// SHA-256 of its file.
        sha256: String,
        /// The edits.
        edits: Vec<Edit>,
    },
    /// A photograph of the same content is recorded.
    Here {
        /// Id of that photograph.
        photo: String,
        /// SHA-256 of its file.
        sha256: String,
    },
}

/// Letters of a file's name that are kept.
const LONGEST: usize = 60;

impl Plates {
    /// Takes a photograph in. It belongs to the step that is running, if one is.
    ///
    /// # Errors
    /// Bytes that are no sound picture, or too large a one: nothing is kept then. No room.
    pub async fn bring(&self, view: &View, name: &str, bytes: Bytes) -> Result<Arrived, Problem> {
        let name = record::visible(name);
        let named = name.clone();
        let entry = {
            let bytes = bytes.clone();
            desk::blocking(move || Ok(FileEntry::of(&named, &bytes))).await?
        };
        if let Some(here) = recorded(view, &entry.sha256) {
            return Ok(here);
        }
        self.decode(&entry.sha256, bytes.clone(), &name).await?;
        let turn = format!("files of {}", view.id.as_str());
        let _turn = self.turn(&turn).await;
        let files = self.library.files(&view.id).await?;
        let lies = files.iter().find(|file| file.sha256 == entry.sha256);
        let file = match lies.and_then(|file| file.path.strip_prefix("photos/")) {
            Some(file) => file.to_string(),
            None => {
                let taken = |stem: &str| {
                    let begin = path(&format!("{stem}."));
                    let file = files.iter().any(|file| file.path.starts_with(&begin));
                    file || view.dossier.photo(&id(stem)).is_some()
                };
                let stem = crate::free_id(&stem(&name), taken);
                let file = format!("{stem}.{}", extension(&bytes));
                let path = path(&file);
                let kept = self.library.add_file(&view.id, &path, bytes.clone());
                kept.await?;
                file
            }
        };
        let photo = crate::free_id(&id(&file), |id| view.dossier.photo(id).is_some());
        let mut entry_json = json!({ "id": photo, "file": file, "caption": caption(&name) });
        let taken = metadata::find(&bytes).ok().and_then(|notes| notes.taken);
        if let Some(taken) = taken.filter(|text| text.parse::<Moment>().is_ok()) {
            entry_json["taken"] = json!(taken);
        }
        if let Some(step) = running(view) {
            entry_json["after"] = json!(step);
        }
        let edits = vec![Edit::Add {
            to: Place::dossier().at("photos"),
            entry: entry_json,
            position: Position::Last,
        }];
        Ok(Arrived::New {
            photo,
            sha256: entry.sha256,
            edits,
        })
    }
}

/// Returns the recorded photograph of this content.
fn recorded(view: &View, sha256: &str) -> Option<Arrived> {
    let mut same = view.files.0.iter().filter(|file| file.sha256 == sha256);
    let photo = same.find_map(|file| {
        let mut photos = view.dossier.photos.iter();
        photos.find(|photo| path(&photo.file) == file.path)
    })?;
    Some(Arrived::Here {
        photo: photo.id.clone(),
        sha256: sha256.to_string(),
    })
}

/// Returns the step that was begun last and is not finished.
fn running(view: &View) -> Option<&str> {
    let mut steps = view.dossier.steps.iter().rev();
    let open = steps.find(|step| step.is_running())?;
    Some(&open.id)
}

/// The name of a file without folders and ending, in letters that every system takes.
fn stem(name: &str) -> String {
    let file = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let plain = |c: char| match c {
        c if c.is_ascii_alphanumeric() || c == '-' || c == '_' => c,
        _ => '-',
    };
    let stem: String = stem.chars().map(plain).take(LONGEST).collect();
    let stem = stem.trim_matches(['-', '_']);
    match stem.is_empty() {
        true => "photograph".to_string(),
        false => stem.to_string(),
    }
}

/// The id of a photograph, from the name of its file.
fn id(file: &str) -> String {
    stem(file).to_ascii_lowercase()
}

/// What a photograph is called until somebody says what it shows.
fn caption(name: &str) -> String {
    let file = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem).trim();
    match stem.is_empty() {
        true => "Photograph".to_string(),
        false => stem.to_string(),
    }
}

fn extension(bytes: &[u8]) -> &'static str {
    match Format::of(bytes) {
        Some(Format::Png) => "png",
        Some(Format::WebP) => "webp",
        Some(Format::Tiff) => "tif",
        Some(Format::Gif) => "gif",
        Some(Format::Jpeg) | None => "jpg",
    }
}
