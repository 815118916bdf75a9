//! Adjusted masses of a dossier, and what can be asked of them.
//!
//! Out: masses with covariance, tests, the readings each rests on.
//! Not here: sentences (`finding`), where the weighings come from (`adjust`), the fit (`model`).

use super::excess::Excess;
use super::model::{Fit, Model};
use super::reconciled::Reconciled;
use super::structure::Structure;
use super::tree::Tree;
use super::{adjust, balance, gross};
use crate::assumed;
use crate::inputs;
use quantity::{Distribution, Input, Origin, Source};
use record::Place;

/// Overall probability of a false alarm of the tests.
pub const ALPHA: f64 = assumed::FALSE_ALARM.number();

/// One weighing. Grams.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighing {
    /// Reading id.
    pub reading: String,
    /// Item on the scale.
    pub item: String,
    /// Its place in the record's list of items.
    pub at: usize,
    /// How many of it.
    pub pieces: f64,
    /// Whether the record says how many.
    pub pieces_given: bool,
    /// Whether other items had been taken out of it.
    pub incomplete: bool,
    /// What the scale showed, g.
    pub shown: f64,
    /// Standard uncertainty, g.
    pub uncertainty: f64,
    /// Whether its limit of error is assumed.
    pub limit_assumed: bool,
    /// Places it rests on.
    pub evidence: Vec<Place>,
}

/// What one reading should have shown if it alone were wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// Index of the weighing.
    pub weighing: usize,
    /// What the others say it should have shown, g.
    pub should_be: f64,
    /// Chi-square that remains without it.
    pub chi_square: f64,
    /// Degrees of freedom that remain.
    pub degrees_of_freedom: usize,
}

/// Masses of the items of one dossier, adjusted to each other.
///
/// Where the weighings contradict each other, the most suspicious reading, with those that cannot be
/// told from it, is set aside until the rest agrees; masses then rest on the rest. An item that only
/// readings set aside could give keeps its own reading as it was.
#[derive(Debug, Clone)]
pub struct MassSolution {
    /// The item tree; items are numbered as in the record.
    pub tree: Tree,
    pub(super) model: Model,
    /// The unknown that stands for each item.
    pub(super) unknown: Vec<usize>,
    pub(super) kept: Vec<bool>,
    all: View,
    /// Of the weighings kept, where some are set aside.
    sound: Option<View>,
    critical: f64,
    /// Weighings of each item, complete and incomplete.
    own: Vec<Vec<usize>>,
    /// Items in the sum of each weighing, and the weighings in whose sum an item stands.
    pub(super) items_in: Vec<Vec<usize>>,
    pub(super) readings_with: Vec<Vec<usize>>,
    /// The weighings, in the order of the record.
    pub weighings: Vec<Weighing>,
    /// The adjustment of all of them; lists follow `weighings`.
    pub reconciled: Reconciled,
    /// Indexes of the weighings set aside.
    pub set_aside: Vec<usize>,
    /// Weighings that could not be used and why.
    pub unused: Vec<String>,
    /// Wholes that are lighter than their pieces.
    pub excesses: Vec<Excess>,
    /// Items whose mass would come out below zero, and that mass, g.
    pub below_nothing: Vec<(usize, f64)>,
}

/// What some of the weighings can tell, and their fit.
#[derive(Debug, Clone)]
struct View {
    structure: Structure,
    fit: Fit,
    z: Vec<f64>,
}

