//! Settles a claim on what a cable carries.
//!
//! Read as: the cable may carry this rating. A cable without marker chip may not carry more than the standard
//! allows, and its conductors may not lose more than the standard allows; a print proves neither.

use super::wanted::wanted;
use super::{begin, printed};
use crate::assumed;
use crate::basis::{tidy, unit};
use crate::cells::is_cell;
use crate::ledger::Ledger;
use crate::words::Words as _;
use crate::{Case, Finding, Verdict};
use quantity::{Stated, format_quantity};
use record::{Claim, Item, ItemKind, Place, ReadingSubject};

/// Holds a claimed cable rating against the marker chip and the resistance of the conductors.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut ledger = Ledger::default();
    let cable = match claim.says.item.as_deref() {
        Some(id) => case.item(id),
        None => case
            .dossier
            .items
            .iter()
            .find(|i| i.kind == ItemKind::Cable && !is_cell(i)),
    };
    let amps = claim.rating.as_ref().and_then(|rating| {
        let amps = rating.choices.iter().filter_map(|c| c.current.as_ref());
        amps.map(Stated::high_si).reduce(f64::max)
    });
    let (verdict, because) = match (cable, amps) {
        (Some(cable), Some(amps)) => judge(case, cable, amps, &mut ledger),
        (None, _) => (Verdict::NeedsEvidence, "no cable is recorded".to_string()),
        (_, None) => (Verdict::NeedsEvidence, "it names no current".to_string()),
    };
    finding.verdict = Some(verdict);
    finding.sentence = format!(
        "{} says “{}”; {because}: {}.",
        printed(claim),
        claim.text,
        verdict.words()
    );
    if matches!(verdict, Verdict::NeedsEvidence | Verdict::Undecided) {
        finding.missing.push(wanted(case, claim, None, None));
    }
    ledger.close(&mut finding);
    finding
}

fn judge(case: &Case<'_>, cable: &Item, amps: f64, ledger: &mut Ledger) -> (Verdict, String) {
    let limit = &assumed::CABLE_UNMARKED;
    let needs_marker = amps > limit.si() * (1.0 + 1e-9);
    let says = |i: &&Item| {
        let role = i.role.as_deref().unwrap_or_default();
        format!("{} {role}", i.name)
            .to_lowercase()
            .contains("marker")
    };
    let marker = case.tree().inside(&cable.id).into_iter().find(says);
    if needs_marker {
        ledger.source(limit.source());
    }
    if needs_marker && marker.is_none() && case.dossier.product.complete {
        ledger.evidence(Place::product().at("complete"));
        return (
            Verdict::Fails,
            format!(
                "{} has no marker chip, without which a cable may carry {} at most",
                cable.name,
                limit.text()
            ),
        );
    }
    let readings = case
        .lookup()
        .readings_of(&cable.id, ReadingSubject::Resistance);
    let Some(reading) = readings.first() else {
        let chip = match (needs_marker, marker) {
            (true, None) => " and no marker chip was looked for",
            _ => "",
        };
        return (
            Verdict::NeedsEvidence,
            format!(
                "the resistance of the conductors of {} was not measured{chip}; a print proves nothing",
                cable.name
            ),
        );
    };
    ledger.evidence(Place::reading(&reading.id));
    let drop = &assumed::CABLE_DROP;
    ledger.source(drop.source());
    ledger.assume(format!(
        "the resistance read on {} is that of both conductors together",
        cable.name
    ));
    let lost = reading.value.si() * amps;
    let text = format_quantity(tidy(lost), &unit("V"));
    if lost > drop.si() {
        return (
            Verdict::Fails,
            format!(
                "at its rated current {} loses {text}, more than the {} allowed",
                cable.name,
                drop.text()
            ),
        );
    }
    if needs_marker && marker.is_none() {
        return (
            Verdict::Undecided,
            format!(
                "its conductors lose {text} only, but no marker chip was found in {}",
                cable.name
            ),
        );
    }
    (
        Verdict::Undecided,
        format!(
            "its conductors lose {text} at that current, within the {} allowed; how warm it gets was not measured",
            drop.text()
        ),
    )
}
