//! A voltage printed with `max`: that of full cells beside their nominal voltage.
//!
//! In: one alternative of a rating. Out: why it cannot be, or what it means. Not here: deciding.

use crate::Case;
use crate::inputs::{tidy, unit};
use crate::network::Joined;
use quantity::{Choice, Sense, format_quantity};

/// What a voltage with `max` and nothing else says of the cells.
pub(super) enum FullCharge {
    /// More than the cells reach; in words.
    Beyond(String),
    /// Within what they reach; in words.
    Near(String),
}

/// Holds such a voltage against the one kind of cell; nothing for any other rating.
pub(super) fn full_charge(case: &Case<'_>, choice: &Choice) -> Option<FullCharge> {
    let volts = choice.voltage.as_ref()?;
    if volts.sense != Sense::UpTo || choice.current.is_some() {
        return None;
    }
    let [cell] = case.supplies().cells() else {
        return None;
    };
    let facts = cell.cell.as_ref()?;
    let series = f64::from(Joined::in_series(cell));
    let nominal = series * facts.nominal_voltage.as_ref()?.si();
    let limit = series * facts.limit_voltage.as_ref()?.si();
    let show = |v: f64| format_quantity(tidy(v), &unit("V"));
    Some(if volts.si() > limit * (1.0 + 1e-9) {
        FullCharge::Beyond(format!(
            "{} reaches {} when fully charged, not {volts}",
            cell.name,
            show(limit)
        ))
    } else {
        FullCharge::Near(format!(
            "{volts} is a voltage near full charge, where {} reaches {}; its nominal voltage is {}",
            cell.name,
            show(limit),
            show(nominal)
        ))
    })
}
