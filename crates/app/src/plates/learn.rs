//! A part that somebody identified, into the catalogue that its dossier brings.
//!
//! In: a dossier, one of its items. Out: a catalogue file beside the dossier that holds this one part and says where
//! it is known from. Corrections go into that file as into any other.

use super::part::slug;
use crate::catalogues::confirmed;
use crate::desk::{Desk, View};
use crate::known::BROUGHT;
use crate::{Problem, free_id};
use catalogue::{Catalogue, ConfirmedPart, harvest};
use methods::Case;
use record::{Item, Place};

/// What became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Learned {
    /// The part.
    pub name: String,
    /// The file inside the dossier that holds it; none where the part was known already.
    pub file: Option<String>,
}

/// Whether what an item is taken to be is among the known parts; `None` where it is not said.
pub fn is_known(view: &View, item: &Item) -> Option<bool> {
    let identity = item.part.as_ref()?.identity.as_ref()?;
    Some(view.known.named(identity).next().is_some())
}

/// Adds what an item is taken to be to the known parts of its dossier.
///
/// # Errors
/// No such item; one whose identity is not said, or was not read from its marking; no room.
pub async fn learn(desk: &Desk, view: &View, item: &str) -> Result<Learned, Problem> {
    let about = Place::item(item);
    let item = view.dossier.item(item).ok_or_else(|| {
        let message = format!("there is no item with the id \"{item}\"");
        Problem::missing(message, "choose another part")
    })?;
    let unsaid = || {
        let message = format!("it is not said what {} is", item.name);
        Problem::missing(message, "write what it is first").about(about.clone())
    };
    let part = part(view, item).ok_or_else(unsaid)?;
    let name = part.name.clone();
    if is_known(view, item) == Some(true) {
        return Ok(Learned { name, file: None });
    }
    let mut known = Catalogue::default();
    let found = harvest(&known, &[part]);
    if let Some(remark) = found.remarks.first().filter(|_| found.rows.is_empty()) {
        let problem = Problem::refused(remark.to_string(), "read its marking first");
        return Err(problem.about(about));
    }
    known.merge(found.rows);
    let text = catalogue::write(&known);
    let taken = |id: &str| {
        let path = format!("{BROUGHT}/{id}.csv");
        view.files.0.iter().any(|file| file.path == path)
    };
    let id = free_id(&format!("seen-{}", slug(&name)), taken);
    let file = format!("{BROUGHT}/{id}.csv");
    let library = desk.library();
    library.add_file(&view.id, &file, text.into()).await?;
    desk.forget(&view.id);
    let file = Some(file);
    Ok(Learned { name, file })
}

fn part(view: &View, item: &Item) -> Option<ConfirmedPart> {
    let case = Case::new(&view.dossier, &view.known);
    let product = &view.dossier.product;
    let named = format!("{} {}", product.maker, product.name);
    confirmed(&case, item, named.trim())
}
