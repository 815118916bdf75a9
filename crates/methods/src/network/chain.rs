//! What one path can pass.
//!
//! In: a path and what its supply offers. Out: every limit along it, expressed as the current it
//! allows at the end of the path, and which is the smallest.
//! Not here: finding paths; wording.
//!
//! A stage that passes current (linear charger, linear regulator, switch) has a current ratio of
//! one; a stage that passes energy has `efficiency × volts in ÷ volts out`. With these ratios each
//! limit is linear in the current at the end, so the limits compare without a search. Amounts are
//! totals over equal items working side by side.

use super::fate::{VoltageFate, voltage_fate};
use super::graph::Path;
use super::limits::{Collector, Limit};
use super::stage::{
    Around, Kind, Ratio, Stage, cell_voltage, gains, is_charger, is_unknown_stage,
    power_as_current, stage,
};
use super::supply::offers;
use crate::Case;
use crate::cells::is_cell;
use crate::grounds::Grounds;
use crate::words::called;
use quantity::{Dimension, Origin, Sheet, Term};
use record::{ConversionKind, Item};

/// What is offered at the start of a path.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Supply<'s> {
    pub(crate) volts: Option<Term<'s>>,
    pub(crate) amps: Option<Term<'s>>,
    pub(crate) watts: Option<Term<'s>>,
    /// Power that several contacts share.
    pub(crate) shared: Option<Term<'s>>,
}

/// Everything found along one path.
#[derive(Debug)]
pub(crate) struct Chain<'s> {
    pub(crate) stages: Vec<Stage<'s>>,
    pub(crate) limits: Vec<Limit<'s>>,
    /// Index of the smallest limit.
    pub(crate) binding: Option<usize>,
    /// The current that the smallest limit allows at the end, total of equal items.
    pub(crate) current: Option<Term<'s>>,
    /// For each stage the current at the end over the current into it; one more than stages.
    pub(crate) gains: Vec<Ratio<'s>>,
    /// Whether the stage that feeds the cell at the end states a limit of its own.
    pub(crate) charge_is_set: bool,
    /// Whether any stage lies between start and end.
    pub(crate) between: bool,
    /// A linear stage that would have to lift the voltage, which it cannot.
    pub(crate) lifts: Option<String>,
    pub(crate) grounds: Grounds,
}

impl<'s> Chain<'s> {
    /// Returns the current at the end over the current at the start.
    pub(crate) fn gain(&self) -> Ratio<'s> {
        self.gains[0]
    }
}

