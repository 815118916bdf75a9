//! Claims on a capacity: of the cells at their own voltage, or at the voltage that the claim names.
//!
//! In: a claim on a capacity. Out: the value that answers it, and one sentence where the capacity of the cells
//! is sold as that of an output. Not here: deciding.

use super::value::{Found, one_cell};
use crate::assumed;
use crate::energy::{capacity, charge_at};
use crate::grounds::Grounds;
use crate::inputs::{tidy, unit};
use crate::network::{Joined, cell_voltage};
use crate::{Case, Verdict};
use quantity::{Sheet, Stated, format_quantity};
use record::{Claim, Item, Place};

/// Returns the capacity that answers a claim.
pub(super) fn capacity_claimed<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let cell = one_cell(case, claim, grounds)?;
    let joined = Joined::of(case, cell);
    let of_several = claim.says.item.as_deref() != Some(cell.id.as_str());
    if of_several && !joined.known {
        grounds.unused(format!(
            "{}: how its {} cells are joined is not recorded, so what they hold together is not known; state \
             `series` and `parallel`",
            cell.name, joined.groups
        ));
        return None;
    }
    if let Some(volts) = at_another_voltage(sheet, cell, claim) {
        let place = Place::claim(&claim.id).at("at-voltage");
        let (term, measured) = charge_at(sheet, case, cell, (volts, place), grounds)?;
        return Some(Found {
            term,
            how: if measured {
                "computed from the measured energy"
            } else {
                "computed from what the cell itself says"
            },
            only_refutes: None,
        });
    }
    let held = capacity(sheet, case, cell, grounds)?;
    Some(Found {
        term: held.term,
        how: if held.measured {
            "measured"
        } else {
            "the cell itself says"
        },
        only_refutes: None,
    })
}

/// Returns the voltage that a claim names, where it is not that of the cells.
fn at_another_voltage<'c>(sheet: &Sheet, cell: &Item, claim: &'c Claim) -> Option<&'c Stated> {
    let volts = claim.at_voltage.as_ref()?;
    let own = cell_voltage(sheet, cell, &mut Grounds::default());
    let own = sheet.value(own).ok()?;
    ((volts.si() / own - 1.0).abs() > assumed::SAME_VOLTAGE.si()).then_some(volts)
}

/// Explains the usual trick: the capacity of the cells at their own voltage printed for an output.
pub(super) fn explained(case: &Case<'_>, claim: &Claim, verdict: Verdict) -> Option<String> {
    if claim.kind != record::ClaimKind::Capacity || verdict == Verdict::Holds {
        return None;
    }
    let sheet = Sheet::new();
    let mut grounds = Grounds::default();
    let cell = one_cell(case, claim, &mut grounds)?;
    let volts = at_another_voltage(&sheet, cell, claim)?;
    let held = capacity(&sheet, case, cell, &mut grounds)?;
    let (held, said) = (sheet.value(held.term).ok()?, claim.value.as_ref()?.si());
    let own = sheet.value(cell_voltage(&sheet, cell, &mut grounds)).ok()?;
    let own = format_quantity(tidy(own), &unit("V"));
    let all = ((said / held - 1.0).abs() < assumed::SAME_VOLTAGE.si()).then(|| {
        format!(
            " {} is what the cell holds at its own {own}; raised to {volts} the same energy is less charge.",
            claim.value.as_ref().map_or("It", |v| v.text.as_str())
        )
    });
    Some(all.unwrap_or_else(|| {
        format!(
            " The cell holds its charge at {own}; raised to {volts} the same energy is less charge."
        )
    }))
}
