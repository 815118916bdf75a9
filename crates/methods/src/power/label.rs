//! Label arithmetic and the voltages that a path survives.
//!
//! In: a rating with volts, amperes and watts. Out: whether V × A can round to the printed W; what
//! a printed voltage meets along a path. Not here: currents.

use super::network::{Path, called};
use super::supply::Printed;
use crate::basis::unit;
use crate::ledger::Ledger;
use crate::{Finding, Method, Verdict};
use quantity::{Dimension, Origin, Sheet, Stated, format_quantity};
use record::Item;

/// The interval that a printed figure may stand for: half a unit of its last digit either way.
fn rounding(stated: &Stated) -> (f64, f64) {
    let half = 0.5 * stated.last_digit * stated.unit.factor();
    (stated.si() - half, stated.si() + half)
}

/// Compares V × A with the printed W, within the rounding of all printed digits.
pub(crate) fn arithmetic(printed: &Printed, id: &str) -> Option<Finding> {
    let (volts, amps, watts) = (
        printed.rating.voltage.as_ref()?,
        printed.rating.current.as_ref()?,
        printed.rating.power.as_ref()?,
    );
    let mut finding = Finding::new(
        Method::Power,
        format!("power.label.{id}"),
        format!("Arithmetic of {}", printed.by),
    );
    let mut ledger = Ledger::default();
    let sheet = Sheet::new();
    let mut term = |name: &str, stated: &Stated, dimension| {
        ledger.nominal(
            &sheet,
            name,
            stated,
            dimension,
            Origin::Label,
            printed.place.as_str(),
        )
    };
    let product =
        term("voltage", volts, Dimension::VOLTAGE)? * term("current", amps, Dimension::CURRENT)?;
    let product = product.named("power", &unit("W"));
    finding.add_result("power", sheet.figure(product));
    let (v, a, w) = (rounding(volts), rounding(amps), rounding(watts));
    // A hair of slack keeps an exact half from failing by the last bit of a product.
    let slack = 1e-9 * w.1.abs();
    let agrees = v.1 * a.1 + slack >= w.0 && v.0 * a.0 <= w.1 + slack;
    let shown = format_quantity(tidy(volts.si() * amps.si()), &unit("W"));
    finding.verdict = Some(if agrees {
        Verdict::Holds
    } else {
        Verdict::Fails
    });
    finding.sentence = if agrees {
        format!(
            "{}: {volts} × {amps} = {shown} agrees with the printed {watts} within the rounding of the digits.",
            crate::ledger::capital(&printed.by)
        )
    } else {
        format!(
            "{}: {volts} × {amps} = {shown}, but {watts} is printed; rounding of the digits does not explain it.",
            crate::ledger::capital(&printed.by)
        )
    };
    ledger.assume("each printed figure may be off by half a unit of its last digit");
    ledger.close(&mut finding);
    Some(finding)
}

/// Rounds away the noise of binary products for print.
pub(crate) fn tidy(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let scale = 10_f64.powf(5.0 - value.abs().log10().ceil());
    (value * scale).round() / scale
}

/// What a voltage at the start of a path meets.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum VoltageFate {
    /// No item on the way states a threshold or a maximum.
    Unknown,
    /// Every stated maximum is at least the voltage; the text names the tightest.
    Survives(String),
    /// A protector opens before anything is harmed.
    Blocked(String),
    /// An absolute maximum is exceeded.
    Exceeds(String),
}

/// Walks a voltage along the path up to the first converter.
pub(crate) fn voltage_fate(path: &Path<'_>, volts: f64, ledger: &mut Ledger) -> VoltageFate {
    let mut tightest: Option<(f64, String)> = None;
    for item in &path.items {
        if let Some((limit, text)) = rated(
            item,
            "input-absolute-maximum",
            "input absolute maximum",
            ledger,
        ) {
            if volts > limit {
                return VoltageFate::Exceeds(text);
            }
            if tightest.as_ref().is_none_or(|(best, _)| limit < *best) {
                tightest = Some((limit, text));
            }
        }
        if let Some((limit, text)) = rated(
            item,
            "over-voltage-threshold",
            "over-voltage threshold",
            ledger,
        ) && volts > limit
        {
            return VoltageFate::Blocked(text);
        }
        let converts = item
            .converts
            .as_ref()
            .is_some_and(|c| c.kind != record::ConversionKind::Switch);
        if converts {
            break;
        }
    }
    tightest.map_or(VoltageFate::Unknown, |(_, text)| {
        VoltageFate::Survives(text)
    })
}

fn rated(item: &Item, key: &str, words: &str, ledger: &mut Ledger) -> Option<(f64, String)> {
    let stated = item.part.as_ref()?.ratings.get(key)?;
    let place = format!("items.{}.part.ratings.{key}", item.id);
    if stated.dimension() != Dimension::VOLTAGE {
        ledger.unused(format!(
            "{place}: expected voltage, found {} ({stated})",
            stated.dimension()
        ));
        return None;
    }
    ledger.evidence(place);
    Some((
        stated.si(),
        format!("{words} of {} is {stated}", called(item)),
    ))
}
