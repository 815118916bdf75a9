//! `underlid catalogue`: the files of known parts.

mod check;
mod code;
mod harvest;
mod import;

use crate::arguments::CatalogueCommand;
use crate::failure::Failure;
use catalogue::{Merged, Remark};

pub(crate) fn run(command: CatalogueCommand) -> Result<(), Failure> {
    match command {
        CatalogueCommand::Check { files } => check::run(&files),
        CatalogueCommand::Import(arguments) => import::run(arguments),
        CatalogueCommand::Code(arguments) => code::run(arguments),
        CatalogueCommand::Harvest { folders, into } => harvest::run(&folders, &into),
    }
}

/// Says in words what a merge did.
fn told(merged: &Merged) -> String {
    format!(
        "{} new, {} corrected, {} as before",
        merged.added, merged.corrected, merged.unchanged
    )
}

/// Prints remarks, the refused rows first; a few hundred of them are still a list to work through.
fn remarks(remarks: &[Remark]) -> String {
    let (lost, notes): (Vec<_>, Vec<_>) = remarks
        .iter()
        .partition(|r| r.loss != catalogue::Loss::Nothing);
    let mut text = String::new();
    for (heading, list) in [("Refused", lost), ("Worth knowing", notes)] {
        if list.is_empty() {
            continue;
        }
        text += &format!("\n{heading} ({}):\n", list.len());
        for remark in list {
            text += &format!("  {remark}\n");
        }
    }
    text
}
