//! Captions of a film proof-read against the dossier.
//!
//! In: a dossier's folder with `captions/*.vtt` or `.srt`. Out: a folder with each of them corrected under its own
//! name and `corrections.json`, written whole.
//! Not here: what the dossier calls things (`terms`), which words are what (the crate `captions`).

mod terms;

use crate::{Problem, Watch, dossier, known, shown};
use captions::{CaptionError, Correction, ENGLISH, Format, Thresholds, Vocabulary};
use methods::Known;
use record::Dossier;
use serde::Serialize;
use std::path::{Path, PathBuf};
use store::{Output, OutputFile, limits, opener};

/// The folder of a dossier in which captions lie.
pub(crate) const FOLDER: &str = "captions";

const PROOF_READ: Output = Output {
    kind: "captions",
    unmarked: &[],
};

/// What is proof-read.
#[derive(Debug, Clone, Default)]
pub struct CaptionOptions {
    /// The dossier's folder.
    pub folder: PathBuf,
    /// Folder for what was corrected; `proof-read` in the dossier's folder if not given.
    pub into: Option<PathBuf>,
    /// Catalogues of known parts besides those in the folder.
    pub catalogues: Vec<PathBuf>,
}

/// One entry of `corrections.json`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Listed {
    /// The caption file, where there are several.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// What becomes of which words.
    #[serde(flatten)]
    pub correction: Correction,
}

/// One caption file that was proof-read.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Film {
    /// Its name.
    pub file: String,
    /// How many cues it has.
    pub cues: usize,
    /// How many words it has.
    pub words: usize,
    /// What should stand otherwise, in the order of the film; what the analyst accepted is made whatever its
    /// probability.
    pub corrections: Vec<Correction>,
    /// What the analyst refused: proposed no more.
    pub refused: Vec<Correction>,
    /// What is wrong with the file itself, the first ones in words; it was read around.
    pub faults: Vec<String>,
    /// How many there are in all.
    pub fault_count: usize,
}

/// Captions that were proof-read.
#[derive(Debug, Clone, PartialEq)]
pub struct ProofRead {
    /// Where they lie.
    pub into: PathBuf,
    /// The files written.
    pub files: Vec<OutputFile>,
    /// What was found, film by film, in the order of their names.
    pub films: Vec<Film>,
}

/// Proof-reads the captions of a dossier.
///
/// # Errors
/// The dossier's mistakes; no captions; a caption file that cannot be read; a folder that may not be filled.
pub fn captions(options: &CaptionOptions, watch: &dyn Watch) -> Result<ProofRead, Problem> {
    let folder = &options.folder;
    let into = options
        .into
        .clone()
        .unwrap_or_else(|| folder.join("proof-read"));
    PROOF_READ.may_fill(&into)?;
    let dossier = dossier::open(folder, watch)?.published();
    let known = known::load(Some(folder), &options.catalogues, watch)?;
    let vocabulary = vocabulary(&dossier, &known);
    let names = names(folder)?;
    let (mut files, mut films) = (Vec::new(), Vec::new());
    for (number, name) in names.iter().enumerate() {
        if !watch.goes_on() {
            return Err(Problem::stopped());
        }
        watch.step(&format!("proof-reading {name}"), number + 1, names.len());
        let at = folder.join(FOLDER).join(name);
        let bytes = opener::read_inside(folder, Path::new(FOLDER).join(name), limits::CAPTIONS)?;
        let (film, bytes) = proof_read(name, &bytes, &vocabulary, &dossier)
            .map_err(|error| Problem::from(error).at(&at))?;
        files.push(OutputFile {
            path: name.clone(),
            bytes,
        });
        films.push(film);
    }
    let list = serde_json::to_string_pretty(&listed(&films))
        .map_err(|error| Problem::internal(&error.to_string()))?;
    files.push(OutputFile {
        path: "corrections.json".into(),
        bytes: format!("{list}\n").into_bytes(),
    });
    PROOF_READ.write(&into, &files)?;
    Ok(ProofRead { into, files, films })
}

/// All corrections in one list; where there are several films, each says of which it is.
fn listed(films: &[Film]) -> Vec<Listed> {
    let all = films.iter().flat_map(|film| {
        film.corrections.iter().map(|correction| Listed {
            file: (films.len() > 1).then(|| film.file.clone()),
            correction: correction.clone(),
        })
    });
    all.collect()
}

/// The names of the caption files of a dossier, sorted.
fn names(folder: &Path) -> Result<Vec<String>, Problem> {
    let mut found = Vec::new();
    for name in opener::names_inside(folder, FOLDER)? {
        let readable = name.to_string_lossy();
        if Format::of_name(&readable).is_none() {
            continue;
        }
        let Some(name) = name.to_str() else {
            let message = format!("the name {} is no Unicode text", shown(&name));
            return Err(Problem::refused(message, "rename the file").at(&folder.join(FOLDER)));
        };
        found.push(name.to_string());
    }
    if found.is_empty() {
        let place = folder.join(FOLDER);
        let message = format!("there are no captions in {}", shown(&place));
        let remedy = "put files ending with .vtt or .srt there";
        return Err(Problem::missing(message, remedy).at(&place));
    }
    Ok(found)
}

/// What a dossier may be spoken of, ready to be looked for.
pub(crate) fn vocabulary(dossier: &Dossier, known: &Known) -> Vocabulary {
    let (terms, existing) = terms::of(dossier, known);
    Vocabulary::new(&terms, &existing, &ENGLISH)
}

/// Proof-reads one file and does what the analyst decided; returns its corrected bytes too.
pub(crate) fn proof_read(
    name: &str,
    bytes: &[u8],
    vocabulary: &Vocabulary,
    dossier: &Dossier,
) -> Result<(Film, Vec<u8>), CaptionError> {
    // Names without a format were passed over.
    let format = Format::of_name(name).unwrap_or(Format::WebVtt);
    let read = captions::read(bytes, format)?;
    let mut found = captions::proof_read(&read, vocabulary, &Thresholds::default());
    let mut refused = Vec::new();
    for correction in &mut found.corrections {
        match ruling(dossier, name, correction) {
            Some(true) => correction.applied = true,
            Some(false) => {
                correction.applied = false;
                refused.push(correction.clone());
            }
            None => {}
        }
    }
    let bytes = found.written(&read)?;
    found.corrections.retain(|c| !refused.contains(c));
    let film = Film {
        file: name.to_string(),
        cues: read.cues.len(),
        words: read.words.len(),
        corrections: found.corrections,
        refused,
        faults: read.faults.iter().map(ToString::to_string).collect(),
        fault_count: read.fault_count,
    };
    Ok((film, bytes))
}

/// What the analyst decided on a correction, if anything.
pub(crate) fn ruling(dossier: &Dossier, file: &str, correction: &Correction) -> Option<bool> {
    let rulings = dossier.caption_rulings.iter();
    let mut own = rulings
        .filter(|r| r.file == file && r.before == correction.before && r.after == correction.after);
    own.next_back().map(|r| r.accepted)
}
