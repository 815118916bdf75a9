//! What takes most of a mean current.
//!
//! In: a mean current and what makes it up. Out: the share of each, and a sentence on those that matter.
//! Not here: currents (`energy`).

use crate::assumed;
use crate::id::FigureKey;
use crate::inputs::unit;
use crate::words::listed;
use crate::{Finding, Word};
use quantity::{Sheet, Term};
use record::Place;

/// One share of a mean current.
pub(super) struct Taker<'s> {
    pub(super) key: FigureKey,
    pub(super) name: String,
    pub(super) term: Term<'s>,
}

impl<'s> Taker<'s> {
    /// Something that draws it.
    pub(super) fn thing(what: Word, item: &str, name: String, term: Term<'s>) -> Self {
        let key = FigureKey::from(what).of(Place::item(item));
        Self { key, name, term }
    }

    /// A mode of use in which it flows.
    pub(super) fn mode(what: Word, mode: &str, term: Term<'s>) -> Self {
        let key = FigureKey::from(what).named(mode);
        let name = mode.to_string();
        Self { key, name, term }
    }
}

/// Adds the share of each taker to a finding and says which take most; nothing where there is but one.
pub(super) fn most(
    sheet: &Sheet,
    finding: &mut Finding,
    whole: Term<'_>,
    takers: Vec<Taker<'_>>,
) -> Option<String> {
    // An item may draw at several of its terminals, and in several modes.
    let mut apart: Vec<Taker<'_>> = Vec::new();
    for taker in takers {
        match apart.iter_mut().find(|other| other.key == taker.key) {
            Some(other) => other.term = other.term + taker.term,
            None => apart.push(taker),
        }
    }
    if apart.len() < 2 {
        return None;
    }
    let mut shares = Vec::new();
    for taker in apart {
        let share = (taker.term / whole).named(&format!("share of {}", taker.name), &unit("%"));
        if let Ok(figure) = sheet.figure(share) {
            shares.push((taker.name, figure.value, figure.text.clone()));
            finding.add_figure(taker.key, figure);
        }
    }
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    let least = 100.0 * assumed::DOMINANT_SHARE.si();
    let named = shares.iter().enumerate();
    let named = named.filter(|(at, (_, share, _))| *at == 0 || *share >= least);
    let mut named = named.map(|(_, (name, _, text))| (name, text));
    let (first, share) = named.next()?;
    let next: Vec<String> = named
        .map(|(name, text)| format!("{name} ({text})"))
        .collect();
    Some(match next.as_slice() {
        [] => format!("Of that, {first} takes most ({share})."),
        _ => format!(
            "Of that, {first} takes most ({share}), followed by {}.",
            listed(next)
        ),
    })
}
