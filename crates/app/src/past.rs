//! Texts that were published before a library was there: read for parts, and taken into it.
//!
//! In: files and folders with articles and captions; a list in which a person wrote yes or no. Out: products with
//! what their texts speak of; the list to write in; products of the library with what was accepted.
//! Not here: what a part number is (the crate `past`); decisions in the workbench (`desk`).

mod list;
mod product;
mod take;

pub use list::{Listed, read_list, write_list};
pub use take::{PastTaken, Taking, take};

use crate::{Problem, Watch, known, shown};
use ::past::{Format, Found, Known, LARGEST, find, read};
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use store::opener::{self, Kind};

/// The folder of a dossier in which texts published before lie.
pub(crate) const FOLDER: &str = "past";

/// How deep folders are looked through.
const DEEPEST: usize = 16;
/// Most files of one run.
const MOST: usize = 10_000;

/// What is read.
#[derive(Debug, Clone, Default)]
pub struct PastOptions {
    /// Files, and folders that are looked through.
    pub texts: Vec<PathBuf>,
    /// Catalogues whose makers and parts are known.
    pub catalogues: Vec<PathBuf>,
}

/// A text that was published before.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PastText {
    /// Name of the file.
    pub file: String,
    /// What it speaks of.
    pub found: Found,
    /// Its bytes.
    #[serde(skip)]
    pub bytes: Vec<u8>,
}

/// What was opened, and the texts on it: those whose files have the same name but for the ending.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PastProduct {
    /// Its name, as the first of the texts calls it.
    pub product: String,
    /// The texts.
    pub texts: Vec<PastText>,
}

/// Texts that were read.
#[derive(Debug, Clone, Default)]
pub struct PastRead {
    /// By product.
    pub products: Vec<PastProduct>,
    /// Files that could not be read, and why.
    pub unread: Vec<Problem>,
}

/// Reads texts for the parts they speak of; nothing is written. A file that cannot be read is told, and the others go
/// on.
///
/// # Errors
/// Nothing to read; a path that is not there; a catalogue that cannot be read; no text that could be read.
pub fn past(options: &PastOptions, watch: &dyn Watch) -> Result<PastRead, Problem> {
    let known = known::load(None, &options.catalogues, watch)?;
    let known = vocabulary(&known);
    let files = files(&options.texts)?;
    let mut read = PastRead::default();
    let mut by_stem: BTreeMap<PathBuf, Vec<PastText>> = BTreeMap::new();
    for (number, path) in files.iter().enumerate() {
        if !watch.goes_on() {
            return Err(Problem::stopped());
        }
        watch.step(&format!("reading {}", shown(path)), number + 1, files.len());
        match text_at(path, &known) {
            Ok(text) => by_stem
                .entry(path.with_extension(""))
                .or_default()
                .push(text),
            Err(problem) => read.unread.push(problem),
        }
    }
    if by_stem.is_empty() {
        return Err(match read.unread.into_iter().next() {
            Some(problem) => problem,
            None => Problem::missing(
                "there is no text to read",
                format!("name files that end with {}", Format::ENDINGS),
            ),
        });
    }
    read.products = by_stem
        .into_values()
        .map(|texts| PastProduct {
            product: product::named(&texts),
            texts,
        })
        .collect();
    Ok(read)
}

fn text_at(path: &Path, known: &Known) -> Result<PastText, Problem> {
    let bytes = opener::read(path, LARGEST)?;
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    let file = name.unwrap_or_default();
    let found = found(&file, &bytes, known).map_err(|error| {
        let problem = Problem::from(error).at(path);
        let message = format!("{}: {}", shown(path), problem.message);
        Problem { message, ..problem }
    })?;
    Ok(PastText { file, found, bytes })
}

/// Reads one text; captions have no title, so that the name of their file stands for it.
pub(crate) fn found(file: &str, bytes: &[u8], known: &Known) -> Result<Found, ::past::PastError> {
    // Names without a form were passed over.
    let format = Format::of_name(file).unwrap_or(Format::Plain);
    let mut text = read(bytes, format)?;
    if text.title.is_none() {
        text.title = Some(product::of_file(file));
    }
    Ok(find(&text, known))
}

/// The makers and numbers of catalogues.
pub(crate) fn vocabulary(known: &methods::Known) -> Known {
    Known::new(
        known
            .parts()
            .iter()
            .map(|part| (part.name.as_str(), part.maker.as_str())),
    )
}

/// The files that are meant, sorted, each once.
fn files(texts: &[PathBuf]) -> Result<Vec<PathBuf>, Problem> {
    let mut found = Vec::new();
    for path in texts {
        match opener::kind(path)? {
            Some(Kind::Folder) => inside(path, 0, &mut found)?,
            None => {
                let message = format!("there is no {}", shown(path));
                return Err(
                    Problem::missing(message, "name a file or a folder that is there").at(path),
                );
            }
            Some(_) if Format::of_name(&path.to_string_lossy()).is_none() => {
                let message = format!("{} is no text that is read", shown(path));
                let remedy = format!("name files that end with {}", Format::ENDINGS);
                return Err(Problem::refused(message, remedy).at(path));
            }
            Some(_) => found.push(path.clone()),
        }
    }
    found.sort();
    found.dedup();
    Ok(found)
}

fn inside(folder: &Path, depth: usize, found: &mut Vec<PathBuf>) -> Result<(), Problem> {
    for name in opener::names(folder)? {
        let path = folder.join(&name);
        let readable = name.to_string_lossy();
        if readable.starts_with('.') {
            continue;
        }
        match opener::kind(&path)? {
            Some(Kind::Folder) if depth < DEEPEST => inside(&path, depth + 1, found)?,
            Some(Kind::File) if Format::of_name(&readable).is_some() => found.push(path),
            _ => {}
        }
        if found.len() > MOST {
            let message = format!("{} holds more than {MOST} texts", shown(folder));
            return Err(Problem::refused(message, "name fewer folders at once").at(folder));
        }
    }
    Ok(())
}
