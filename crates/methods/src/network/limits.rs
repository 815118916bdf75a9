//! The limits that stand along a path.
//!
//! In: a path with its stages. Out: every stated limit of current or power, carried to the end of
//! the path. Not here: which of them binds.

use super::graph::Path;
use super::pack::Joined;
use super::stage::{Ratio, Stage, is_charger};
use crate::Case;
use crate::assumed::{self, Row};
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::words::the;
use quantity::{Dimension, Origin, Sheet, Stated, Term};
use record::{Item, Place};

/// One limit on the way.
#[derive(Debug, Clone)]
pub(crate) struct Limit<'s> {
    /// The item it belongs to; for the limit of a link, the item before it.
    pub(crate) item: String,
    /// Whether it belongs to the link after the item.
    pub(crate) on_link: bool,
    /// In words ("charge current limit of charger").
    pub(crate) what: String,
    /// The current it allows at the end of the path.
    pub(crate) term: Term<'s>,
    /// That current, A.
    pub(crate) amps: f64,
    /// Whether it is set in the converter, and not only offered before it or allowed behind it.
    pub(crate) set: bool,
}

/// A limit that an item may state: in words, its own figure with the key, names of ratings that say the same,
/// the place on the path, its usual tolerance.
type Entry<'e> = (
    &'static str,
    (Option<&'e Stated>, &'static str),
    &'static [&'static str],
    usize,
    &'static Row,
);

/// Gathers the limits of one path.
pub(super) struct Collector<'a, 'd, 's> {
    pub(super) sheet: &'s Sheet,
    pub(super) case: &'a Case<'d>,
    pub(super) path: &'a Path<'a>,
    pub(super) stages: &'a [Stage<'s>],
    /// For each place the product of the ratios from there to the end.
    pub(super) after: &'a [Ratio<'s>],
    pub(super) grounds: &'a mut Grounds,
    pub(super) limits: Vec<Limit<'s>>,
}

