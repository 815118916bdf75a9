//! Pieces that weigh more than what holds them.
//!
//! In: a solved set of masses. Out: each whole that was weighed and is lighter than the pieces that were
//! weighed of it, and each mass that would come out below zero. Not here: readings that contradict each
//! other (`gross`): here nothing may check anything, and the record is still impossible.

use super::solution::MassSolution;
use crate::assumed;

/// Standard uncertainties beyond which an excess is no error of weighing.
const BEYOND: f64 = assumed::HEAVIER_THAN_ITS_WHOLE.number();

/// A whole and the pieces of it that weigh more together. Items by their places in the record. Grams.
#[derive(Debug, Clone, PartialEq)]
pub struct Excess {
    /// The whole.
    pub whole: usize,
    /// Its mass as weighed.
    pub mass: f64,
    /// The pieces of it that were weighed.
    pub pieces: Vec<usize>,
    /// What they weigh together.
    pub together: f64,
    /// The weighings, by their places.
    pub weighings: Vec<usize>,
}

impl MassSolution {
    /// Returns the weighed wholes that are lighter than their weighed pieces, in tree order.
    pub(super) fn excesses(&self) -> Vec<Excess> {
        let mut below: Vec<Vec<(usize, f64)>> = vec![Vec::new(); self.unknown.len()];
        let mut found = Vec::new();
        for &(item, _) in self.tree.order.iter().rev() {
            let held = self.tree.moved_up(item, &mut below);
            let own = self.trusted(item);
            if own.is_empty() {
                below[item] = held;
                continue;
            }
            if !held.is_empty() {
                let (together, _) = self.model.combination(&held);
                let (mass, _) = self.model.combination(&own);
                let rest = own.iter().map(|&(j, w)| (j, -w));
                let difference: Vec<(usize, f64)> = held.iter().copied().chain(rest).collect();
                let (excess, variance) = self.model.combination(&difference);
                if excess > BEYOND * variance.sqrt() {
                    let mut pieces: Vec<usize> =
                        held.iter().map(|&(j, _)| self.weighings[j].at).collect();
                    pieces.sort_unstable();
                    pieces.dedup();
                    found.push(Excess {
                        whole: item,
                        mass,
                        pieces,
                        together,
                        weighings: own.iter().chain(&held).map(|&(j, _)| j).collect(),
                    });
                }
            }
            below[item] = own;
        }
        found.reverse();
        found
    }

    /// Returns the direct weighings of an item that stand, or all of them where none stands.
    fn trusted(&self, item: usize) -> Vec<(usize, f64)> {
        let all = self.direct(item);
        let mut stand: Vec<(usize, f64)> =
            all.iter().copied().filter(|&(j, _)| self.kept[j]).collect();
        if stand.is_empty() {
            return all;
        }
        let share = all.len() as f64 / stand.len() as f64;
        stand.iter_mut().for_each(|(_, w)| *w *= share);
        stand
    }

    /// Returns the items whose mass would come out below zero by more than the uncertainty explains, and
    /// that mass, g.
    pub(super) fn below_nothing(&self) -> Vec<(usize, f64)> {
        let raw = |&(item, _): &(usize, usize)| {
            let (mass, u) = self.unlimited(item)?;
            (mass < -BEYOND * u).then_some((item, mass))
        };
        self.tree.order.iter().filter_map(raw).collect()
    }
}
