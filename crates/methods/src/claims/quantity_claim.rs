//! Settles a claim that names a figure.

use super::acceptance::acceptance;
use super::begin;
use super::beyond::beyond;
use super::capacity::explained;
use super::conformance::{DECISION, SOURCE, decide, deciding_uncertainty, probability};
use super::mass;
use super::meaning::{of_figure, quoted, taken_to_mean};
use super::stated_for::other_voltage;
use super::value::find;
use super::wanted::wanted;
use crate::grounds::Grounds;
use crate::inputs::tidy;
use crate::words::Words as _;
use crate::{Case, Cell, Finding, Judgement, OpenReason, Verdict, Word, side};
use quantity::{Figure, GAP, Sheet, digits, format_quantity};
use record::{Claim, ClaimKind, Place};

/// Compares the value that the record gives with what the claim says.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut grounds = Grounds::default();
    let Some(value) = &claim.value else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!("{}, but the record gives no figure for it.", quoted(claim));
        grounds.unused(format!(
            "{}: `value` is not stated",
            Place::claim(&claim.id)
        ));
        let why = "the record gives no figure for it";
        finding.judgement = Some(Judgement::nothing(OpenReason::NotUnderstood, why));
        finding.missing.push(wanted(case, claim, None, None));
        grounds.close(&mut finding);
        return finding;
    };
    let limits = acceptance(claim, value, &mut grounds);
    let meaning = of_figure(case, claim, &limits);
    let says = taken_to_mean(claim, &meaning);
    let of_claim = |judgement: Judgement| Judgement {
        limits: Some(limits.limits()),
        ..judgement.meaning(meaning.as_str())
    };
    let sheet = Sheet::new();
    let figure = find(&sheet, case, claim, &mut grounds).and_then(|found| {
        let outcome = sheet
            .figure(found.term)
            .and_then(|f| Ok((f, probability(&sheet, found.term, &limits)?)));
        outcome
            .map_err(|error| grounds.unused(error.to_string()))
            .ok()
            .map(|(f, p)| (found.how, found.only_refutes, f, p))
    });
    let Some((how, only_refutes, mut figure, conformance)) = figure else {
        if let Some(why) = beyond(case, claim, &limits) {
            finding.verdict = Some(Verdict::Fails);
            finding.sentence = format!("{says}; {why}: fails.");
            finding.judgement = Some(of_claim(Judgement::found(Cell::Nothing, why)));
            grounds.close(&mut finding);
            return finding;
        }
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!("{says}; nothing in the record settles it: needs evidence.");
        let why = "nothing in the record settles it";
        let judgement = Judgement::nothing(OpenReason::NotMeasured, why);
        finding.judgement = Some(of_claim(judgement));
        finding
            .missing
            .push(wanted(case, claim, None, Some(limits.tolerance)));
        grounds.close(&mut finding);
        return finding;
    };
    figure.text = figure.beside(&limits.limits().ends(&figure.unit));
    let by_figure = decide(conformance);
    let p = conformance.inside;
    // A value that contradicts the rest of the record decides nothing.
    let contradicted =
        mass::contradicted(case, claim).map(|why| (OpenReason::RecordContradicts, why));
    let only_refutes = only_refutes.map(|why| {
        let why = format!("a bound, which can refute only: {why}");
        (OpenReason::RefutesOnly, why)
    });
    let open = contradicted.or_else(|| {
        only_refutes
            .or_else(|| Some((OpenReason::RepeatedNotTested, repeated(&figure)?)))
            .filter(|_| by_figure != Verdict::Fails)
            .or_else(|| Some((OpenReason::NotUnderstood, other_voltage(case, claim)?)))
    });
    // What only the maker prints gives way to what the cell's own mass and size allow.
    let beyond = open.as_ref().and_then(|_| beyond(case, claim, &limits));
    let open = open.filter(|_| beyond.is_none());
    let verdict = if beyond.is_some() {
        Verdict::Fails
    } else if open.is_some() {
        Verdict::Undecided
    } else {
        by_figure
    };
    finding.verdict = Some(verdict);
    finding.conformance = (open.is_none() && beyond.is_none()).then_some(p);
    let reason = open.as_ref().map(|(_, why)| why).or(beyond.as_ref());
    let why = match (reason, verdict) {
        (Some(why), _) => why.clone(),
        (None, Verdict::Undecided) => {
            format!("probability that it holds: {} %", tidy((p * 100.0).round()))
        }
        _ => String::new(),
    };
    let in_brackets = match why.as_str() {
        "" => String::new(),
        why => format!(" ({why})"),
    };
    finding.sentence = format!(
        "{says}; {how} {}: {}{in_brackets}.",
        figure.text,
        verdict.words()
    );
    let reason = open
        .as_ref()
        .map_or(OpenReason::LimitInsideUncertainty, |(reason, _)| *reason);
    let judgement = Judgement::found(Cell::figure(&figure), how).because(why);
    finding.judgement = Some(of_claim(judgement.open(verdict, reason)));
    if let Some(more) = explained(case, claim, verdict) {
        finding.sentence.push_str(&more);
    }
    if open.is_some() {
        let missing = wanted(case, claim, None, Some(limits.tolerance));
        finding.missing.push(missing);
    }
    if verdict == Verdict::Undecided && open.is_none() {
        let si = figure.unit.to_si(figure.value);
        let settling = limits.distance(si).and_then(deciding_uncertainty);
        let mut missing = wanted(case, claim, settling, Some(limits.tolerance));
        if let Cell::Quantity(found) = Cell::figure(&figure)
            && let Some(half) = found.half()
        {
            let unit = figure.unit.difference();
            let now = format_quantity(digits::rounded(half, found.decimals()), &unit);
            missing.resolution = missing.resolution.map(|r| format!("{r} (now ±{GAP}{now})"));
        }
        if settling.is_none() {
            missing.resolution =
                Some("the value lies on the limit; no measurement decides it".to_string());
        }
        finding.missing.push(missing);
    }
    finding.add_figure(quantity(claim), figure);
    finding.cite(SOURCE);
    grounds.assume(format!(
        "decision rule: holds if the value satisfies the claim with a probability of {DECISION} or more, \
         fails if it breaks one of its limits with that probability"
    ));
    grounds.close(&mut finding);
    finding
}

