//! `underlid catalogue harvest`: identities that were read off parts, into a catalogue.

use crate::failure::Failure;
use crate::screen::{self, shown};
use catalogue::Confirmed;
use methods::assessment::{body_mm, neighbours};
use methods::{Case, Known};
use record::{Certainty, Item};
use std::path::{Path, PathBuf};

pub(super) fn run(folders: &[PathBuf], into: &Path) -> Result<(), Failure> {
    let mut seen = Vec::new();
    for folder in folders {
        let dossier = super::super::open(folder)?;
        let name = folder.file_name().unwrap_or(folder.as_os_str());
        let nothing = Known::default();
        let case = Case::new(&dossier, &nothing);
        let confirmed: Vec<Confirmed> = dossier
            .items
            .iter()
            .filter_map(|item| confirmed(&case, item, &name.to_string_lossy()))
            .collect();
        seen.push((folder, confirmed));
    }
    let (text, _) = super::add(into, |known| {
        let mut text = String::new();
        let mut remarks = Vec::new();
        let mut changed = false;
        for (folder, confirmed) in &seen {
            let found = catalogue::harvest(known, confirmed);
            remarks.extend(found.remarks);
            let merged = known.merge(found.rows);
            changed |= merged.added + merged.corrected > 0;
            text += &format!("{}: {}\n", shown(folder), super::told(&merged));
            remarks.extend(merged.remarks);
        }
        text += &format!("{}: {} parts\n", shown(into), known.parts().len());
        text += &super::remarks(&remarks);
        (text, changed)
    })?;
    screen::print(&text)
}

/// Returns what an item's identity says, if it has one.
fn confirmed<'d>(case: &Case<'d>, item: &'d Item, folder: &str) -> Option<Confirmed> {
    let part = item.part.as_ref()?;
    let identity = part.identity.as_ref()?;
    Some(Confirmed {
        name: identity.name.clone(),
        maker: identity.maker.clone().unwrap_or_default(),
        was_read: identity.certainty == Certainty::Read,
        package: part.package.clone().unwrap_or_default(),
        pins: part.pins,
        size_mm: body_mm(case, item).map(|b| b.map(|(mm, _)| mm)),
        role: item.role.clone().unwrap_or_default(),
        marking: part.marking.clone(),
        ratings: part
            .ratings
            .iter()
            .map(|(name, value)| (name.clone(), value.to_string()))
            .collect(),
        ratings_origin: part
            .ratings_origin
            .map(|o| o.key().to_string())
            .unwrap_or_default(),
        neighbours: neighbours(case, item),
        known_from: format!("dossier {folder}, item {}", item.id),
    })
}
