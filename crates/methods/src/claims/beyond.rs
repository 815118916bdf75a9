//! A claimed capacity or energy against what mass and size of the cell allow.
//!
//! In: a claim on one cell, and the least value that would satisfy it. Out: why no cell of that mass or size
//! can hold it. Not here: what they allow (`cells`).

use super::acceptance::Acceptance;
use super::value::one_cell;
use crate::Case;
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::network::cell_voltage;
use quantity::Sheet;
use record::{Claim, ClaimKind};

/// Returns why the claim is beyond what mass and size of its cell allow; `None` where it is not, or where
/// neither is known.
pub(super) fn beyond(case: &Case<'_>, claim: &Claim, limits: &Acceptance) -> Option<String> {
    let mut unheard = Grounds::default();
    let cell = one_cell(case, claim, &mut unheard)?;
    if cell.count.at_least() > 1 || claim.at_voltage.is_some() {
        return None;
    }
    let least = match claim.kind {
        ClaimKind::Energy => limits.low?,
        ClaimKind::Capacity => {
            let sheet = Sheet::new();
            let volts = cell_voltage(&sheet, cell, &mut unheard);
            limits.low? * sheet.value(volts).ok()?
        }
        _ => return None,
    };
    let allowed = case.energy_allowed(cell).into_iter().next()?;
    (unit("Wh").of_si(least) > allowed.energy_wh).then(|| allowed.words())
}
