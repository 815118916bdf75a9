//! The mass that a claim is held against.
//!
//! In: the claim, the weighings adjusted to each other. Out: the mass of the item by everything that was
//! weighed, and why it decides nothing where the weighings contradict each other there. The order of the
//! readings does not matter. Not here: the adjustment.

use super::value::{Found, subject};
use crate::Case;
use crate::grounds::Grounds;
use quantity::Sheet;
use record::{Claim, ClaimKind, ReadingSubject};

/// Returns the mass of what a claim is about.
pub(super) fn mass<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    claim: &Claim,
    grounds: &mut Grounds,
) -> Option<Found<'s>> {
    let item = subject(case, claim)?;
    let name = format!("mass of {}", item.name);
    let solution = case.masses();
    let input = solution.input(&item.id, &name)?;
    for place in solution.evidence(&item.id) {
        grounds.evidence(place);
    }
    let own = case.lookup().readings_of(&item.id, ReadingSubject::Mass);
    let is_whole = |r: &&&record::Reading| r.without.is_empty();
    let weighed = own.iter().filter(is_whole);
    for reading in weighed.clone() {
        if solution.is_assumed(&reading.id) {
            grounds.assume(format!(
                "reading {}: a limit of error of {} is assumed, because the accuracy of the scale is not stated",
                reading.id,
                crate::assumed::SCALE_DIGITS.text()
            ));
            grounds.source(crate::assumed::SCALE_DIGITS.source());
        }
    }
    let how = match weighed.count() {
        0 => "its pieces weigh",
        1 => "weighed",
        _ => "weighed several times",
    };
    Some(Found {
        term: sheet.input(input),
        how,
        only_refutes: None,
    })
}

/// Returns why the mass of what a claim is about decides nothing; `None` where it may, and for other claims.
pub(super) fn contradicted(case: &Case<'_>, claim: &Claim) -> Option<String> {
    let item = subject(case, claim).filter(|_| claim.kind == ClaimKind::Mass)?;
    case.masses().contradicted(&item.id)
}
