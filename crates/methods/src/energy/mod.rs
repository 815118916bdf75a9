//! Charge and time: what a cell holds, what is drawn from it, how fast it charges.
//!
//! In: cells, readings, logs, loads, converters, power links. Out: terms on a sheet: capacity, currents by mode
//! of use, run time, charging time, recharges; whether each is a value or a bound.
//! Not here: findings (`runtime`, `power`, `claims`). Valid for mean currents of a new cell at room temperature; what
//! age and cold leave of it are assumed shares (`rates`).

mod charge;
mod circuit;
mod draw;
mod logged;
mod mix;
mod modes;
mod output;
mod rates;
mod recharge;
mod simulated;
mod store;
mod supplies;

pub(crate) use charge::{Reach, Worth, charge_reach, charging_time, plausible};
pub(crate) use circuit::{Fit, one as fit_of};
pub(crate) use draw::{Draw, Part, draw, mode_is, resting};
pub(crate) use logged::{
    Course, Logged, full_time, is_measured, most_taken, run_time_logged, taken_logged,
    whole_charge, whole_discharge,
};
pub(crate) use mix::{Ordinary, ordinary_use};
pub(crate) use modes::Whole;
pub(crate) use output::charge_at;
pub(crate) use rates::{aged, cold};
pub(crate) use recharge::recharges;
pub(crate) use simulated::taken_within;
pub(crate) use store::{capacity, energy, usable};
pub(crate) use supplies::{Feeding, Supplies};

use crate::Case;
use crate::grounds::Grounds;
use crate::inputs::unit;
use quantity::{Sheet, Term};
use record::Item;

/// How long one cell runs.
#[derive(Debug)]
pub(crate) struct Running<'s> {
    pub(crate) time: Term<'s>,
    /// The charge that it uses up.
    pub(crate) charge: Term<'s>,
    pub(crate) drawn: Draw<'s>,
}

/// Returns the run time of one cell in a mode; an upper bound where the currents recorded are a part of
/// what flows. At rest the cell empties itself as well.
pub(crate) fn run_time<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    mode: &str,
    grounds: &mut Grounds,
) -> Option<Running<'s>> {
    let held = capacity(sheet, case, cell, grounds)?;
    let mut drawn = draw(sheet, case, cell, mode)?;
    grounds.absorb(std::mem::take(&mut drawn.grounds));
    let charge = usable(sheet, cell, held, grounds);
    let mut current = drawn.term;
    if resting(mode) {
        current = current + draw::own_loss(sheet, cell, held.term, grounds);
    }
    let name = match drawn.whole {
        Whole::Part(_) => format!("upper bound of the run time on {mode}"),
        _ => format!("run time on {mode}"),
    };
    let time = (charge / current).named(&name, &unit("h"));
    Some(Running {
        time,
        charge,
        drawn,
    })
}
