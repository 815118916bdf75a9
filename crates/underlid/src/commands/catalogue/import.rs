//! `underlid catalogue import`: tables and symbol libraries of the user's into a catalogue.

use crate::arguments::ImportArguments;
use crate::failure::Failure;
use crate::screen::{self, shown};
use catalogue::{Mapping, Read, Table, symbols};
use std::path::{Path, PathBuf};
use store::limits;
use store::opener::{self, Kind};

const SYMBOLS: &str = "kicad_sym";

pub(super) fn run(arguments: &ImportArguments) -> Result<(), Failure> {
    let files = listed(&arguments.files)?;
    if let Some(rows) = arguments.preview {
        return preview(&files, arguments, rows);
    }
    let Some(into) = &arguments.into else {
        return Err(Failure::Outside {
            message: "no catalogue to import into is named".to_string(),
            remedy: "add --into catalogue.csv, or --preview 10 to look first".to_string(),
        });
    };
    let mut libraries = symbols::Import::default();
    let mut read = Read::default();
    for (n, path) in files.iter().enumerate() {
        super::reading(path, n + 1, files.len());
        if is_library(path) {
            libraries.add(&bytes(path)?, &stem(path));
        } else {
            let (table, mapping) = mapped(path, &arguments.map)?;
            let found = catalogue::import(&table, &mapping);
            read.rows.extend(found.rows);
            read.remarks.extend(found.remarks);
        }
    }
    let found = libraries.finish();
    read.rows.extend(found.rows);
    read.remarks.extend(found.remarks);
    let (merged, changed) = super::add(into, |known| {
        let merged = known.merge(read.rows);
        let changed = merged.added + merged.corrected > 0;
        (merged, changed)
    })?;
    read.remarks.extend(merged.remarks.iter().cloned());
    let mut text = format!("{}: {}", shown(into), super::told(&merged));
    text += if changed {
        "\n"
    } else {
        "; nothing to write\n"
    };
    text += &super::remarks(&read.remarks);
    screen::print(&text)
}

/// Shows what would be read: the columns taken, and the first rows.
fn preview(files: &[PathBuf], arguments: &ImportArguments, rows: usize) -> Result<(), Failure> {
    let mut text = String::new();
    for path in files {
        text += &format!("{}\n", shown(path));
        if is_library(path) {
            let library = symbols::library(&bytes(path)?, &stem(path));
            text += &format!("  {} symbols\n", library.symbols.len());
            for symbol in library.symbols.iter().take(rows) {
                text += &format!("  {}: {}\n", symbol.name, symbol.description);
            }
            text += &super::remarks(&library.remarks);
            continue;
        }
        let (table, mapping) = mapped(path, &arguments.map)?;
        for (column, heading) in mapping.pairs() {
            text += &format!("  {column} is read from “{heading}”\n");
        }
        for heading in mapping.unused() {
            text += &format!("  “{heading}” is not read; to read it: --map COLUMN=\"{heading}\"\n");
        }
        for row in catalogue::preview(&table, &mapping, rows) {
            match row.part {
                Ok(part) => {
                    let known = [&part.maker, &part.role, &part.packages.join(" | ")];
                    let known: Vec<&str> = known
                        .into_iter()
                        .map(String::as_str)
                        .filter(|t| !t.is_empty())
                        .collect();
                    text += &format!("  line {}: {}  {}\n", row.line, part.name, known.join(", "));
                }
                Err(remarks) => {
                    for remark in remarks {
                        text += &format!("  refused: {remark}\n");
                    }
                }
            }
        }
    }
    screen::print(&text)
}

fn mapped(path: &Path, pairs: &[String]) -> Result<(Table, Mapping), Failure> {
    let name = shown(path);
    let wrong = |message: String| Failure::Outside {
        message,
        remedy: "look first with --preview 10".to_string(),
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
fn listed(named: &[PathBuf]) -> Result<Vec<PathBuf>, Failure> {
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
            return Err(Failure::Outside {
                message: format!("{} holds no symbol library (*.{SYMBOLS})", shown(path)),
                remedy: "name a folder of symbol libraries, or files".to_string(),
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

fn bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    let most = if is_library(path) {
        limits::SYMBOLS
    } else {
        limits::TABLE
    };
    Ok(opener::read(path, most)?)
}
