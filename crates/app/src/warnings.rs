//! What in a dossier without mistakes looks like a slip all the same.
//!
//! In: a folder and the dossier in it. Out: [`Warning`]s with the places they are about, and their lines.
//! Not here: what makes a slip of the decimal point (`methods::decimal`).

use crate::Problem;
use record::{Claim, Dossier, Place, TextPlaces};
use std::path::Path;

/// Something to look at again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// Where to look first.
    pub at: Spot,
    /// What it does not go with.
    pub against: Vec<Spot>,
    /// What is odd.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
}

/// A place and the line it stands in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
    /// The place.
    pub place: Place,
    /// The line of the text, from 1.
    pub line: Option<usize>,
}

/// What looks like a slip, before its lines are known.
struct Odd {
    about: Place,
    against: Vec<Place>,
    message: String,
    remedy: &'static str,
}

/// Looks for values that look like slips of the decimal point, for a sentence that stands twice, and for names that a
/// new dossier came with.
///
/// # Errors
/// A text that cannot be read any more.
pub fn warnings(folder: &Path, dossier: &Dossier) -> Result<Vec<Warning>, Problem> {
    let slips = methods::decimal::slips(dossier).into_iter().map(|slip| Odd {
        about: slip.about,
        against: slip.against,
        message: slip.message,
        remedy: "look at the instrument and the print again; where both are as written, leave them",
    });
    let odd: Vec<Odd> = slips
        .chain(twice(dossier))
        .chain(unnamed(dossier))
        .collect();
    if odd.is_empty() {
        return Ok(Vec::new());
    }
    let draft = store::open_draft(folder)?;
    let text = draft.text();
    let places = TextPlaces::of(&text, store::TEXT)?;
    let spot = |place: &Place| Spot {
        place: place.clone(),
        line: places.line(place),
    };
    let warning = |odd: Odd| Warning {
        at: spot(&odd.about),
        against: odd.against.iter().map(spot).collect(),
        message: odd.message,
        remedy: odd.remedy.to_string(),
    };
    Ok(odd.into_iter().map(warning).collect())
}

/// Claims with the same words, printed in the same place and said of the same thing: a report would judge one twice.
fn twice(dossier: &Dossier) -> Vec<Odd> {
    let mut seen: Vec<&Claim> = Vec::new();
    let mut found = Vec::new();
    for claim in &dossier.claims {
        let alike = |other: &&&Claim| {
            other.text == claim.text
                && other.printed == claim.printed
                && other.kind == claim.kind
                && other.says == claim.says
        };
        match seen.iter().find(alike) {
            Some(first) => found.push(Odd {
                about: Place::claim(&claim.id),
                against: vec![Place::claim(&first.id)],
                message: format!("“{}” is recorded twice", claim.text),
                remedy: "remove one of them, or say what each is about",
            }),
            None => seen.push(claim),
        }
    }
    found
}

/// Names that a new dossier comes with.
fn unnamed(dossier: &Dossier) -> Vec<Odd> {
    let product = &dossier.product;
    let named = [
        ("name", &product.name, "Name of the product"),
        ("maker", &product.maker, "Name of the maker"),
    ];
    let left = named.into_iter().filter(|(_, is, began)| is == began);
    left.map(|(key, is, _)| Odd {
        about: Place::product().at(key),
        against: Vec::new(),
        message: format!("the {key} of the product is still “{is}”, as a new dossier has it"),
        remedy: "write the one on the product",
    })
    .collect()
}
