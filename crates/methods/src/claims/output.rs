//! Settles a claim on what a contact gives.
//!
//! Read as: the contact can give this rating. Limits of the parts before it, and a limit that it shares with
//! others, may refute it; only a measurement under load proves it.

use super::wanted::wanted;
use super::{begin, printed};
use crate::basis::{tidy, unit};
use crate::ledger::Ledger;
use crate::network::{Path, best};
use crate::words::Words as _;
use crate::{Case, Finding, Verdict};
use quantity::{Choice, Sheet, format_quantity};
use record::{Claim, Item, Place};

/// Holds a claimed output against what the ways to it can pass.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut ledger = Ledger::default();
    let about = claim.says.item.as_deref();
    let inside = about.map(|id| case.tree().inside(id));
    let is_about = |item: &Item| {
        let one = inside.as_ref();
        one.is_none_or(|all| all.iter().any(|i| i.id == item.id))
    };
    let network = case.network();
    let supplies = network.supplies().flat_map(|s| network.paths_from(s));
    let ways: Vec<&Path<'_>> = supplies
        .filter(|p| p.end().contact.is_some() && is_about(p.end()))
        .collect();
    let refuted = claim.rating.as_ref().and_then(|rating| {
        let mut choices = rating.choices.iter();
        choices.find_map(|choice| {
            full_charge(case, choice)
                .err()
                .or_else(|| beyond(case, &ways, choice, &mut ledger))
        })
    });
    let explained = claim.rating.as_ref().and_then(|rating| {
        let mut choices = rating.choices.iter();
        choices.find_map(|choice| full_charge(case, choice).ok().flatten())
    });
    let (verdict, because) = match (refuted, explained) {
        (Some(why), _) => (Verdict::Fails, why),
        (None, Some(why)) => (Verdict::Undecided, why),
        (None, None) => (
            Verdict::NeedsEvidence,
            "nothing recorded refutes it, and what is printed is repeated, not tested".to_string(),
        ),
    };
    finding.verdict = Some(verdict);
    finding.sentence = format!(
        "{} says “{}”; {because}: {}.",
        printed(claim),
        claim.text,
        verdict.words()
    );
    if verdict != Verdict::Fails {
        finding.missing.push(wanted(case, claim, None, None));
    }
    ledger.close(&mut finding);
    finding
}

/// A voltage with `max` and nothing else is that of full cells: within what they stand it is explained, above
/// it refuted.
fn full_charge(case: &Case<'_>, choice: &Choice) -> Result<Option<String>, String> {
    let volts = choice.voltage.as_ref();
    let volts = volts.filter(|v| v.sense == quantity::Sense::UpTo && choice.current.is_none());
    let (Some(volts), [cell]) = (volts, case.supplies().cells()) else {
        return Ok(None);
    };
    let Some(facts) = &cell.cell else {
        return Ok(None);
    };
    let series = f64::from(crate::network::Joined::in_series(cell));
    let (Some(nominal), Some(limit)) = (&facts.nominal_voltage, &facts.limit_voltage) else {
        return Ok(None);
    };
    let (nominal, limit) = (series * nominal.si(), series * limit.si());
    let show = |v: f64| format_quantity(tidy(v), &unit("V"));
    if volts.si() > limit * (1.0 + 1e-9) {
        return Err(format!(
            "{} reaches {} when fully charged, not {volts}",
            cell.name,
            show(limit)
        ));
    }
    Ok(Some(format!(
        "{volts} is a voltage near full charge, where {} reaches {}; its nominal voltage is {}",
        cell.name,
        show(limit),
        show(nominal)
    )))
}

/// Returns why no way can give an alternative.
fn beyond(
    case: &Case<'_>,
    ways: &[&Path<'_>],
    choice: &Choice,
    ledger: &mut Ledger,
) -> Option<String> {
    let power = choice.greatest_power();
    let shares = ways.iter().find_map(|p| {
        let limit = p.end().contact.as_ref()?.shared_limit.as_ref()?;
        Some((p.end(), limit))
            .filter(|(_, l)| power.is_some_and(|w| w > l.high_si() * (1.0 + 1e-9)))
    });
    if let Some((contact, limit)) = shares {
        ledger.evidence(Place::item(&contact.id).at("contact.shared-limit"));
        return Some(format!(
            "{} has {limit} at most, together with others",
            contact.name
        ));
    }
    let wanted = choice.current.as_ref()?;
    let mut most: Option<(f64, String)> = None;
    for path in ways {
        let sheet = Sheet::new();
        let chain = best(&sheet, case, path, &[]);
        // Without a limit of some part on the way, this way may give anything.
        let set = chain.limits.iter().filter(|l| l.set);
        let least = set.min_by(|a, b| a.amps.total_cmp(&b.amps))?;
        let spread = sheet
            .figure(least.term)
            .map_or(0.0, |f| 2.0 * f.standard_uncertainty * f.unit.factor());
        let amps = least.amps + spread;
        ledger.absorb(chain.ledger);
        if most.as_ref().is_none_or(|(a, _)| amps > *a) {
            most = Some((amps, least.what.clone()));
        }
    }
    let (amps, what) = most?;
    (wanted.si() > amps * (1.0 + 1e-9)).then(|| {
        format!(
            "the {what} lets at most {} out, tolerance included",
            format_quantity(tidy(amps), &unit("A"))
        )
    })
}