/// Principles that unknown stages are taken to have, by item.
pub(crate) type Guess<'g> = &'g [(&'g str, ConversionKind)];

/// Follows a path from everything its start may offer, one at a time, and keeps what lets the most
/// current through without harm.
pub(crate) fn best<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    path: &Path<'_>,
    guess: Guess<'_>,
) -> Chain<'s> {
    let mut kept: Option<(bool, f64, Chain<'s>)> = None;
    for (supply, mut grounds) in offers(sheet, case, path.start()) {
        let chain = follow(sheet, case, path, supply, guess);
        let volts = supply.volts.and_then(|v| sheet.value(v).ok());
        let fate = volts.map(|v| voltage_fate(path, v, &mut Grounds::default()));
        let stood = !matches!(
            fate,
            Some(VoltageFate::Exceeds(_) | VoltageFate::Blocked(_))
        );
        let amps = chain.binding.map_or(0.0, |k| chain.limits[k].amps);
        let better = kept
            .as_ref()
            .is_none_or(|(s, a, _)| (stood, amps) > (*s, *a));
        if better {
            grounds.absorb(chain.grounds);
            kept = Some((stood, amps, Chain { grounds, ..chain }));
        }
    }
    kept.map(|(.., chain)| chain)
        .expect("a start offers at least one supply")
}

/// What each item of a path is taken to be.
fn kinds(path: &Path<'_>, guess: Guess<'_>) -> Vec<Kind> {
    let last = path.items.len() - 1;
    let of = |(k, item): (usize, &&Item)| {
        // A path that starts at a cell leaves it at the cell's own voltage; one that ends at a cell
        // ends there.
        if (k == 0 || k == last) && is_cell(item) {
            return Kind::Wire;
        }
        if !is_unknown_stage(item) || (k == last && item.converts.is_none()) {
            return item
                .converts
                .as_ref()
                .map_or(Kind::Wire, |c| Kind::Stage(c.kind));
        }
        let guessed = guess.iter().find(|(id, _)| *id == item.id);
        guessed.map_or(Kind::Unknown, |(_, kind)| Kind::Stage(*kind))
    };
    path.items.iter().enumerate().map(of).collect()
}

/// Returns the place of the stage that feeds the cell at the end: nothing but wires and switches follow.
fn feeding(kinds: &[Kind]) -> Option<usize> {
    kinds.iter().rposition(|k| !passes(k))
}

/// Returns whether voltage and current pass unchanged.
fn passes(kind: &Kind) -> bool {
    matches!(kind, Kind::Wire | Kind::Stage(ConversionKind::Switch))
}

/// Returns the first linear stage that would have to lift its voltage.
fn lifting(sheet: &Sheet, items: &[&Item], kinds: &[Kind], stages: &[Stage<'_>]) -> Option<String> {
    let linear = |k: &Kind| {
        matches!(
            k,
            Kind::Stage(ConversionKind::LinearCharger | ConversionKind::LinearRegulator)
        )
    };
    let all = items.iter().zip(kinds).zip(stages);
    let mut lifts = all.filter(|((_, kind), stage)| {
        let volts = stage.volts_in.zip(stage.volts_out);
        let volts = volts.and_then(|(a, b)| sheet.value(a).ok().zip(sheet.value(b).ok()));
        linear(kind) && volts.is_some_and(|(from, to)| from <= to)
    });
    lifts.next().map(|((item, _), _)| called(item))
}

/// Follows a path from one supply and compares the limits on it.
pub(crate) fn follow<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    path: &Path<'_>,
    supply: Supply<'s>,
    guess: Guess<'_>,
) -> Chain<'s> {
    let mut grounds = Grounds::default();
    let end = path.end();
    let kinds = kinds(path, guess);
    let feeding = feeding(&kinds).filter(|_| is_cell(end));
    let cell_volts = is_cell(end).then(|| cell_voltage(sheet, end, &mut grounds));
    let mut stages = Vec::new();
    let mut efficiencies = Vec::new();
    let mut volts = supply.volts;
    for (k, item) in path.items.iter().enumerate() {
        let link_volts = path.links.get(k).and_then(|link| {
            let stated = link.voltage.as_ref()?;
            let name = format!(
                "voltage from {} to {}",
                called(item),
                called(path.items[k + 1])
            );
            let place = case.link_place(*link).at("voltage");
            grounds.fact(
                sheet,
                name,
                stated,
                Dimension::VOLTAGE,
                Origin::Measured,
                place,
            )
        });
        let volts_in = volts;
        let charges = feeding == Some(k) || item.converts.as_ref().is_some_and(is_charger);
        let around = Around {
            volts_in,
            link_volts,
            cell_volts: cell_volts.filter(|_| charges),
        };
        let (volts_out, ratio, efficiency) = stage(sheet, item, kinds[k], around, &mut grounds);
        stages.push(Stage {
            volts_in,
            volts_out,
            ratio,
        });
        efficiencies.push(efficiency);
        volts = volts_out;
    }
    let lifts = lifting(sheet, &path.items, &kinds, &stages);
    let after = gains(&stages);
    let mut collector = Collector {
        sheet,
        case,
        path,
        stages: &stages,
        after: &after,
        grounds: &mut grounds,
        limits: Vec::new(),
    };
    let start = path.start();
    if let Some(amps) = supply.amps {
        let what = format!("rated current of {}", crate::words::the(start));
        collector.add(start, false, what, amps, 0, false);
    }
    for (watts, what) in [
        (supply.watts, "rated power"),
        (supply.shared, "shared power"),
    ] {
        let Some(watts) = watts else { continue };
        let what = format!("{what} of {}", start.name);
        match power_as_current(&stages, &efficiencies, watts) {
            Some((amps, k)) => collector.add(start, false, what, amps, k, false),
            None => collector.grounds.unused(format!(
                "{what}: no voltage is known to turn it into a current"
            )),
        }
    }
    for k in 0..path.items.len() {
        collector.item(k);
    }
    let limits = collector.limits;
    let binding = limits
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.amps.total_cmp(&b.1.amps))
        .map(|(k, _)| k);
    let current = binding.map(|k| limits[k].term);
    let charger = feeding.map(|k| path.items[k].id.as_str());
    let charge_is_set = limits
        .iter()
        .any(|l| l.set && Some(l.item.as_str()) == charger);
    Chain {
        stages,
        limits,
        binding,
        current,
        gains: after,
        charge_is_set,
        between: kinds.iter().any(|k| !passes(k)),
        lifts,
        grounds,
    }
}
