//! Names of persons that a publisher leaves out.
//!
//! In: a dossier, names. Out: the dossier without them. Not here: text that the record marks as private (`record`).

use record::Dossier;
use std::collections::BTreeSet;

/// What stands where a name was.
const WITHHELD: &str = "name withheld";

/// Returns every person that a report of the dossier names.
pub fn persons(dossier: &Dossier) -> BTreeSet<String> {
    let mut dossier = dossier.clone();
    let mut all = BTreeSet::new();
    each(&mut dossier, &mut |name| {
        all.extend(name.clone());
    });
    all
}

/// Withholds these names where the record credits somebody.
pub(crate) fn without_persons(mut dossier: Dossier, names: &BTreeSet<String>) -> Dossier {
    each(&mut dossier, &mut |name| {
        if name.as_ref().is_some_and(|name| names.contains(name)) {
            *name = Some(WITHHELD.into());
        }
    });
    dossier
}

fn each(dossier: &mut Dossier, with: &mut dyn FnMut(&mut Option<String>)) {
    with(&mut dossier.product.analyst);
    if let Some(disclosure) = &mut dossier.product.disclosure {
        with(&mut disclosure.photographs_by);
    }
    dossier
        .photos
        .iter_mut()
        .for_each(|photo| with(&mut photo.credit));
}
