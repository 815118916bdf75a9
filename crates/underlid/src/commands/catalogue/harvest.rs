//! `underlid catalogue harvest`: identities that were read off parts, into a catalogue.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::catalogues;
use std::path::{Path, PathBuf};

pub(super) fn run(mut folders: Vec<PathBuf>, into: &Path, format: Format) -> Result<(), Failure> {
    if folders.is_empty() {
        folders.push(folder::of(None)?);
    }
    let harvested = catalogues::harvest(&folders, into, &Terminal)?;
    if format == Format::Json {
        let dossiers: Vec<serde_json::Value> = harvested
            .dossiers
            .iter()
            .map(|(folder, merged)| serde_json::json!({ "folder": folder, "parts": super::told_json(merged) }))
            .collect();
        let answer = serde_json::json!({
            "into": into, "parts": harvested.parts, "dossiers": dossiers,
            "remarks": super::remarks_json(&harvested.remarks),
        });
        return screen::print_json(&answer);
    }
    let mut text = String::new();
    for (folder, merged) in &harvested.dossiers {
        text += &format!("{}: {}\n", shown(folder), super::told(merged));
    }
    text += &format!("{}: {} parts\n", shown(into), harvested.parts);
    text += &super::remarks(&harvested.remarks);
    screen::print(&text)
}