/// Returns why a figure tests nothing: it rests on what the maker prints, which can refute a claim of the
/// maker but not prove it.
fn repeated(figure: &Figure) -> Option<String> {
    let prints = side::prints(figure);
    let (first, more) = prints.split_first()?;
    let names = match more {
        [] => first.name.clone(),
        _ => format!("{} and {} more", first.name, more.len()),
    };
    Some(format!(
        "repeated, not tested: the {names} is the maker's own print"
    ))
}

/// Returns the quantity that a claim says something about.
fn quantity(claim: &Claim) -> Word {
    let dimension = claim.says.dimension.as_deref();
    match claim.kind {
        ClaimKind::Mass => word!("mass"),
        ClaimKind::Dimension => dimension
            .and_then(|d| d.parse().ok())
            .unwrap_or(word!("length")),
        ClaimKind::Capacity => word!("capacity"),
        ClaimKind::Energy => word!("energy"),
        ClaimKind::RunTime => word!("run-time"),
        ClaimKind::ChargingTime => word!("charging-time"),
        ClaimKind::QuickCharge => word!("run-time-after-charge"),
        ClaimKind::Recharges => word!("recharges"),
        ClaimKind::NoiseReduction => word!("noise-reduction"),
        ClaimKind::Delay => word!("delay"),
        ClaimKind::Power => word!("power"),
        ClaimKind::LuminousFlux => word!("luminous-flux"),
        ClaimKind::ViewAngle => word!("view-angle"),
        ClaimKind::Resolution => word!("resolution"),
        ClaimKind::Input
        | ClaimKind::Output
        | ClaimKind::Cable
        | ClaimKind::Bands
        | ClaimKind::Slogan
        | ClaimKind::Unknown
        | ClaimKind::Ingress
        | ClaimKind::Part
        | ClaimKind::Interface
        | ClaimKind::Radio
        | ClaimKind::Function
        | ClaimKind::First => word!("value"),
    }
}
