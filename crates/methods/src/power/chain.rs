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

use super::network::{Path, called, is_cell, multiplicity};
use crate::basis::unit;
use crate::ledger::Ledger;
use quantity::{Dimension, Distribution, Origin, Sheet, Stated, Term};
use record::{Conversion, ConversionKind, Dossier, Item};

/// What is offered at the start of a path.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Supply<'s> {
    pub(crate) volts: Option<Term<'s>>,
    pub(crate) amps: Option<Term<'s>>,
    pub(crate) watts: Option<Term<'s>>,
}

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
}

/// The volts before and after one item and how its output current follows from its input current.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stage<'s> {
    pub(crate) volts_in: Option<Term<'s>>,
    pub(crate) volts_out: Option<Term<'s>>,
    pub(crate) ratio: Ratio<'s>,
}

/// Output current over input current.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Ratio<'s> {
    /// The same current flows in and out.
    One,
    /// Energy passes: efficiency × volts in ÷ volts out.
    Times(Term<'s>),
    /// A voltage is not known.
    Unknown,
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
    /// Current at the end over current at the start.
    pub(crate) gain: Ratio<'s>,
    pub(crate) ledger: Ledger,
}

/// Follows a path from its supply and compares the limits on it.
pub(crate) fn follow<'s>(
    sheet: &'s Sheet,
    dossier: &Dossier,
    path: &Path<'_>,
    supply: Supply<'s>,
) -> Chain<'s> {
    let mut ledger = Ledger::default();
    let end = path.end();
    let cell_volts = is_cell(end).then(|| cell_voltage(sheet, end, &mut ledger));
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
            let place = format!("links.{}-{}.voltage", link.from, link.to);
            ledger.fact(
                sheet,
                name,
                stated,
                Dimension::VOLTAGE,
                Origin::Measured,
                place,
            )
        });
        let volts_in = volts;
        // A path that starts at a cell leaves it at the cell's own voltage.
        let conversion = if k + 1 < path.items.len() || !is_cell(item) {
            item.converts.as_ref()
        } else {
            None
        };
        let (volts_out, ratio, efficiency) = stage(
            sheet,
            item,
            conversion,
            volts_in,
            link_volts,
            cell_volts,
            &mut ledger,
        );
        stages.push(Stage {
            volts_in,
            volts_out,
            ratio,
        });
        efficiencies.push(efficiency);
        volts = volts_out;
    }
    let after = gains(&stages);
    let mut limits = Vec::new();
    let mut add = |item: &Item,
                   on_link: bool,
                   what: String,
                   amps: Option<Term<'s>>,
                   k: usize,
                   ledger: &mut Ledger| {
        let Some(amps) = amps else { return };
        let at_end = match after[k] {
            Ratio::One => amps,
            Ratio::Times(ratio) => (amps * ratio).named(
                &format!("current at {} allowed by {what}", end.name),
                &unit("A"),
            ),
            Ratio::Unknown => {
                ledger.unused(format!("{what}: cannot be carried to the end of the path because a voltage on the way is not stated"));
                return;
            }
        };
        match sheet.value(at_end) {
            Ok(value) => limits.push(Limit {
                item: item.id.clone(),
                on_link,
                what,
                term: at_end,
                amps: value,
            }),
            Err(error) => ledger.unused(format!("{what}: {error}")),
        }
    };
    let start = path.start();
    add(
        start,
        false,
        format!("rated current of {}", start.name),
        supply.amps,
        0,
        &mut ledger,
    );
    if let (None, Some(watts)) = (supply.amps, supply.watts) {
        let what = format!("rated power of {}", start.name);
        match power_as_current(&stages, &efficiencies, watts) {
            Some((amps, k)) => add(start, false, what, Some(amps), k, &mut ledger),
            None => ledger.unused(format!(
                "{what}: no voltage is known to turn it into a current"
            )),
        }
    }
    for (k, item) in path.items.iter().enumerate() {
        let pieces = multiplicity(dossier, item);
        let many = |term: Term<'s>| {
            if pieces > 1 {
                sheet.number(f64::from(pieces)) * term
            } else {
                term
            }
        };
        let rating = |name: &str| item.part.as_ref().and_then(|p| p.ratings.get(name));
        let conversion = item.converts.as_ref();
        let origin = conversion
            .and_then(|c| c.origin)
            .or_else(|| item.part.as_ref().and_then(|p| p.ratings_origin))
            .unwrap_or(Origin::DataSheet);
        let first = |own: Option<&'_ Stated>, names: &[&str]| -> Option<(Stated, String)> {
            own.map(|s| (s.clone(), "converts".to_string()))
                .or_else(|| {
                    names
                        .iter()
                        .find_map(|n| rating(n).map(|s| (s.clone(), format!("part.ratings.{n}"))))
                })
        };
        let entries = [
            (
                "input current limit",
                first(
                    conversion.and_then(|c| c.input_current_limit.as_ref()),
                    &["input-current-limit"],
                ),
                k,
            ),
            (
                if conversion.is_some_and(is_charger) {
                    "charge current limit"
                } else {
                    "output current limit"
                },
                first(
                    conversion.and_then(|c| c.output_current_limit.as_ref()),
                    &["charge-current-limit", "output-current-limit"],
                ),
                k + 1,
            ),
        ];
        for (kind, found, place) in entries {
            let Some((stated, at)) = found else { continue };
            let what = format!("{kind} of {}", called(item));
            let from = format!("items.{}.{at}", item.id);
            let term = ledger.fact(
                sheet,
                what.as_str(),
                &stated,
                Dimension::CURRENT,
                origin,
                from,
            );
            add(item, false, what, term.map(many), place, &mut ledger);
        }
        if let Some(stated) = conversion.and_then(|c| c.output_power_limit.as_ref()) {
            let what = format!("output power limit of {}", called(item));
            let from = format!("items.{}.converts.output-power-limit", item.id);
            let watts = ledger.fact(sheet, what.as_str(), stated, Dimension::POWER, origin, from);
            match (watts, stages[k].volts_out) {
                (Some(watts), Some(volts)) => add(
                    item,
                    false,
                    what,
                    Some(many(watts) / volts),
                    k + 1,
                    &mut ledger,
                ),
                (Some(_), None) => {
                    ledger.unused(format!("{what}: its output voltage is not stated"))
                }
                (None, _) => {}
            }
        }
        if let Some((link, stated)) = path
            .links
            .get(k)
            .and_then(|l| l.current_limit.as_ref().map(|s| (l, s)))
        {
            let what = format!(
                "current limit of the link from {} to {}",
                called(item),
                called(path.items[k + 1])
            );
            let from = format!("links.{}-{}.current-limit", link.from, link.to);
            let term = ledger.nominal(
                sheet,
                what.as_str(),
                stated,
                Dimension::CURRENT,
                Origin::DataSheet,
                from,
            );
            add(item, true, what, term.map(many), k + 1, &mut ledger);
        }
        if k + 1 == path.items.len() {
            let allowed = item
                .cell
                .as_ref()
                .and_then(|c| c.charge_current.as_ref().map(|s| (s, c.origin)));
            if let Some((stated, origin)) = allowed {
                let what = format!("largest charge current of {}", called(item));
                let from = format!("items.{}.cell.charge-current", item.id);
                let origin = origin.unwrap_or(Origin::DataSheet);
                let term = ledger.nominal(
                    sheet,
                    what.as_str(),
                    stated,
                    Dimension::CURRENT,
                    origin,
                    from,
                );
                add(item, false, what, term.map(many), k + 1, &mut ledger);
            }
        }
    }
    let binding = limits
        .iter()
        .enumerate()
        .min_by(|a, b| a.1.amps.total_cmp(&b.1.amps))
        .map(|(k, _)| k);
    let current = binding.map(|k| limits[k].term);
    Chain {
        stages,
        limits,
        binding,
        current,
        gain: after[0],
        ledger,
    }
}

