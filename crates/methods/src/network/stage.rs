//! One stage of a path: how its output current follows from its input current.
//!
//! In: an item and the volts before it. Out: the volts behind it and the ratio of currents; assumed
//! efficiencies and cell voltages with the assumption listed. Not here: limits.

use super::pack::Joined;
use crate::assumed;
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::words::called;
use quantity::{Dimension, Origin, Sheet, Term};
use record::{Conversion, ConversionKind, Item, ItemKind, Place};

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

/// What an item on a path is taken to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Passes voltage and current as they are.
    Wire,
    /// A stage of a known or guessed principle.
    Stage(ConversionKind),
    /// A stage of which nothing is known: it is no wire.
    Unknown,
}

/// Roles of parts that power passes through unchanged.
const PASSIVE: [&str; 17] = [
    "fuse",
    "protect",
    "switch",
    "connector",
    "resistor",
    "shunt",
    "sense",
    "inductor",
    "choke",
    "ferrite",
    "thermistor",
    "capacitor",
    "diode",
    "transistor",
    "fet",
    "clamp",
    "filter",
];

/// Returns whether power may be converted in an item although no known principle is stated.
pub(crate) fn is_unknown_stage(item: &Item) -> bool {
    if let Some(conversion) = &item.converts {
        return conversion.kind == ConversionKind::Unknown;
    }
    let role = item.role.as_deref().unwrap_or_default().to_lowercase();
    let may = matches!(
        item.kind,
        ItemKind::Part | ItemKind::Board | ItemKind::Assembly | ItemKind::Other | ItemKind::Unknown
    );
    may && item.contact.is_none() && !PASSIVE.iter().any(|word| role.contains(word))
}

/// What surrounds a stage.
#[derive(Debug, Clone, Copy)]
pub(super) struct Around<'s> {
    pub(super) volts_in: Option<Term<'s>>,
    pub(super) link_volts: Option<Term<'s>>,
    /// The voltage of the cell that the stage charges.
    pub(super) cell_volts: Option<Term<'s>>,
}

pub(super) type StageParts<'s> = (Option<Term<'s>>, Ratio<'s>, Option<Term<'s>>);

/// Returns the volts behind an item, its ratio of currents and, where energy passes, its efficiency.
pub(super) fn stage<'s>(
    sheet: &'s Sheet,
    item: &Item,
    kind: Kind,
    around: Around<'s>,
    grounds: &mut Grounds,
) -> StageParts<'s> {
    let Around {
        volts_in,
        link_volts,
        cell_volts,
    } = around;
    let through = volts_in.or(link_volts);
    let kind = match kind {
        Kind::Wire | Kind::Stage(ConversionKind::Switch) => return (through, Ratio::One, None),
        Kind::Stage(kind) => Some(kind),
        Kind::Unknown => None,
    };
    let stated = item.converts.as_ref().and_then(|conversion| {
        let place = Place::item(&item.id).at("converts.output-voltage");
        grounds.rated(
            sheet,
            &format!("output voltage of {}", called(item)),
            conversion.output_voltage.as_ref()?,
            &assumed::REGULATED_VOLTAGE,
            Dimension::VOLTAGE,
            conversion.origin.unwrap_or(Origin::DataSheet),
            place,
        )
    });
    // A charger follows its cell, and so does an unknown stage right before one.
    let volts_out = match kind {
        Some(ConversionKind::LinearRegulator | ConversionKind::SwitchedRegulator)
        | Some(ConversionKind::InductiveReceiver) => stated.or(link_volts),
        _ => cell_volts.or(stated).or(link_volts),
    };
    let Some(kind) = kind else {
        return (volts_out, Ratio::Unknown, None);
    };
    if !is_switched(kind) {
        return (volts_out, Ratio::One, None);
    }
    let efficiency = efficiency(sheet, item, kind, grounds);
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
    kind: ConversionKind,
    grounds: &mut Grounds,
) -> Term<'s> {
    let name = format!("efficiency of {}", called(item));
    let conversion = item.converts.as_ref();
    let origin = conversion
        .and_then(|c| c.origin)
        .unwrap_or(Origin::DataSheet);
    let own = conversion.and_then(|c| c.efficiency.as_ref());
    let rating = item.part.as_ref().and_then(|p| p.ratings.get("efficiency"));
    if let Some(stated) = own.or(rating) {
        let place = if own.is_some() {
            "converts"
        } else {
            "part.ratings"
        };
        let place = Place::item(&item.id).at(place).at("efficiency");
        let row = &assumed::STATED_EFFICIENCY;
        if let Some(term) = grounds.rated(sheet, &name, stated, row, Dimension::NONE, origin, place)
        {
            return term;
        }
    }
    let row = if kind == ConversionKind::InductiveReceiver {
        &assumed::INDUCTIVE_EFFICIENCY
    } else {
        &assumed::SWITCHED_EFFICIENCY
    };
    grounds.assumed(
        sheet,
        &name,
        row,
        &format!("state `converts.efficiency` of {} to change it", item.id),
    )
}

/// Returns the mean voltage of a discharge of a cell, or of cells in series together: the nominal one as stated, or that
/// of the usual chemistry, listed as an assumption.
pub(crate) fn cell_voltage<'s>(sheet: &'s Sheet, item: &Item, grounds: &mut Grounds) -> Term<'s> {
    let one = one_cell_voltage(sheet, item, grounds);
    match Joined::in_series(item) {
        1 => one,
        series => (sheet.number(f64::from(series)) * one).named(
            &format!("voltage of {series} in series, {}", item.name),
            &unit("V"),
        ),
    }
}

/// As [`cell_voltage`], for one cell of several in series.
pub(crate) fn one_cell_voltage<'s>(
    sheet: &'s Sheet,
    item: &Item,
    grounds: &mut Grounds,
) -> Term<'s> {
    let name = format!("mean voltage of {}", called(item));
    let stated = item
        .cell
        .as_ref()
        .and_then(|c| c.nominal_voltage.as_ref().map(|s| (s, c.origin)));
    if let Some((stated, origin)) = stated {
        let place = Place::item(&item.id).at("cell.nominal-voltage");
        let origin = origin.unwrap_or(Origin::Label);
        let row = &assumed::MEAN_VOLTAGE;
        if let Some(term) =
            grounds.rated(sheet, &name, stated, row, Dimension::VOLTAGE, origin, place)
        {
            return term;
        }
    }
    grounds.assumed(
        sheet,
        &name,
        &assumed::LITHIUM_ION_VOLTAGE,
        &format!("state `cell.nominal-voltage` of {} to change it", item.id),
    )
}
