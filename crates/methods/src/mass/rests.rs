//! Which readings an adjusted mass rests on.
//!
//! In: a solved set of masses and an item. Out: places in the record.
//! Not here: the masses (`solution`).
//!
//! Through the common error of a scale every reading bears a little on every mass. So that what is listed
//! stays bounded, the readings nearest in the tree are looked at, at most [`NEAREST`], and those with a
//! weight in the mass are named.

use super::inverse::Kept;
use super::solution::MassSolution;
use crate::distinct::Distinct;
use record::Place;
use std::collections::{BTreeSet, VecDeque};

/// How many readings around an item are looked at.
pub const NEAREST: usize = 40;

/// How many items around an item are looked at for readings.
const ITEMS: usize = 10 * NEAREST;

/// A weight smaller than this is rounding.
const WEIGHT: f64 = 1e-6;

impl MassSolution {
    /// Returns the places in the record that the adjusted mass of `item` rests on: those of its
    /// [`NEAREST`] readings in the tree that have a weight in it.
    pub fn evidence(&self, item: &str) -> Vec<Place> {
        let Some(item) = self.tree.find(item) else {
            return Vec::new();
        };
        let unknown = self.unknown[item];
        let readings: Vec<usize> = if self.structure().is_determined(unknown) {
            let mut kept = Kept::new();
            self.near(item)
                .into_iter()
                .filter(|&j| self.fit().weight(unknown, j, &mut kept).abs() > WEIGHT)
                .collect()
        } else {
            self.direct(item).into_iter().map(|(j, _)| j).collect()
        };
        self.places(readings)
    }

    /// Returns the places of readings, each once.
    pub(super) fn places(&self, readings: impl IntoIterator<Item = usize>) -> Vec<Place> {
        let all = readings.into_iter();
        let all = all.flat_map(|j| self.weighings[j].evidence.iter().cloned());
        all.collect::<Distinct<Place>>().into_vec()
    }

    /// Returns the sound readings nearest to an item, in the order of the record.
    fn near(&self, item: usize) -> BTreeSet<usize> {
        let mut found = BTreeSet::new();
        let mut seen = BTreeSet::from([item]);
        let mut queue = VecDeque::from([item]);
        while let Some(at) = queue.pop_front() {
            let mut around = Vec::new();
            for &j in &self.readings_with[at] {
                if self.kept[j] && found.len() < NEAREST {
                    found.insert(j);
                    around.extend(self.items_in[j].iter().copied());
                }
            }
            if found.len() >= NEAREST {
                break;
            }
            around.extend(self.tree.parent(at).filter(|&up| self.tree.is_sum(up)));
            if self.tree.is_sum(at) {
                around.extend(self.tree.children(at).iter().take(ITEMS));
            }
            for next in around {
                if seen.len() < ITEMS && seen.insert(next) {
                    queue.push_back(next);
                }
            }
        }
        found
    }
}
