//! Imports a folder of symbol libraries, says how long it took, and writes the catalogue where a
//! second argument says:
//! `cargo run --release -p underlid-catalogue --example import_symbols -- FOLDER [CATALOGUE.csv]`.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]

use catalogue::symbols::Import;
use catalogue::{Catalogue, read, write};
use std::time::Instant;

fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| ".".to_string());
    let mut files: Vec<_> = std::fs::read_dir(folder)?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "kicad_sym"))
        .collect();
    files.sort();
    let start = Instant::now();
    let (mut import, mut bytes, mut symbols) = (Import::default(), 0, 0);
    for path in &files {
        let text = std::fs::read(path)?;
        bytes += text.len();
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        symbols += import.add(&text, &name).symbols;
    }
    let imported = start.elapsed();
    let mut parts = Catalogue::default();
    let merged = parts.merge(import.finish().rows);
    let all = start.elapsed();
    println!(
        "{} files, {} MB, {symbols} symbols, {} parts: read in {imported:?}, merged in {all:?}",
        files.len(),
        bytes / 1_000_000,
        merged.added,
    );
    let text = write(&parts);
    if let Some(path) = std::env::args().nth(2) {
        std::fs::write(path, &text)?;
    }
    let start = Instant::now();
    let again = read(text.as_bytes(), "catalogue.csv");
    println!(
        "the same as a catalogue file: {} MB, {} rows read in {:?}",
        text.len() / 1_000_000,
        again.rows.len(),
        start.elapsed()
    );
    Ok(())
}
