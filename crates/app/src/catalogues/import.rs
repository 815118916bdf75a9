//! Tables and symbol libraries of the user's, into a catalogue.

use crate::{At, Kind as ProblemKind, Problem, Remedy, Watch, shown};
use catalogue::symbols::{self, Library};
use catalogue::{Mapping, Merged, Preview, Read, Remark, Table};
use std::path::{Path, PathBuf};
use store::limits;
use store::opener::{self, Kind};

const SYMBOLS: &str = "kicad_sym";

/// What to import, and how.
#[derive(Debug, Clone, Default)]
pub struct ImportOptions {
    /// Tables and symbol libraries, or folders of the latter.
    pub files: Vec<PathBuf>,
    /// Catalogue to add to; made if it is not there.
    pub into: Option<PathBuf>,
    /// `COLUMN=HEADING`: which heading a column is read from, where guessing it is not enough.
    pub map: Vec<String>,
}

/// What was taken into a catalogue.
#[derive(Debug)]
pub struct Imported {
    /// The catalogue.
    pub into: PathBuf,
    /// What it did to the catalogue.
    pub merged: Merged,
    /// Whether the catalogue was written.
    pub changed: bool,
    /// Whether no row and no symbol could be read.
    pub nothing_read: bool,
    /// What is wrong or worth knowing.
    pub remarks: Vec<Remark>,
}

/// A file as it would be read.
#[derive(Debug)]
pub struct Previewed {
    /// Its path.
    pub path: PathBuf,
    /// What it holds.
    pub content: Content,
}

/// What a file to import holds.
#[derive(Debug)]
pub enum Content {
    /// Symbols.
    Library(Library),
    /// Rows.
    Table {
        /// Which column is read from which heading.
        mapping: Mapping,
        /// The first rows.
        rows: Vec<Preview>,
    },
}

/// Adds tables and symbol libraries to a catalogue.
///
/// # Errors
/// A file that cannot be read; a mapping that does not fit; a catalogue with rows that were refused.
pub fn import(options: &ImportOptions, watch: &dyn Watch) -> Result<Imported, Problem> {
    let files = listed(&options.files)?;
    let Some(into) = &options.into else {
        return Err(Problem::refused(
            "no catalogue to import into is named",
            Remedy::NameCatalogue,
        ));
    };
    let mut libraries = symbols::Import::default();
    let mut tables = Read::default();
    for (n, path) in files.iter().enumerate() {
        super::reading(path, n + 1, files.len(), watch)?;
        if is_library(path) {
            libraries.add(&bytes(path)?, &stem(path));
        } else {
            let (table, mapping) = mapped(path, &options.map)?;
            let found = catalogue::import(&table, &mapping);
            tables.rows.extend(found.rows);
            tables.remarks.extend(found.remarks);
        }
    }
    let symbols = libraries.finish();
    let mut remarks = tables.remarks;
    remarks.extend(symbols.remarks);
    let nothing_read = tables.rows.is_empty() && symbols.rows.is_empty();
    let (merged, changed) = super::add(into, |known| {
        let merged = known.add(tables.rows).and(known.merge(symbols.rows));
        let changed = merged.added + merged.corrected > 0;
        (merged, changed)
    })?;
    remarks.extend(merged.remarks.iter().cloned());
    Ok(Imported {
        into: into.clone(),
        merged,
        changed,
        nothing_read,
        remarks,
    })
}

/// Reads the first `rows` rows of each file as they would be imported; writes nothing.
///
/// # Errors
/// As [`import`], but for the catalogue.
pub fn preview(options: &ImportOptions, rows: usize) -> Result<Vec<Previewed>, Problem> {
    let content = |path: &Path| {
        if is_library(path) {
            return Ok(Content::Library(symbols::library(
                &bytes(path)?,
                &stem(path),
            )));
        }
        let (table, mapping) = mapped(path, &options.map)?;
        let rows = catalogue::preview(&table, &mapping, rows);
        Ok(Content::Table { mapping, rows })
    };
    listed(&options.files)?
        .into_iter()
        .map(|path| content(&path).map(|content| Previewed { path, content }))
        .collect()
}

fn mapped(path: &Path, pairs: &[String]) -> Result<(Table, Mapping), Problem> {
    let name = shown(path);
    let wrong = |message: String| Problem {
        kind: ProblemKind::Refused,
        place: Some(At::Path(path.to_path_buf())),
        message,
        remedy: Remedy::LookFirst,
    };
    let table = Table::from_bytes(&bytes(path)?, &name).map_err(|e| wrong(e.to_string()))?;
    let mut mapping = Mapping::guess(table.heading());
    for pair in pairs {
        mapping
            .set(pair)
            .map_err(|e| wrong(format!("{name}: {e}")))?;
    }
    Ok((table, mapping))
}

/// Returns the files named; a folder stands for the symbol libraries in it.
fn listed(named: &[PathBuf]) -> Result<Vec<PathBuf>, Problem> {
    let mut files = Vec::new();
    for path in named {
        if opener::kind(path)? != Some(Kind::Folder) {
            files.push(path.clone());
            continue;
        }
        let inside: Vec<PathBuf> = opener::names(path)?
            .into_iter()
            .map(|name| path.join(name))
            .filter(|p| is_library(p))
            .collect();
        if inside.is_empty() {
            return Err(Problem {
                kind: ProblemKind::Refused,
                place: Some(At::Path(path.to_path_buf())),
                message: format!("{} holds no symbol library (*.{SYMBOLS})", shown(path)),
                remedy: "name a folder of symbol libraries, or files".into(),
            });
        }
        files.extend(inside);
    }
    Ok(files)
}

fn is_library(path: &Path) -> bool {
    path.extension().is_some_and(|e| e == SYMBOLS)
}

fn stem(path: &Path) -> String {
    path.file_stem()
        .map(|s| s.to_string_lossy().into_owned())
        .unwrap_or_default()
}

fn bytes(path: &Path) -> Result<Vec<u8>, Problem> {
    let most = if is_library(path) {
        limits::SYMBOLS
    } else {
        limits::TABLE
    };
    Ok(opener::read(path, most)?)
}
