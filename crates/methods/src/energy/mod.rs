//! Charge and time: what a cell holds, what is drawn from it, how fast it charges.
//!
//! In: cells, readings, loads, converters, power links. Out: terms on a sheet: capacity, currents by mode
//! of use, run time, charging time, recharges.
//! Not here: findings (`runtime`, `power`, `claims`). Valid for mean currents: the capacity is not
//! corrected for rate, age or temperature.

mod charge;
mod draw;
mod recharge;
mod store;
mod supplies;

pub(crate) use charge::{charge_reach, charging_time};
pub(crate) use draw::{Draw, draw, resting};
pub(crate) use recharge::recharges;
pub(crate) use store::{capacity, usable};
pub(crate) use supplies::Supplies;

use crate::Case;
use crate::basis::unit;
use crate::ledger::Ledger;
use quantity::{Sheet, Term};
use record::Item;

/// Returns the run time of one cell in a mode.
pub(crate) fn run_time<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    mode: &str,
    ledger: &mut Ledger,
) -> Option<(Term<'s>, Draw<'s>)> {
    let held = capacity(sheet, case, cell, ledger)?;
    let mut drawn = draw(sheet, case, cell, mode)?;
    ledger.absorb(std::mem::take(&mut drawn.ledger));
    let charge = usable(sheet, cell, held, ledger);
    let time = (charge / drawn.term).named(&format!("run time in mode {mode}"), &unit("h"));
    Some((time, drawn))
}
