//! The figures of the product as a whole that products are compared by.
//!
//! In: a case. Out: each figure that its record gives, measured or derived; a bound is none.
//! Not here: claims; comparing (`among`, the method `standing`).

use super::value::{Found, found};
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::others::{Trait, TraitKind};
use crate::Case;
use quantity::{Figure, Sheet};
use record::{Claim, ClaimKind, Subject};

/// Returns the figures of a product.
pub(crate) fn traits(case: &Case<'_>) -> Vec<Trait> {
    let kinds = TraitKind::ALL.iter().copied();
    kinds
        .filter_map(|kind| Some(of(kind, &figure(case, kind)?)))
        .collect()
}

fn of(what: TraitKind, figure: &Figure) -> Trait {
    // As wide as its interval says, whatever its distribution.
    let half = (figure.interval.high - figure.interval.low) / 2.0;
    let spread = half / quantity::COVERED;
    Trait {
        what,
        value: figure.unit.to_si(figure.value),
        uncertainty: figure.unit.difference().to_si(spread),
    }
}

/// Returns a figure of the product with its working.
pub(super) fn figure(case: &Case<'_>, kind: TraitKind) -> Option<Figure> {
    let sheet = Sheet::new();
    let mut grounds = Grounds::default();
    let term = match kind {
        TraitKind::EnergyPerMass => {
            let energy = whole(&sheet, case, TraitKind::Energy, &mut grounds)?;
            let mass = whole(&sheet, case, TraitKind::Mass, &mut grounds)?;
            (energy.term / mass.term).named(kind.words(), &unit("Wh/kg"))
        }
        _ => whole(&sheet, case, kind, &mut grounds)?.term,
    };
    let figure = sheet.figure(term).ok()?;
    let interval = figure.interval.low.is_finite() && figure.interval.high.is_finite();
    let same = figure.unit.dimension() == kind.unit().dimension();
    (figure.value.is_finite() && interval && same).then_some(figure)
}

/// The value that would settle a claim of the figure, were it printed.
fn whole<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    kind: TraitKind,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let of = match kind {
        TraitKind::Mass => ClaimKind::Mass,
        TraitKind::Thickness => ClaimKind::Dimension,
        TraitKind::Energy => ClaimKind::Energy,
        TraitKind::Capacity => ClaimKind::Capacity,
        TraitKind::RunTime => ClaimKind::RunTime,
        TraitKind::ChargingTime => ClaimKind::ChargingTime,
        TraitKind::Light => ClaimKind::LuminousFlux,
        TraitKind::NoiseReduction => ClaimKind::NoiseReduction,
        TraitKind::Delay => ClaimKind::Delay,
        TraitKind::EnergyPerMass => return None,
    };
    let thickness = (kind == TraitKind::Thickness).then(|| "thickness".to_string());
    let claim = Claim {
        id: kind.key().to_string(),
        text: String::new(),
        printed: String::new(),
        says: Subject {
            dimension: thickness,
            ..Subject::default()
        },
        kind: of,
        value: None,
        rating: None,
        names: None,
        role: None,
        maker: None,
        leads: None,
        among: None,
        at_voltage: None,
        our_reading: false,
        after: None,
        tolerance: None,
        evidence: Vec::new(),
        note: None,
    };
    found(sheet, case, &claim, grounds).filter(|found| found.only_refutes.is_none())
}
