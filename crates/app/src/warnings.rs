//! What in a dossier without mistakes looks like a slip all the same.
//!
//! In: a folder and the dossier in it. Out: [`Warning`]s with the places they are about, and their lines.
//! Not here: what makes a slip (`methods::decimal`).

use crate::Problem;
use record::{Dossier, Place, TextPlaces};
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

/// Looks for values that look like slips of the decimal point.
///
/// # Errors
/// A text that cannot be read any more.
pub fn warnings(folder: &Path, dossier: &Dossier) -> Result<Vec<Warning>, Problem> {
    let slips = methods::decimal::slips(dossier);
    if slips.is_empty() {
        return Ok(Vec::new());
    }
    let draft = store::open_draft(folder)?;
    let text = draft.text();
    let places = TextPlaces::of(&text, store::TEXT)?;
    let spot = |place: &Place| Spot {
        place: place.clone(),
        line: places.line(place),
    };
    let warning = |slip: methods::decimal::Slip| Warning {
        at: spot(&slip.about),
        against: slip.against.iter().map(spot).collect(),
        message: slip.message,
        remedy: "look at the instrument and the print again; where both are as written, leave them"
            .to_string(),
    };
    Ok(slips.into_iter().map(warning).collect())
}
