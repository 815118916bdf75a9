//! Identities that were read off parts, into a catalogue.

use crate::{Problem, Watch, dossier};
use catalogue::{ConfirmedPart, Merged, Remark};
use methods::assessment::{body_mm, neighbours};
use methods::{Case, Known};
use record::{Certainty, Item};
use std::path::{Path, PathBuf};

/// What was taken into a catalogue.
#[derive(Debug)]
pub struct Harvested {
    /// Each dossier's folder and what came of it.
    pub dossiers: Vec<(PathBuf, Merged)>,
    /// Parts in the catalogue now.
    pub parts: usize,
    /// What is wrong or worth knowing.
    pub remarks: Vec<Remark>,
}

/// Adds to a catalogue the identities that dossiers record as read.
///
/// # Errors
/// Mistakes in a dossier; a catalogue that cannot be read or written, or with rows that were refused.
pub fn harvest(folders: &[PathBuf], into: &Path, watch: &dyn Watch) -> Result<Harvested, Problem> {
    let mut seen = Vec::new();
    for folder in folders {
        let dossier = dossier::open(folder, watch)?;
        let name = folder.file_name().unwrap_or(folder.as_os_str());
        let nothing = Known::default();
        let case = Case::new(&dossier, &nothing);
        let confirmed: Vec<ConfirmedPart> = dossier
            .items
            .iter()
            .filter_map(|item| confirmed(&case, item, &name.to_string_lossy()))
            .collect();
        seen.push((folder, confirmed));
    }
    let (harvested, _) = super::add(into, |known| {
        let (mut dossiers, mut remarks) = (Vec::new(), Vec::new());
        let mut changed = false;
        for (folder, confirmed) in &seen {
            let found = catalogue::harvest(known, confirmed);
            remarks.extend(found.remarks);
            let merged = known.merge(found.rows);
            changed |= merged.added + merged.corrected > 0;
            remarks.extend(merged.remarks.iter().cloned());
            dossiers.push(((*folder).clone(), merged));
        }
        let parts = known.parts().len();
        let harvested = Harvested {
            dossiers,
            parts,
            remarks,
        };
        (harvested, changed)
    })?;
    Ok(harvested)
}

/// Returns what an item's identity says, if it has one.
pub(crate) fn confirmed<'d>(
    case: &Case<'d>,
    item: &'d Item,
    folder: &str,
) -> Option<ConfirmedPart> {
    let part = item.part.as_ref()?;
    let identity = part.identity.as_ref()?;
    Some(ConfirmedPart {
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
