//! What stands over the picture of a film, one for each identified part.

use crate::words::{Words as _, capital};
use record::{Certainty, Dossier, Place};

/// The words over one picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Overlay {
    /// The item.
    pub item: String,
    /// Part number.
    pub name: String,
    /// What it does here, and by whom it is.
    pub line: String,
    /// How sure that is.
    pub certainty: String,
    /// The place that says it.
    pub place: Place,
}

/// Words for every identified part, in the order of the record.
pub fn overlays(dossier: &Dossier) -> Vec<Overlay> {
    let items = dossier.items.iter().filter_map(|item| {
        let identity = item.part.as_ref()?.identity.as_ref()?;
        let role = item.role.as_deref().unwrap_or(&item.name);
        let by = identity
            .maker
            .as_ref()
            .map_or(String::new(), |m| format!(", {m}"));
        let certainty = match identity.certainty {
            Certainty::Read => "read from the marking".to_string(),
            other => other.words().to_string(),
        };
        Some(Overlay {
            item: item.id.clone(),
            name: identity.name.clone(),
            line: format!("{}{by}", capital(role)),
            certainty,
            place: Place::item(&item.id).at("part.identity"),
        })
    });
    items.collect()
}
