//! Settles a claim that names a figure.

use super::acceptance::Acceptance;
use super::acceptance::acceptance;
use super::begin;
use super::beyond::beyond;
use super::capacity::explained;
use super::conformance::{DECISION, SOURCE, decide, deciding_uncertainty, probability};
use super::mass;
use super::meaning::{concluded, ended, of_figure, of_words, quoted};
use super::stated_for::other_voltage;
use super::value::find;
use super::wanted::wanted;
use crate::grounds::Grounds;
use crate::words::{capital, concludes, likely, the_start};
use crate::{Case, Cell, Finding, Judgement, Margin, OpenReason, Verdict, Word, side};
use quantity::{Figure, GAP, Sheet, digits, format_quantity, time_unit};
use record::{Claim, ClaimKind, Place};

/// Compares the value that the record gives with what the claim says.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut grounds = Grounds::default();
    let Some(value) = &claim.value else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        let says = ended(&quoted(claim));
        finding.sentence = format!("{says} The record gives no figure for it: needs evidence.");
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
    let says = ended(&of_words(claim, &meaning));
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
            finding.sentence = concluded(&says, &why, Verdict::Fails);
            finding.judgement = Some(of_claim(Judgement::found(Cell::Nothing, why)));
            grounds.close(&mut finding);
            return finding;
        }
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!("{says} Nothing was measured: needs evidence.");
        let why = "nothing was measured";
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
            format!("the limit lies inside ±; that it holds is {}", likely(p))
        }
        _ => String::new(),
    };
    let limit = match limits.words().as_str() {
        _ if claim.our_reading || open.is_some() => String::new(),
        "any value" => String::new(),
        words => format!(" {} would do{}", capital(words), limits.grant()),
    };
    let found = found(case, claim, &figure, how);
    let ends = format!(
        "{}{}",
        concludes(verdict),
        match why.as_str() {
            "" => by(&limits, &figure),
            _ => String::new(),
        }
    );
    finding.sentence = match (why.as_str(), limit.as_str()) {
        ("", "") => format!("{says} {found} {}.", capital(&ends)),
        ("", limit) => format!("{says} {found}{limit}: {ends}."),
        (why, "") => format!("{says} {found} {}: {ends}.", capital(why)),
        (why, limit) => format!("{says} {found}{limit}. {}: {ends}.", capital(why)),
    };
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

/// Says what was found of a claim's subject, as a sentence.
fn found(case: &Case<'_>, claim: &Claim, figure: &Figure, how: &str) -> String {
    let item = claim.says.item.as_deref().and_then(|id| case.item(id));
    let subject = item.map_or_else(|| "It".to_string(), the_start);
    let text = &figure.text;
    let least = how
        .strip_prefix("computed ")
        .filter(|h| h.starts_with("at "));
    let least = least.map_or_else(String::new, |h| format!("{h} "));
    match (claim.kind, how) {
        (ClaimKind::Mass, _) => format!("{subject} weighs {text}."),
        (ClaimKind::Dimension, "measured on a photograph") => {
            format!(
                "On a photograph {} measures {text}.",
                crate::words::lower(&subject)
            )
        }
        (ClaimKind::Dimension, _) => format!("{subject} measures {text}."),
        (ClaimKind::Capacity | ClaimKind::Energy, "measured") => format!("{subject} gave {text}."),
        (ClaimKind::Energy, "computed from the measured charge") => {
            format!("{subject} gave {text} by its measured charge.")
        }
        (ClaimKind::RunTime, "timed") => format!("{subject} ran for {text}."),
        (ClaimKind::ChargingTime, "timed") => format!("A charge took {text}."),
        (ClaimKind::ChargingTime, "simulated") => format!("A simulated charge takes {text}."),
        (ClaimKind::RunTime, h) if h.starts_with("computed") => {
            format!("Charge and current give {least}{text}.")
        }
        (ClaimKind::ChargingTime, h) if h.starts_with("computed") => {
            format!("By charge and current a full charge takes {least}{text}.")
        }
        (ClaimKind::QuickCharge, h) if h.starts_with("computed") => {
            format!("By charge and current that charge gives {least}{text}.")
        }
        (ClaimKind::Recharges, h) if h.starts_with("computed") => {
            format!("{subject} gives {least}{text} full charges.")
        }
        _ => format!("{} {text}.", capital(how)),
    }
}

/// Says by how much a figure is beyond its limit, or what it has to spare.
fn by(limits: &Acceptance, figure: &Figure) -> String {
    let data = limits.limits();
    let Cell::Quantity(found) = Cell::figure(figure) else {
        return String::new();
    };
    let Some(found) = found.to(&data.unit) else {
        return String::new();
    };
    let amount = |by: f64| {
        let unit = data.unit.difference();
        let told = time_unit(by, &unit).unwrap_or_else(|| unit.clone());
        let by = told.of_si(unit.to_si(by));
        let decimals = found.to(&told).map_or(2, |f| f.decimals());
        let decimals = decimals.min(digits::significant(by, 3));
        format_quantity(digits::rounded(by, decimals), &told)
    };
    match data.margin(found.value) {
        Some(Margin::Over(by) | Margin::Short(by)) => format!(" by {}", amount(by)),
        Some(Margin::ToSpare(by)) => format!(" with {} to spare", amount(by)),
        None => String::new(),
    }
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
        | ClaimKind::Repair
        | ClaimKind::First
        | ClaimKind::Leading => word!("value"),
    }
}