/// Returns for each place the product of the ratios from there to the end; one more than stages.
fn gains<'s>(stages: &[Stage<'s>]) -> Vec<Ratio<'s>> {
    let mut gains = vec![Ratio::One; stages.len() + 1];
    for k in (0..stages.len()).rev() {
        gains[k] = match (stages[k].ratio, gains[k + 1]) {
            (Ratio::Unknown, _) | (_, Ratio::Unknown) => Ratio::Unknown,
            (Ratio::One, other) | (other, Ratio::One) => other,
            (Ratio::Times(a), Ratio::Times(b)) => Ratio::Times(a * b),
        };
    }
    gains
}

/// Turns a rated power at the start into a current, at the start where its voltage is known,
/// otherwise behind the first converter that passes energy.
fn power_as_current<'s>(
    stages: &[Stage<'s>],
    efficiencies: &[Option<Term<'s>>],
    watts: Term<'s>,
) -> Option<(Term<'s>, usize)> {
    if let Some(volts) = stages.first().and_then(|s| s.volts_in.or(s.volts_out)) {
        return Some((watts / volts, 0));
    }
    let k = efficiencies.iter().position(Option::is_some)?;
    let (efficiency, volts) = (efficiencies[k]?, stages[k].volts_out?);
    Some((efficiency * watts / volts, k + 1))
}

/// Returns whether the conversion charges a cell.
pub(crate) fn is_charger(conversion: &Conversion) -> bool {
    matches!(
        conversion.kind,
        ConversionKind::LinearCharger | ConversionKind::SwitchedCharger
    )
}

/// Returns whether the conversion passes energy, not current.
pub(crate) fn is_switched(kind: ConversionKind) -> bool {
    matches!(
        kind,
        ConversionKind::SwitchedCharger
            | ConversionKind::SwitchedRegulator
            | ConversionKind::InductiveReceiver
    )
}

type StageParts<'s> = (Option<Term<'s>>, Ratio<'s>, Option<Term<'s>>);

