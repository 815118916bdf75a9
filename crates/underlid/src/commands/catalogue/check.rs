//! `underlid catalogue check`: what is wrong in catalogue files, and what later ones correct.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::catalogues;
use std::path::PathBuf;

pub(super) fn run(files: &[PathBuf], format: Format) -> Result<(), Failure> {
    let checked = catalogues::check(files, &Terminal)?;
    if format == Format::Json {
        let files: Vec<serde_json::Value> = checked
            .files
            .iter()
            .map(|file| serde_json::json!({ "file": file.path, "parts": super::told_json(&file.merged) }))
            .collect();
        let answer = serde_json::json!({
            "files": files, "parts": checked.parts, "remarks": super::remarks_json(&checked.remarks),
        });
        screen::print_json(&answer)?;
        return match checked.has_mistakes() {
            true => Err(Failure::Answered),
            false => Ok(()),
        };
    }
    let mut text = String::new();
    for (n, file) in checked.files.iter().enumerate() {
        text += &format!("{}: {}\n", shown(&file.path), super::told(&file.merged));
        // Within the first file nothing is a correction of another.
        for c in file.merged.corrections.iter().filter(|_| n > 0) {
            text += &format!(
                "  {} {}: “{}” was “{}” ({}:{})\n",
                c.name, c.column, c.after, c.before, c.file, c.line
            );
        }
    }
    text += &format!("{} parts in all\n", checked.parts);
    text += &super::remarks(&checked.remarks);
    screen::print(&text)?;
    if checked.has_mistakes() {
        return Err(Failure::Answered);
    }
    Ok(())
}
