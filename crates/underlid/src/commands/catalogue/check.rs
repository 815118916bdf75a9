//! `underlid catalogue check`: what is wrong in catalogue files, and what later ones correct.

use crate::failure::Failure;
use crate::screen::{self, shown};
use catalogue::{Catalogue, Loss};
use std::path::PathBuf;

pub(super) fn run(files: &[PathBuf]) -> Result<(), Failure> {
    let mut known = Catalogue::default();
    let mut remarks = Vec::new();
    let mut text = String::new();
    for (n, path) in files.iter().enumerate() {
        super::reading(path, n + 1, files.len());
        let (rows, said) = crate::known::read_file(path)?;
        remarks.extend(said);
        let merged = known.merge(rows);
        text += &format!("{}: {}\n", shown(path), super::told(&merged));
        // Within the first file nothing is a correction of another.
        for c in merged.corrections.iter().filter(|_| n > 0) {
            text += &format!(
                "  {} {}: “{}” was “{}” ({}:{})\n",
                c.name, c.column, c.after, c.before, c.file, c.line
            );
        }
        remarks.extend(merged.remarks);
    }
    text += &format!("{} parts in all\n", known.parts().len());
    text += &super::remarks(&remarks);
    screen::print(&text)?;
    if remarks.iter().any(|r| r.loss != Loss::Nothing) {
        return Err(Failure::Answered);
    }
    Ok(())
}
