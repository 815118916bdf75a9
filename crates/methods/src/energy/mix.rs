//! Run time in ordinary use, from the share of the time of each mode.
//!
//! In: modes with shares that make up all of the time. Out: capacity over the mean current, and what makes it up.

use super::draw::Part;
use super::modes::{Whole, entry};
use super::store::{capacity, usable};
use super::{Draw, draw};
use crate::Case;
use crate::assumed;
use crate::grounds::Grounds;
use crate::inputs::unit;
use quantity::{Dimension, Origin, Sheet, Stated, Term};
use record::{Item, Place};

/// Ordinary use of one cell.
#[derive(Debug)]
pub(crate) struct Ordinary<'s> {
    pub(crate) time: Term<'s>,
    /// Mean current at the cell.
    pub(crate) mean: Term<'s>,
    /// Whether every current is known.
    pub(crate) whole: Whole,
    /// What each mode adds to the mean current.
    pub(crate) modes: Vec<(String, Term<'s>)>,
    /// What each thing adds to it in each mode, where no mode was measured as a whole.
    pub(crate) parts: Vec<Part<'s>>,
}

/// Returns the run time of a cell in ordinary use, and what takes it; none unless shares are stated for modes of the
/// cell and make up all of the time.
pub(crate) fn ordinary_use<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<Ordinary<'s>> {
    let known = case.supplies().modes(cell);
    let share = |mode: &String| Some((mode.clone(), entry(case, mode)?.share.as_ref()?));
    let shares: Vec<(String, &Stated)> = known.iter().filter_map(share).collect();
    let total: f64 = shares.iter().map(|(_, s)| s.si()).sum();
    if shares.len() < 2 || (total - 1.0).abs() > assumed::ALL_OF_THE_TIME.si() + f64::EPSILON {
        return None;
    }
    let mut whole = Whole::Yes;
    let mut modes = Vec::new();
    let mut parts: Vec<Part<'_>> = Vec::new();
    let mut summed = true;
    for (mode, share) in shares {
        let Draw {
            term,
            whole: of_mode,
            parts: of_parts,
            grounds: found,
            ..
        } = draw(sheet, case, cell, &mode)?;
        grounds.absorb(found);
        let place = Place::mode(&mode).at("share");
        let name = format!("share of the time on {mode}");
        let origin = Origin::Estimated;
        let share = grounds.nominal(sheet, name, share, Dimension::NONE, origin, place)?;
        summed &= !of_parts.is_empty();
        parts.extend(of_parts.into_iter().map(|part| Part {
            term: share * part.term,
            ..part
        }));
        modes.push((mode, share * term));
        match of_mode {
            Whole::Part(_) => whole = of_mode,
            Whole::AsRecorded if whole == Whole::Yes => whole = of_mode,
            _ => {}
        }
    }
    if !summed {
        parts.clear();
    }
    let terms: Vec<Term<'_>> = modes.iter().map(|(_, term)| *term).collect();
    let mean = sheet.sum(&terms).named(
        &format!("mean current of {} in ordinary use", cell.name),
        &unit("mA"),
    );
    let held = capacity(sheet, case, cell, grounds)?;
    let charge = usable(sheet, cell, held, grounds);
    let time = (charge / mean).named("run time in ordinary use", &unit("h"));
    Some(Ordinary {
        time,
        mean,
        whole,
        modes,
        parts,
    })
}
