//! The open symbol set as installed, read as parts. Nothing of it is kept here (CC-BY-SA 4.0).

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]

use catalogue::Part;
use catalogue::symbols::Import;

/// Where Debian's package `kicad-symbols` puts it.
pub const FOLDER: &str = "/usr/share/kicad/symbols";

/// Reads every library of a folder, in the order of their names.
///
/// # Errors
/// What cannot be read, or that there is no library.
pub fn read(folder: &str) -> Result<Vec<Part>, String> {
    let files = std::fs::read_dir(folder).map_err(|e| format!("{folder}: {e}"))?;
    let mut names: Vec<String> = files
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|file| Some(file.strip_suffix(".kicad_sym")?.to_string()))
        .collect();
    names.sort();
    let mut import = Import::default();
    for name in names {
        let path = format!("{folder}/{name}.kicad_sym");
        let bytes = std::fs::read(&path).map_err(|e| format!("{path}: {e}"))?;
        import.add(&bytes, &name);
    }
    if import.is_empty() {
        return Err(format!("{folder}: there is no library"));
    }
    let rows = import.finish().rows.into_iter();
    Ok(rows.map(|row| row.part).collect())
}

/// Reads the installed set; where it is absent a test says by name that it was skipped, and fails
/// instead where nothing may be skipped.
pub fn installed(test: &str) -> Option<Vec<Part>> {
    read(FOLDER)
        .map_err(|error| {
            let message = format!("{test} skipped: {error}; install the package kicad-symbols");
            assert!(
                std::env::var_os("UNDERLID_NOTHING_SKIPPED").is_none(),
                "{message}"
            );
            println!("{message}");
        })
        .ok()
}

/// Whether a part is asked for: its package and number of pins are known, and its name is a part
/// number: a digit and at least five characters.
pub fn is_asked_for(part: &Part) -> bool {
    let kept = super::similarity::folded(&part.name);
    !part.packages.is_empty()
        && part.pins.is_some()
        && kept.len() >= 5
        && kept.iter().any(char::is_ascii_digit)
}
