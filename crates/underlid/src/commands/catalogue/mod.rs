//! `underlid catalogue`: the files of known parts.

mod check;
mod code;
mod harvest;
mod import;

use crate::arguments::{CatalogueCommand, Format};
use crate::failure::Failure;
use catalogue::{Merged, Remark};
use serde_json::Value as Json;

pub(crate) fn run(command: CatalogueCommand, format: Format) -> Result<(), Failure> {
    match command {
        CatalogueCommand::Check { files } => check::run(&files, format),
        CatalogueCommand::Import(arguments) => import::run(arguments, format),
        CatalogueCommand::Code(arguments) => code::run(arguments, format),
        CatalogueCommand::Harvest { folders, into } => harvest::run(folders, &into, format),
    }
}

/// Says in words what a merge did.
fn told(merged: &Merged) -> String {
    format!(
        "{} new, {} corrected, {} as before",
        merged.added, merged.corrected, merged.unchanged
    )
}

/// Says for programs what a merge did.
fn told_json(merged: &Merged) -> Json {
    serde_json::json!({
        "new": merged.added, "corrected": merged.corrected, "as-before": merged.unchanged,
    })
}

/// Writes remarks for programs.
fn remarks_json(remarks: &[Remark]) -> Vec<Json> {
    remarks
        .iter()
        .map(|r| {
            let is_refused = r.loss != catalogue::Loss::Nothing;
            serde_json::json!({ "refused": is_refused, "message": r.to_string() })
        })
        .collect()
}

/// What is only worth knowing is told up to so many times.
const NOTES: usize = 20;

/// Prints remarks, the refused rows first; a few hundred of them are still a list to work through.
fn remarks(remarks: &[Remark]) -> String {
    let (lost, notes): (Vec<_>, Vec<_>) = remarks
        .iter()
        .partition(|r| r.loss != catalogue::Loss::Nothing);
    let mut text = String::new();
    for (heading, list, most) in [
        ("Refused", lost, usize::MAX),
        ("Worth knowing", notes, NOTES),
    ] {
        if list.is_empty() {
            continue;
        }
        text += &format!("\n{heading} ({}):\n", list.len());
        for remark in list.iter().take(most) {
            text += &format!("  {remark}\n");
        }
        if list.len() > most {
            text += &format!("  and {} more\n", list.len() - most);
        }
    }
    text
}