fn stage<'s>(
    sheet: &'s Sheet,
    item: &Item,
    conversion: Option<&Conversion>,
    volts_in: Option<Term<'s>>,
    link_volts: Option<Term<'s>>,
    cell_volts: Option<Term<'s>>,
    ledger: &mut Ledger,
) -> StageParts<'s> {
    let Some(conversion) = conversion else {
        return (volts_in.or(link_volts), Ratio::One, None);
    };
    let origin = conversion.origin.unwrap_or(Origin::DataSheet);
    let stated = conversion.output_voltage.as_ref().and_then(|s| {
        let place = format!("items.{}.converts.output-voltage", item.id);
        ledger.fact(
            sheet,
            format!("output voltage of {}", called(item)),
            s,
            Dimension::VOLTAGE,
            origin,
            place,
        )
    });
    let volts_out = match conversion.kind {
        ConversionKind::LinearCharger | ConversionKind::SwitchedCharger => {
            cell_volts.or(stated).or(link_volts)
        }
        ConversionKind::Switch => volts_in.or(link_volts),
        _ => stated.or(link_volts),
    };
    if !is_switched(conversion.kind) {
        return (volts_out, Ratio::One, None);
    }
    let efficiency = efficiency(sheet, item, conversion, ledger);
    let ratio = match (volts_in, volts_out) {
        (Some(from), Some(to)) => Ratio::Times(efficiency * from / to),
        _ => Ratio::Unknown,
    };
    (volts_out, ratio, Some(efficiency))
}

/// Returns the efficiency of a converter: as stated, or assumed with the assumption listed.
fn efficiency<'s>(
    sheet: &'s Sheet,
    item: &Item,
    conversion: &Conversion,
    ledger: &mut Ledger,
) -> Term<'s> {
    let name = format!("efficiency of {}", called(item));
    let origin = conversion.origin.unwrap_or(Origin::DataSheet);
    let rating = item.part.as_ref().and_then(|p| p.ratings.get("efficiency"));
    if let Some(stated) = conversion.efficiency.as_ref().or(rating) {
        let place = format!("items.{}.converts.efficiency", item.id);
        if let Some(term) =
            ledger.fact(sheet, name.as_str(), stated, Dimension::NONE, origin, place)
        {
            return term;
        }
    }
    let (low, mode, high) = if conversion.kind == ConversionKind::InductiveReceiver {
        (0.6, 0.75, 0.85)
    } else {
        (0.75, 0.88, 0.95)
    };
    ledger.assumed(
        sheet,
        &name,
        Distribution::Pert {
            low,
            mode,
            high,
            lambda: 4.0,
        },
        "%",
        &format!(
            "{:.0} % ({:.0}…{:.0} %)",
            mode * 100.0,
            low * 100.0,
            high * 100.0
        ),
        &format!("state `converts.efficiency` of {} to change it", item.id),
    )
}

/// Returns the nominal voltage of a cell: as stated, or that of the usual chemistry, listed as an
/// assumption.
pub(crate) fn cell_voltage<'s>(sheet: &'s Sheet, item: &Item, ledger: &mut Ledger) -> Term<'s> {
    let name = format!("nominal voltage of {}", called(item));
    let stated = item
        .cell
        .as_ref()
        .and_then(|c| c.nominal_voltage.as_ref().map(|s| (s, c.origin)));
    if let Some((stated, origin)) = stated {
        let place = format!("items.{}.cell.nominal-voltage", item.id);
        let origin = origin.unwrap_or(Origin::Label);
        if let Some(term) = ledger.fact(
            sheet,
            name.as_str(),
            stated,
            Dimension::VOLTAGE,
            origin,
            place,
        ) {
            return term;
        }
    }
    ledger.assumed(
        sheet,
        &name,
        Distribution::Rectangular {
            low: 3.6,
            high: 3.85,
        },
        "V",
        "3.6 V to 3.85 V (lithium-ion)",
        &format!("state `cell.nominal-voltage` of {} to change it", item.id),
    )
}