impl MassSolution {
    /// Puts given weighings against a tree. `sums` are what lay on the scale as sums over items, `commons`
    /// an instrument and the common part of the standard uncertainty, g, `stated` correlations of pairs.
    pub(super) fn of_weighings(
        tree: Tree,
        weighings: Vec<Weighing>,
        sums: Vec<Vec<(usize, f64)>>,
        commons: &[Option<(usize, f64)>],
        stated: &[(usize, usize, f64)],
    ) -> Self {
        let unknown = tree.upwards();
        let items_in: Vec<Vec<usize>> = sums
            .iter()
            .map(|sum| sum.iter().map(|t| t.0).collect())
            .collect();
        let mut readings_with = vec![Vec::new(); unknown.len()];
        for (j, items) in items_in.iter().enumerate() {
            items.iter().for_each(|&i| readings_with[i].push(j));
        }
        let model = adjust::model(&tree, &unknown, &weighings, sums, commons, stated);
        let everything = vec![true; weighings.len()];
        let (structure, plain) = Structure::with_fit(&model, &everything);
        let fit = model.fit(&structure);
        let reconciled = Reconciled::of(&model, &structure, &fit);
        let kept = gross::kept(&model, &structure, &plain, &fit, &reconciled);
        let set_aside: Vec<usize> = (0..kept.len()).filter(|&j| !kept[j]).collect();
        let sound = (!set_aside.is_empty()).then(|| {
            let structure = Structure::of(&model, &kept);
            let fit = model.fit(&structure);
            let z = Reconciled::of(&model, &structure, &fit).z_power;
            View { structure, fit, z }
        });
        let tested = reconciled.z_power.iter().filter(|z| **z != 0.0).count();
        let mut own = vec![Vec::new(); unknown.len()];
        for (j, weighing) in weighings.iter().enumerate() {
            own[weighing.at].push(j);
        }
        let mut solution = Self {
            all: View {
                structure,
                fit,
                z: reconciled.z_power.clone(),
            },
            tree,
            model,
            unknown,
            kept,
            critical: balance::sidak_critical(ALPHA, tested),
            sound,
            own,
            items_in,
            readings_with,
            weighings,
            reconciled,
            set_aside,
            unused: Vec::new(),
            excesses: Vec::new(),
            below_nothing: Vec::new(),
        };
        solution.excesses = solution.excesses();
        solution.below_nothing = solution.below_nothing();
        solution
    }

    fn view(&self) -> &View {
        self.sound.as_ref().unwrap_or(&self.all)
    }

    pub(super) fn structure(&self) -> &Structure {
        &self.view().structure
    }

    pub(super) fn fit(&self) -> &Fit {
        &self.view().fit
    }

    /// Returns the mass of one of `item` and its standard uncertainty, both in grams; `None` where the
    /// weighings do not determine it.
    pub fn of(&self, item: &str) -> Option<(f64, f64)> {
        let item = self.tree.find(item)?;
        self.adjusted(item).or_else(|| self.measured(item))
    }

    /// Returns the mass of one of item number `item` by the sound weighings, and its standard uncertainty,
    /// g; `None` where they do not determine it, or say that it weighs less than nothing.
    pub fn adjusted(&self, item: usize) -> Option<(f64, f64)> {
        self.unlimited(item).filter(|(mass, _)| *mass >= 0.0)
    }

    /// As [`MassSolution::adjusted`], below nothing too.
    pub(super) fn unlimited(&self, item: usize) -> Option<(f64, f64)> {
        let unknown = self.unknown[item];
        self.structure().is_determined(unknown).then(|| {
            let variance = self.fit().covariance(unknown, unknown).max(0.0);
            (self.fit().mass(unknown), variance.sqrt())
        })
    }

    /// Returns whether the mass of `item` rests on weighings that agree (or that nothing checks), and
    /// not on a reading that was set aside.
    pub fn is_sound(&self, item: &str) -> bool {
        self.tree
            .find(item)
            .is_some_and(|i| self.structure().is_determined(self.unknown[i]))
    }

    /// Returns whether the limit of error of a reading is assumed.
    pub fn is_assumed(&self, reading: &str) -> bool {
        self.weighings
            .iter()
            .any(|w| w.reading == reading && w.limit_assumed)
    }

    /// Returns why the mass of `item` decides nothing: what was weighed contradicts itself there.
    pub fn contradicted(&self, item: &str) -> Option<String> {
        let at = self.tree.find(item)?;
        let own = &self.own[at];
        if !self.is_sound(item) && !own.is_empty() && own.iter().all(|&j| !self.kept[j]) {
            return Some(
                "the weighings contradict each other, and this one was set aside".to_string(),
            );
        }
        let is_part = |e: &&Excess| e.whole == at || e.pieces.contains(&at);
        self.excesses.iter().find(is_part).map(|_| {
            "pieces that were weighed are heavier than what holds them, so that one weighing is wrong"
                .to_string()
        })
    }

