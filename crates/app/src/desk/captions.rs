//! Captions that a dossier of a library holds, proof-read.
//!
//! In: a view. Out: each film with its corrections beside the words of their cues. Not here: how they are found
//! (`captions`), writing what was decided (`record`).

use super::{Desk, blocking};
use crate::captions::{FOLDER, Film, proof_read, vocabulary};
use crate::{Problem, shown};
use ::captions::Format;
use library::DossierId;

/// A film, or why its captions cannot be read.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenFilm {
    /// The file inside `captions/`.
    pub file: String,
    /// What was found.
    pub film: Result<Film, Problem>,
    /// The words of each cue.
    pub cues: Vec<String>,
}

impl Desk {
    /// Proof-reads the captions of a dossier, in the order of their names.
    ///
    /// # Errors
    /// No such dossier; a library that cannot be reached.
    pub async fn captions(&self, id: &DossierId) -> Result<Vec<SeenFilm>, Problem> {
        let view = self.view(id).await?;
        let mut files = Vec::new();
        let there = view.files.below(FOLDER);
        for (name, entry) in there.filter(|(name, _)| Format::of_name(name).is_some()) {
            let bytes = self.library.bytes(&view.id, &entry.path).await?;
            files.push((name.to_string(), bytes));
        }
        if files.is_empty() {
            return Ok(Vec::new());
        }
        files.sort_by(|a, b| a.0.cmp(&b.0));
        blocking(move || {
            let dossier = view.dossier.published();
            let vocabulary = vocabulary(&dossier, &view.known);
            let films = files.into_iter().map(|(file, bytes)| {
                let read = proof_read(&file, &bytes, &vocabulary, &dossier);
                let film = read
                    .map(|(film, _)| film)
                    .map_err(|error| Problem::from(error).at(std::path::Path::new(&shown(&file))));
                SeenFilm {
                    cues: spoken(&file, &bytes),
                    film,
                    file,
                }
            });
            Ok(films.collect())
        })
        .await
    }
}

/// The words of each cue of a film that can be read.
fn spoken(file: &str, bytes: &[u8]) -> Vec<String> {
    let format = Format::of_name(file).unwrap_or(Format::WebVtt);
    let Ok(read) = ::captions::read(bytes, format) else {
        return Vec::new();
    };
    let words = |range: std::ops::Range<usize>| {
        let words: Vec<&str> = read.words[range].iter().map(|w| w.text.as_str()).collect();
        words.join(" ")
    };
    read.cues
        .iter()
        .map(|cue| words(cue.words.clone()))
        .collect()
}
