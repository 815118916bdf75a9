//! Label arithmetic.
//!
//! In: a rating with volts, amperes and watts. Out: whether V × A can round to the printed W.

use crate::basis::{tidy, unit};
use crate::ledger::Ledger;
use crate::network::Printed;
use crate::words::capital;
use crate::{Finding, Method, Verdict};
use quantity::{Dimension, Origin, Sheet, Stated, format_quantity};
use record::Place;

/// The interval that a printed figure may stand for: half a unit of its last digit either way.
fn rounding(stated: &Stated) -> (f64, f64) {
    let half = 0.5 * stated.last_digit * stated.unit.factor();
    (stated.si() - half, stated.si() + half)
}

/// Compares V × A with the printed W, within the rounding of all printed digits.
pub(crate) fn arithmetic(printed: &Printed, side: Option<&str>, on: Place) -> Option<Finding> {
    let (volts, amps, watts) = (
        printed.rating.voltage.as_ref()?,
        printed.rating.current.as_ref()?,
        printed.rating.power.as_ref()?,
    );
    let mut finding = Finding::new(
        Method::Power,
        word!("label"),
        format!("Arithmetic of {}", printed.by),
    )
    .on(on);
    finding.id.words.extend(side.map(str::to_string));
    let mut ledger = Ledger::default();
    let sheet = Sheet::new();
    let mut term = |name: &str, stated: &Stated, dimension| {
        ledger.nominal(
            &sheet,
            name,
            stated,
            dimension,
            Origin::Label,
            printed.place.clone(),
        )
    };
    let product =
        term("voltage", volts, Dimension::VOLTAGE)? * term("current", amps, Dimension::CURRENT)?;
    let product = product.named("power", &unit("W"));
    finding.add_result(word!("power"), "power", sheet.figure(product));
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
            capital(&printed.by)
        )
    } else {
        format!(
            "{}: {volts} × {amps} = {shown}, but {watts} is printed; rounding of the digits does not explain it.",
            capital(&printed.by)
        )
    };
    ledger.assume("each printed figure may be off by half a unit of its last digit");
    ledger.close(&mut finding);
    Some(finding)
}
