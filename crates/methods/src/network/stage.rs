//! One stage of a path: how its output current follows from its input current.
//!
//! In: an item and the volts before it. Out: the volts behind it and the ratio of currents; assumed
//! efficiencies and cell voltages with the assumption listed. Not here: limits.

use crate::assumed;
use crate::ledger::Ledger;
use crate::words::called;
use quantity::{Dimension, Origin, Sheet, Term};
use record::{Conversion, ConversionKind, Item, Place};

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

/// Returns for each place the product of the ratios from there to the end; one more than stages.
pub(super) fn gains<'s>(stages: &[Stage<'s>]) -> Vec<Ratio<'s>> {
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
pub(super) fn power_as_current<'s>(
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

pub(super) type StageParts<'s> = (Option<Term<'s>>, Ratio<'s>, Option<Term<'s>>);

/// Returns the volts behind an item, its ratio of currents and, where energy passes, its efficiency.
pub(super) fn stage<'s>(
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
        let place = Place::item(&item.id).at("converts.output-voltage");
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
    if conversion.kind == ConversionKind::Unknown {
        return (volts_out, Ratio::Unknown, None);
    }
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
    let own = conversion.efficiency.as_ref();
    if let Some(stated) = own.or(rating) {
        let table = own.map_or("part.ratings", |_| "converts");
        let place = Place::item(&item.id).at(table).at("efficiency");
        if let Some(term) =
            ledger.fact(sheet, name.as_str(), stated, Dimension::NONE, origin, place)
        {
            return term;
        }
    }
    let row = if conversion.kind == ConversionKind::InductiveReceiver {
        &assumed::INDUCTIVE_EFFICIENCY
    } else {
        &assumed::SWITCHED_EFFICIENCY
    };
    ledger.assumed(
        sheet,
        &name,
        row,
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
        let place = Place::item(&item.id).at("cell.nominal-voltage");
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
        &assumed::LITHIUM_ION_VOLTAGE,
        &format!("state `cell.nominal-voltage` of {} to change it", item.id),
    )
}
