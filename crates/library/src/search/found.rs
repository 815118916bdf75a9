//! What was found.

use super::indexed::{Indexed, Part, Thing, ThingKind, Verdicts};
use crate::DossierId;
use record::Place;
use serde::Serialize;

/// Things of one dossier that are told; the rest is counted.
const TOLD: usize = 8;

/// Dossiers that were found, best first.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Found {
    /// Those asked for, of all that there are.
    pub hits: Vec<Hit>,
    /// Whether there are more behind them.
    pub more: bool,
    /// Dossiers of this library of which something later is kept than is indexed.
    pub behind: usize,
}

/// One dossier in which everything asked for was found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hit {
    /// The dossier.
    pub dossier: DossierId,
    /// Name of the product.
    pub product: String,
    /// Its maker.
    pub maker: String,
    /// What it is; empty if not known.
    pub category: String,
    /// The revision it was found in.
    pub revision: u64,
    /// The latest revision.
    pub latest: u64,
    /// How many findings came out how.
    pub verdicts: Verdicts,
    /// The things that match, best first, at most eight.
    pub matched: Vec<Matched>,
    /// How many more match.
    pub further: usize,
}

/// One thing that matches.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Matched {
    /// What sort of thing.
    pub kind: ThingKind,
    /// Its id in the dossier.
    pub id: String,
    /// Its text.
    pub text: String,
    /// Its place in the record.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<Place>,
    /// Which part it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<Part>,
}

/// Makes a hit of a dossier and the things in it that match.
pub(crate) fn hit(id: &DossierId, latest: u64, indexed: &Indexed, matched: &[&Thing]) -> Hit {
    Hit {
        dossier: id.clone(),
        product: indexed.product.clone(),
        maker: indexed.maker.clone(),
        category: indexed.category.clone(),
        revision: indexed.revision,
        latest,
        verdicts: indexed.verdicts,
        matched: matched
            .iter()
            .take(TOLD)
            .map(|thing| Matched::of(thing))
            .collect(),
        further: matched.len().saturating_sub(TOLD),
    }
}

impl Matched {
    fn of(thing: &Thing) -> Self {
        Self {
            kind: thing.kind,
            id: thing.id.clone(),
            text: thing.text.clone(),
            place: thing.place.clone(),
            part: thing.part.clone(),
        }
    }
}
