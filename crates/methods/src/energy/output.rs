//! The charge that a cell gives at an output voltage.
//!
//! In: a cell, a voltage, the ways from the cell to its outputs. Out: energy × efficiency ÷ voltage.
//! Not here: the capacity of the cell at its own voltage (`store`).

use super::store::energy;
use crate::Case;
use crate::assumed;
use crate::cells::is_cell;
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::network::{Ratio, best};
use quantity::{Dimension, Origin, Sheet, Stated, Term};
use record::{Item, Place};

/// Returns the charge that one cell or group gives at a voltage through its converters, and whether the
/// energy of the cell was measured. Without a recorded way the usual converter is assumed.
pub(crate) fn charge_at<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    (stated, place): (&Stated, Place),
    grounds: &mut Grounds,
) -> Option<(Term<'s>, bool)> {
    let held = energy(sheet, case, cell, grounds)?;
    let name = "voltage that the capacity is stated for";
    let origin = Origin::Standard;
    let volts = grounds.nominal(sheet, name, stated, Dimension::VOLTAGE, origin, place)?;
    let passed = through(sheet, case, cell, stated.si(), grounds).unwrap_or_else(|| {
        grounds.assumed(
            sheet,
            &format!("efficiency from {} to {stated}", cell.name),
            &assumed::SWITCHED_EFFICIENCY,
            "record the converter and the output as power links to replace it",
        )
    });
    let charge =
        (held.term * passed / volts).named(&format!("charge given at {stated}"), &unit("mAh"));
    Some((charge, held.measured))
}

/// Returns the share of the cell's energy that arrives at an output of that voltage.
fn through<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    volts: f64,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    for path in case
        .network()
        .paths_from(cell)
        .iter()
        .filter(|p| !is_cell(p.end()))
    {
        let mut chain = best(sheet, case, path, &[]);
        let (from, to) = (
            chain.stages.first()?.volts_out,
            chain.stages.last()?.volts_in,
        );
        let (Some(from), Some(to)) = (from, to) else {
            continue;
        };
        let Ratio::Times(gain) = chain.gain() else {
            continue;
        };
        if (sheet.value(to).ok()? / volts - 1.0).abs() < assumed::SAME_VOLTAGE.si() {
            grounds.absorb(std::mem::take(&mut chain.grounds));
            let share = (gain * to / from).named(
                &format!("energy at {} per energy of {}", path.end().name, cell.name),
                &unit("%"),
            );
            return Some(share);
        }
    }
    None
}