    /// Returns the correlation coefficient of the masses of two neighbours in the tree, by the sound
    /// weighings; `None` where one is not determined.
    pub(super) fn correlation(&self, a: usize, b: usize) -> Option<f64> {
        let scale = self.adjusted(a)?.1 * self.adjusted(b)?.1;
        let covariance = self.fit().covariance(self.unknown[a], self.unknown[b]);
        Some(if scale > 0.0 {
            (covariance / scale).clamp(-1.0, 1.0)
        } else {
            0.0
        })
    }

    /// Returns what a weighing should have shown by all sound weighings, and the standard uncertainty of
    /// that, g; `None` where they do not determine it.
    pub fn expected(&self, weighing: usize) -> Option<(f64, f64)> {
        let terms = &self.model.rows.get(weighing)?.terms;
        self.structure().determines(terms).then(|| {
            let (mass, variance) = self.fit().sum(terms);
            (mass, variance.sqrt())
        })
    }

    /// Returns the measurement statistic of a weighing: among the sound ones, or among all of them if it
    /// was set aside. Zero where nothing checks it.
    pub fn z(&self, weighing: usize) -> f64 {
        if self.kept[weighing] {
            self.view().z[weighing]
        } else {
            self.all.z[weighing]
        }
    }

    /// Returns whether a weighing is flagged: set aside, or beyond the critical value among the sound.
    pub fn is_flagged(&self, weighing: usize) -> bool {
        !self.kept[weighing] || self.z(weighing).abs() > self.critical_z()
    }

    /// Returns the adjusted mass of one of `item` as an input of a derivation.
    pub fn input(&self, item: &str, name: &str) -> Option<Input> {
        let (mass, uncertainty) = self.of(item)?;
        let source = Source {
            origin: Origin::Derived,
            evidence: inputs::locators(&self.evidence(item)),
            note: "from all weighings, adjusted to each other".to_string(),
        };
        let law = Distribution::Normal {
            mean: mass / 1000.0,
            sd: uncertainty / 1000.0,
        };
        Some(Input::distributed(name, law, inputs::unit("g"), source))
    }

    /// Returns whether the weighings agree at the 5 % level; `None` where none checks another.
    pub fn agree(&self) -> Option<bool> {
        self.reconciled.p_value().map(|p| p >= ALPHA)
    }

    /// Returns the |z| above which a reading is flagged: Šidák for the readings that are checked.
    pub fn critical_z(&self) -> f64 {
        self.critical
    }

    /// Returns all weighings of item number `item`.
    pub fn weighings_of(&self, item: usize) -> &[usize] {
        &self.own[item]
    }

    /// Returns the mean of the direct weighings of one complete item as weights of weighings; empty
    /// without one.
    pub(super) fn direct(&self, item: usize) -> Vec<(usize, f64)> {
        let complete = |j: &&usize| !self.weighings[**j].incomplete;
        let n = self.own[item].iter().filter(complete).count() as f64;
        self.own[item]
            .iter()
            .filter(complete)
            .map(|&j| (j, 1.0 / (n * self.weighings[j].pieces)))
            .collect()
    }

    /// Returns the directly weighed mass of one of item number `item`, and its standard uncertainty, g.
    pub fn measured(&self, item: usize) -> Option<(f64, f64)> {
        let weights = self.direct(item);
        (!weights.is_empty()).then(|| {
            let (mass, variance) = self.model.combination(&weights);
            (mass, variance.sqrt())
        })
    }

    /// Returns the readings whose error, if only one is wrong, cannot be told from an error of
    /// `weighing`: it enters every balance in the same proportion. Includes `weighing` itself.
    pub fn alike(&self, weighing: usize) -> Vec<usize> {
        self.all.structure.alike(weighing)
    }

    /// Returns what the other weighings say that `weighing` should have shown; `None` where they do
    /// not determine it.
    pub fn without(&self, weighing: usize) -> Option<Suspect> {
        if !self.all.structure.checked[weighing] {
            return None;
        }
        let fit = &self.all.fit;
        let drop = fit.pull(weighing).powi(2) / fit.power(weighing);
        Some(Suspect {
            weighing,
            should_be: fit.left_out(weighing, &self.model.rows[weighing]),
            chi_square: (self.reconciled.chi_square - drop).max(0.0),
            degrees_of_freedom: self.reconciled.degrees_of_freedom - 1,
        })
    }
}
