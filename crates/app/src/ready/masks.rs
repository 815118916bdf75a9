//! Whether what is private is masked wherever it is seen.
//!
//! In: a dossier. Out: a gap for every number of a person or a piece that is told in full, and for every
//! photograph that shows a private one unmasked.

use super::{Gap, gap};
use record::{Dossier, Evidence, Photo, Place, Thing};
use std::collections::BTreeSet;

/// Words in the kind of an identifier that name one piece or one person.
const OF_ONE: [&str; 9] = [
    "serial", "imei", "meid", "mac", "address", "imsi", "iccid", "device", "uuid",
];

pub(super) fn gaps(dossier: &Dossier) -> Vec<Gap> {
    let product = &dossier.product;
    let mut gaps = Vec::new();
    for (at, identifier) in product.identifiers.iter().enumerate() {
        let place = Place::identifier(product, at).unwrap_or_else(Place::product);
        if identifier.private {
            let labels = product
                .labels
                .iter()
                .filter(|l| tells(&l.text, &identifier.text));
            let seen = identifier
                .evidence
                .iter()
                .chain(labels.flat_map(|l| &l.evidence));
            masked(dossier, &identifier.kind, &place, seen.collect(), &mut gaps);
            continue;
        }
        let kind = identifier.kind.to_lowercase();
        let words: Vec<&str> = kind.split(|c: char| !c.is_alphanumeric()).collect();
        let of_one = |word: &&str| words.contains(word);
        if !product.invented && OF_ONE.iter().any(of_one) {
            gaps.push(gap(
                "masks",
                place,
                format!("The {} is told in full.", identifier.kind),
                "set `private = true` for it, and for the regions that show it",
            ));
        }
    }
    for label in product.labels.iter().filter(|l| !l.private.is_empty()) {
        let place = Place::label(&label.id);
        masked(
            dossier,
            &label.place,
            &place,
            label.evidence.iter().collect(),
            &mut gaps,
        );
    }
    gaps
}

fn tells(text: &str, number: &str) -> bool {
    let plain = |text: &str| -> String {
        let kept = text.chars().filter(|c| c.is_alphanumeric());
        kept.flat_map(char::to_lowercase).collect()
    };
    plain(text).contains(&plain(number))
}

/// Adds a gap for every place where something private is seen and no region hides it.
fn masked(dossier: &Dossier, what: &str, place: &Place, seen: Vec<&Evidence>, gaps: &mut Vec<Gap>) {
    let remedy = "mark where it stands as a region with `private = true`";
    let places: BTreeSet<Place> = seen.into_iter().map(Place::from).collect();
    let pictured: Vec<&Place> = places.iter().filter(|p| p.photo_id().is_some()).collect();
    if pictured.is_empty() && !dossier.photos.is_empty() {
        gaps.push(gap(
            "masks",
            place.clone(),
            format!("Nothing says on which photograph the private {what} is seen."),
            "name its photographs as evidence, so that their masks can be looked for",
        ));
    }
    for seen in pictured {
        let Some(photo) = seen.photo_id().and_then(|id| dossier.photo(id)) else {
            continue;
        };
        if !hidden(photo, seen) {
            gaps.push(gap(
                "masks",
                seen.clone(),
                format!(
                    "The photograph “{}” shows the private {what}.",
                    photo.caption
                ),
                remedy,
            ));
        }
    }
}

/// Whether a private region lies where `seen` says; anywhere on the photograph if it names no region.
fn hidden(photo: &Photo, seen: &Place) -> bool {
    let private = || photo.regions.iter().filter(|r| r.private);
    let named = photo
        .regions
        .iter()
        .find(|r| seen.thing() == Thing::Region && *seen == Place::region(&photo.id, &r.id));
    match named {
        Some(region) => private().any(|p| overlap(p.rect, region.rect)),
        None => private().next().is_some(),
    }
}

fn overlap([l, t, w, h]: [u32; 4], [left, top, width, height]: [u32; 4]) -> bool {
    let meets = |a: u32, al: u32, b: u32, bl: u32| {
        u64::from(a) < u64::from(b) + u64::from(bl) && u64::from(b) < u64::from(a) + u64::from(al)
    };
    meets(l, w, left, width) && meets(t, h, top, height)
}