impl<'s> Collector<'_, '_, 's> {
    /// Adds a limit at place `k`: before stage `k`, or behind stage `k − 1`.
    #[allow(
        clippy::too_many_arguments,
        reason = "each says another thing of the limit"
    )]
    pub(super) fn add(
        &mut self,
        item: &Item,
        on_link: bool,
        what: String,
        amps: Term<'s>,
        k: usize,
        set: bool,
    ) {
        let at_end = match self.after[k] {
            Ratio::One => amps,
            Ratio::Times(ratio) => {
                let name = format!("current at {} allowed by {what}", self.path.end().name);
                (amps * ratio).named(&name, &unit("A"))
            }
            Ratio::Unknown => {
                self.grounds.unused(format!(
                    "{what}: cannot be carried to the end of the path because a voltage on the way is not stated"
                ));
                return;
            }
        };
        match self.sheet.value(at_end) {
            Ok(amps) => self.limits.push(Limit {
                item: item.id.clone(),
                on_link,
                what,
                term: at_end,
                amps,
                set,
            }),
            Err(error) => self.grounds.unused(format!("{what}: {error}")),
        }
    }

    /// Adds every limit that the item number `k` of the path and the link behind it state.
    pub(super) fn item(&mut self, k: usize) {
        let item = self.path.items[k];
        self.currents(item, k);
        self.power(item, k);
        self.link(item, k);
        if k + 1 == self.path.items.len() {
            self.cell(item, k);
        }
    }

    /// The total over all equal items.
    fn many(&self, item: &Item, term: Term<'s>) -> Term<'s> {
        match self.case.tree().pieces(item) {
            0 | 1 => term,
            pieces => self.sheet.number(f64::from(pieces)) * term,
        }
    }

    fn currents(&mut self, item: &Item, k: usize) {
        let conversion = item.converts.as_ref();
        let charges = conversion.is_some_and(is_charger);
        let output = if charges {
            "charge current limit"
        } else {
            "output current limit"
        };
        let entries: [Entry<'_>; 2] = [
            (
                "input current limit",
                (
                    conversion.and_then(|c| c.input_current_limit.as_ref()),
                    "input-current-limit",
                ),
                &["input-current-limit"],
                k,
                &assumed::INPUT_LIMIT,
            ),
            (
                output,
                (
                    conversion.and_then(|c| c.output_current_limit.as_ref()),
                    "output-current-limit",
                ),
                &["charge-current-limit", "output-current-limit"],
                k + 1,
                if charges {
                    &assumed::CHARGE_LIMIT
                } else {
                    &assumed::OUTPUT_LIMIT
                },
            ),
        ];
        for (kind, own, names, place, tolerance) in entries {
            let Some((stated, at)) = stated(item, own, names) else {
                continue;
            };
            let what = format!("{kind} of {}", the(item));
            let term = self.grounds.rated(
                self.sheet,
                &what,
                stated,
                tolerance,
                Dimension::CURRENT,
                origin(item),
                at,
            );
            if let Some(term) = term {
                self.add(item, false, what, self.many(item, term), place, true);
            }
        }
    }

    fn power(&mut self, item: &Item, k: usize) {
        let Some(stated) = item
            .converts
            .as_ref()
            .and_then(|c| c.output_power_limit.as_ref())
        else {
            return;
        };
        let what = format!("output power limit of {}", the(item));
        let from = Place::item(&item.id).at("converts.output-power-limit");
        let watts = self.grounds.rated(
            self.sheet,
            &what,
            stated,
            &assumed::POWER_LIMIT,
            Dimension::POWER,
            origin(item),
            from,
        );
        match (watts, self.stages[k].volts_out) {
            (Some(watts), Some(volts)) => {
                let amps = self.many(item, watts) / volts;
                self.add(item, false, what, amps, k + 1, true);
            }
            (Some(_), None) => self
                .grounds
                .unused(format!("{what}: its output voltage is not stated")),
            (None, _) => {}
        }
    }

    fn link(&mut self, item: &Item, k: usize) {
        let Some(link) = self.path.links.get(k) else {
            return;
        };
        let Some(stated) = &link.current_limit else {
            return;
        };
        let next = the(self.path.items[k + 1]);
        let what = format!("current limit of the link from {} to {next}", the(item));
        let from = self.case.link_place(*link).at("current-limit");
        let sheet = self.sheet;
        let term = self.grounds.nominal(
            sheet,
            what.as_str(),
            stated,
            Dimension::CURRENT,
            Origin::DataSheet,
            from,
        );
        if let Some(term) = term {
            self.add(item, true, what, self.many(item, term), k + 1, false);
        }
    }

    fn cell(&mut self, item: &Item, k: usize) {
        let Some(cell) = &item.cell else { return };
        let Some(stated) = &cell.charge_current else {
            return;
        };
        let what = format!("largest charge current of {}", the(item));
        let from = Place::item(&item.id).at("cell.charge-current");
        let origin = cell.origin.unwrap_or(Origin::DataSheet);
        let term = self.grounds.nominal(
            self.sheet,
            what.as_str(),
            stated,
            Dimension::CURRENT,
            origin,
            from,
        );
        if let Some(term) = term {
            let joined = Joined::of(self.case, item);
            let side_by_side = f64::from(joined.parallel * joined.groups);
            let term = if side_by_side > 1.0 {
                self.sheet.number(side_by_side) * term
            } else {
                term
            };
            self.add(item, false, what, term, k + 1, false);
        }
    }
}

/// Returns the item's own figure, or the first of its part's ratings of these names, with its place.
fn stated<'d>(
    item: &'d Item,
    (own, key): (Option<&'d Stated>, &str),
    names: &[&str],
) -> Option<(&'d Stated, Place)> {
    let at = |table: &str, key: &str| Place::item(&item.id).at(table).at(key);
    let ratings = || item.part.as_ref().map(|p| &p.ratings);
    own.map(|s| (s, at("converts", key))).or_else(|| {
        names
            .iter()
            .find_map(|n| Some((ratings()?.get(*n)?, at("part.ratings", n))))
    })
}

fn origin(item: &Item) -> Origin {
    let converts = item.converts.as_ref().and_then(|c| c.origin);
    let part = item.part.as_ref().and_then(|p| p.ratings_origin);
    converts.or(part).unwrap_or(Origin::DataSheet)
}
