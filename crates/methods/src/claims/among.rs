//! Settles claims that compare with other products: “the first with …”, “the lightest of its class”.
//!
//! In: a claim, and what a library holds of other products. Out: its finding. One earlier product that has the thing,
//! or one that surely lies beyond, refutes it; a library never proves it, since it does not hold all that is sold.
//! Not here: whether the thing is in this product (`presence`); how a library is asked (`app`).

use super::maker::by_maker;
use super::meaning::{concluded, ended, quoted, taken_to_mean};
use super::presence;
use super::traits::figure;
use super::wanted::wanted;
use super::{begin, same_words};
use crate::assumed;
use crate::grounds::Grounds;
use crate::others::{Other, OtherPart, TraitKind, once_a_family, same};
use crate::words::{capital, percent, spelt_of};
use crate::{Case, Cell, Finding, Judgement, Missing, OpenReason, Verdict};
use ::standing::rank::{Measured, rank_probabilities};
use ::standing::sighting::Unseen;
use jiff::civil::Date;
use quantity::{Figure, format_measured};
use record::{Claim, ClaimKind, Item, Lead, Place, Scope};
use statrs::function::erf::erfc;

/// Probability from which a statement counts as decided.
const SURE: f64 = assumed::CLAIM_DECIDED.number();

const WITHOUT: &str = "it was examined without a library, so no other product is known";
const NEVER: &str =
    "a library can refute this and never prove it: it does not hold everything on sale";
const SOURCE: &str = "upper limit of a share that nobody saw: B. D. Jovanovic and P. S. Levy, A look at the rule of three, 1997";

/// Settles a claim of being the first with something.
pub(super) fn first(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = presence::settle(case, claim);
    if finding.verdict == Some(Verdict::Fails) {
        return finding;
    }
    let mut grounds = Grounds::default();
    let is_there = matches!(finding.verdict, Some(Verdict::Holds | Verdict::Undecided));
    let seen = finding.judgement.take().unwrap_or_else(|| {
        Judgement::nothing(
            OpenReason::OtherProducts,
            "the record names nothing to look for",
        )
    });
    let start = match &seen.meaning {
        Some(meaning) => taken_to_mean(claim, meaning),
        None => quoted(claim),
    };
    let how = match seen.how.as_str() {
        "" => seen.why.clone(),
        how => how.to_string(),
    };
    let there = match finding.verdict {
        Some(Verdict::Holds) => "it is there",
        Some(Verdict::Undecided) => "it may be there",
        _ => "whether it is there is open",
    };
    let compared = if is_there {
        before(case, claim, &mut grounds)
    } else {
        Compared::open(
            Verdict::NeedsEvidence,
            OpenReason::OtherProducts,
            "other products are compared once that is settled".to_string(),
        )
    };
    let why = format!("{there}. {}", capital(&compared.why));
    finding.sentence = concluded(&ended(&start), &format!("{how}; {why}"), compared.verdict);
    finding.judgement = Some(seen.because(why).open(compared.verdict, compared.reason));
    close(case, claim, compared, grounds, finding)
}

/// Settles a claim of being foremost in a figure.
pub(super) fn leading(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut grounds = Grounds::default();
    let Some(lead) = claim.leads else {
        finding.sentence = format!(
            "{} The record does not say what it is foremost in: needs evidence.",
            ended(&quoted(claim))
        );
        let why = "the record does not say what it is foremost in";
        finding.judgement = Some(Judgement::nothing(OpenReason::NotUnderstood, why));
        grounds.unused(format!(
            "{}: `leads` is not stated",
            Place::claim(&claim.id)
        ));
        let compared = Compared::open(
            Verdict::NeedsEvidence,
            OpenReason::NotUnderstood,
            why.to_string(),
        );
        return close(case, claim, compared, grounds, finding);
    };
    let (what, least) = led(lead);
    let foremost = if least { what.least() } else { what.most() };
    let meaning = format!("that it is the {foremost} {}", scope_words(scope(claim)));
    let start = taken_to_mean(claim, &meaning);
    let Some(own) = figure(case, what) else {
        let why = format!("its own {} is not known", what.words());
        finding.sentence = concluded(&ended(&start), &why, Verdict::NeedsEvidence);
        let judgement = Judgement::nothing(OpenReason::NotMeasured, why.clone());
        finding.judgement = Some(judgement.meaning(meaning));
        let compared = Compared::open(Verdict::NeedsEvidence, OpenReason::NotMeasured, why);
        return close(case, claim, compared, grounds, finding);
    };
    let compared = beyond(case, claim, (what, least), &own, &mut grounds);
    let how = format!("its {} is {}", what.words(), own.text);
    finding.sentence = concluded(
        &ended(&start),
        &format!("{how}. {}", capital(&compared.why)),
        compared.verdict,
    );
    let judgement = Judgement::found(Cell::figure(&own), "worked out").meaning(meaning);
    let judgement = judgement.because(compared.why.clone());
    finding.judgement = Some(judgement.open(compared.verdict, compared.reason));
    finding.add_figure(word!("value"), own);
    close(case, claim, compared, grounds, finding)
}

/// What a comparison with a library gives.
struct Compared {
    verdict: Verdict,
    reason: OpenReason,
    why: String,
    missing: Option<Missing>,
}

impl Compared {
    fn open(verdict: Verdict, reason: OpenReason, why: String) -> Self {
        Self {
            verdict,
            reason,
            why,
            missing: None,
        }
    }

    fn refuted(why: String) -> Self {
        Self::open(Verdict::Fails, OpenReason::OtherProducts, why)
    }

    fn undecided(why: String) -> Self {
        Self::open(Verdict::Undecided, OpenReason::NotInLibrary, why)
    }
}

fn close(
    case: &Case<'_>,
    claim: &Claim,
    compared: Compared,
    grounds: Grounds,
    mut finding: Finding,
) -> Finding {
    finding.verdict = Some(compared.verdict);
    finding.conformance = None;
    match compared.verdict {
        Verdict::Fails => finding.missing.clear(),
        _ => finding.missing.extend(compared.missing),
    }
    if compared.verdict != Verdict::Fails && finding.missing.is_empty() {
        finding.missing.push(wanted(case, claim, None, None));
    }
    grounds.close(&mut finding);
    finding
}

/// Which figure a word leads in, and whether less of it is more.
fn led(lead: Lead) -> (TraitKind, bool) {
    match lead {
        Lead::Lightest => (TraitKind::Mass, true),
        Lead::Thinnest => (TraitKind::Thickness, true),
        Lead::LongestRunTime => (TraitKind::RunTime, false),
        Lead::LargestCapacity => (TraitKind::Capacity, false),
        Lead::MostEnergy => (TraitKind::Energy, false),
        Lead::ShortestChargingTime => (TraitKind::ChargingTime, true),
        Lead::Brightest => (TraitKind::Light, false),
        Lead::DeepestNoiseReduction => (TraitKind::NoiseReduction, false),
        Lead::ShortestDelay => (TraitKind::Delay, true),
    }
}

/// Among which products a claim compares: one on being first among all, one on a figure within its class, unless it
/// says otherwise.
fn scope(claim: &Claim) -> Scope {
    claim.among.unwrap_or(match claim.kind {
        ClaimKind::First => Scope::Market,
        _ => Scope::Class,
    })
}

fn scope_words(scope: Scope) -> &'static str {
    match scope {
        Scope::Class => "of its class",
        Scope::Maker => "of its maker’s products",
        Scope::Market => "of everything on sale",
    }
}

/// The part that a claim of being first is about, in this product.
fn own_part<'d>(case: &Case<'d>, claim: &Claim) -> Option<&'d Item> {
    if let Some(found) = by_maker(case, claim) {
        return Some(found.item);
    }
    let names = claim.names.as_deref().unwrap_or_default();
    let found = crate::presence::presence(case, claim.kind, names, claim.says.item.as_deref());
    found.into_iter().next().map(|found| found.item)
}

/// Whether a part of another product is what a claim names.
fn is_it(claim: &Claim, own: Option<&Item>, part: &OtherPart) -> bool {
    if claim.role.is_some() || claim.maker.is_some() {
        let role = claim.role.as_deref();
        let maker = claim.maker.as_deref();
        return role.is_none_or(|role| same_words(&part.role, role))
            && maker.is_none_or(|maker| same(&part.maker, maker));
    }
    let names = claim.names.as_deref().unwrap_or_default();
    let identity = own.and_then(|item| item.part.as_ref()?.identity.as_ref());
    same(&part.name, names)
        || identity.is_some_and(|i| same(&i.name, &part.name) && same_words(&i.name, names))
        || same_words(&part.role, names)
}

/// Looks for an earlier product with the same thing.
fn before(case: &Case<'_>, claim: &Claim, grounds: &mut Grounds) -> Compared {
    let product = &case.dossier.product;
    let among = scope(claim);
    let Some(others) = case.others().within(product, among) else {
        return Compared::open(
            Verdict::Undecided,
            OpenReason::OtherProducts,
            WITHOUT.into(),
        );
    };
    let own = own_part(case, claim);
    let having = |other: &Other| -> Option<OtherPart> {
        other.parts.iter().find(|p| is_it(claim, own, p)).cloned()
    };
    let Some(day) = product.released else {
        let with: Vec<&&Other> = others.iter().filter(|o| having(o).is_some()).collect();
        let why = match with.first() {
            Some(other) => format!(
                "in this library, {} by {} has one too, but the record does not say since when this product is on sale",
                other.product, other.maker
            ),
            None => "the record does not say since when this product is on sale".to_string(),
        };
        let day = "record the first day on sale of this product (`product.released`)";
        return Compared {
            missing: Some(Missing::at_any_time(day)),
            ..Compared::undecided(why)
        };
    };
    grounds.evidence(Place::product().at("released"));
    let earlier: Vec<&Other> = others
        .iter()
        .copied()
        .filter(|other| other.was_there_before(day) == Some(true))
        .collect();
    let sure = |other: &&&Other| having(other).is_some_and(|part| part.read);
    let one = earlier
        .iter()
        .filter(sure)
        .min_by_key(|o| o.released.unwrap_or(o.there));
    if let Some(other) = one {
        let name = having(other).map(|part| part.name);
        let part = name
            .filter(|name| !name.is_empty())
            .map_or_else(String::new, |n| format!(" ({n}, read)"));
        return Compared::refuted(format!(
            "in this library, {} by {} has one{part} and was {}, before {day}",
            other.product,
            other.maker,
            other.since()
        ));
    }
    let undated = others
        .iter()
        .filter(|o| o.was_there_before(day).is_none())
        .count();
    let perhaps = earlier.iter().copied().find(|o| having(o).is_some());
    let earlier = once_a_family(earlier);
    let role = own
        .and_then(|item| item.role.as_deref())
        .or(claim.role.as_deref());
    let mut why = not_seen(&earlier, role, among, grounds);
    if let Some(other) = perhaps {
        why.push_str(&format!(
            "; {} by {} may have one: its part was not read",
            other.product, other.maker
        ));
    }
    if undated > 0 {
        let more = spelt_of(undated, "product has", "products have");
        why.push_str(&format!("; {more} no date that shows which came first"));
    }
    grounds.assume(capital(NEVER) + ".");
    Compared::undecided(why)
}

/// Says what earlier products that do not show a thing can and cannot say.
fn not_seen(earlier: &[&Other], role: Option<&str>, among: Scope, grounds: &mut Grounds) -> String {
    let of = match among {
        Scope::Market => String::new(),
        other => format!(" {}", scope_words(other)),
    };
    if earlier.is_empty() {
        return format!("this library holds no earlier product{of}");
    }
    let identified = earlier
        .iter()
        .filter(|other| {
            let there = |part: &&OtherPart| role.is_some_and(|role| same_words(&part.role, role));
            other.parts.iter().filter(there).any(|part| part.read)
        })
        .count();
    let bound = Unseen {
        products: earlier.len(),
        identified,
        market: None,
    }
    .bound(SURE);
    let products = spelt_of(earlier.len(), "earlier product", "earlier products");
    let start = format!("in this library it was not seen in {products}{of}");
    if identified == 0 {
        return format!("{start}, but in none of them was the part in that place identified");
    }
    grounds.source(SOURCE);
    format!(
        "{start}, in {identified} of which the part in that place is identified; up to {} of all such products may have had one even so",
        percent(bound.share)
    )
}

/// Looks for another product that surely lies beyond this one.
fn beyond(
    case: &Case<'_>,
    claim: &Claim,
    (what, least): (TraitKind, bool),
    own: &Figure,
    grounds: &mut Grounds,
) -> Compared {
    let product = &case.dossier.product;
    let among = scope(claim);
    let Some(others) = case.others().within(product, among) else {
        return Compared::open(
            Verdict::Undecided,
            OpenReason::OtherProducts,
            WITHOUT.into(),
        );
    };
    if among == Scope::Class && product.category.is_none() {
        let class = "record what the product is (`product.category`)";
        return Compared {
            missing: Some(Missing::at_any_time(class)),
            ..Compared::undecided("the record does not say of which class it is".to_string())
        };
    }
    let day = day_of(case, grounds);
    let with = others
        .into_iter()
        .filter(|o| o.was_there_before(day) == Some(true));
    let with: Vec<(&Other, Measured)> = with
        .filter_map(|other| Some((other, measured(other, what)?)))
        .collect();
    if with.is_empty() {
        grounds.assume(capital(NEVER) + ".");
        return Compared::undecided(format!(
            "this library holds no earlier product {} whose {} is known",
            scope_words(among),
            what.words()
        ));
    }
    let mine = measured_of(own);
    // A product whose figure lies beyond by chance is to be rare among all that were looked at.
    let doubt = (1.0 - SURE) / with.len() as f64;
    let behind = |other: &Measured| {
        let (a, b) = if least {
            (mine, *other)
        } else {
            (*other, mine)
        };
        not_below(b, a)
    };
    let surest = with
        .iter()
        .min_by(|a, b| behind(&a.1).total_cmp(&behind(&b.1)));
    if let Some((other, figure)) = surest
        && behind(figure) <= doubt
    {
        return Compared::refuted(format!(
            "in this library, {} by {}, {}, has {}",
            other.product,
            other.maker,
            other.since(),
            told(what, *figure)
        ));
    }
    let once = once_a_family(with.iter().map(|(other, _)| *other).collect());
    let measured: Vec<Measured> = once.iter().filter_map(|o| measured(o, what)).collect();
    let ranks = rank_probabilities(mine, &measured);
    let leads = if least { ranks.first() } else { ranks.last() };
    let leads = leads.copied().unwrap_or(f64::NAN);
    grounds.assume(capital(NEVER) + ".");
    let n = spelt_of(once.len(), "earlier product", "earlier products");
    Compared::undecided(format!(
        "in this library none of {n} {} whose {} is known surely lies beyond it; that it leads them is {}",
        scope_words(among),
        what.words(),
        crate::words::likely(leads)
    ))
}

/// The day that a claim speaks of: the first on sale, or the earliest on which it was there.
fn day_of(case: &Case<'_>, grounds: &mut Grounds) -> Date {
    let product = &case.dossier.product;
    match product.released {
        Some(day) => {
            grounds.evidence(Place::product().at("released"));
            day
        }
        None => {
            let day = crate::others::there(product);
            grounds.assume(format!(
                "The claim speaks of {day}, the earliest day on which this product is known to have been there; `product.released` changes it."
            ));
            day
        }
    }
}

fn measured(other: &Other, what: TraitKind) -> Option<Measured> {
    let figure = other.figure(what)?;
    Some(Measured {
        value: figure.value,
        uncertainty: figure.uncertainty,
    })
}

fn measured_of(figure: &Figure) -> Measured {
    let half = (figure.interval.high - figure.interval.low) / 2.0;
    Measured {
        value: figure.unit.to_si(figure.value),
        uncertainty: figure.unit.difference().to_si(half / quantity::COVERED),
    }
}

/// Returns the probability that the true value of one is not below that of another.
fn not_below(one: Measured, other: Measured) -> f64 {
    let spread = one.uncertainty.hypot(other.uncertainty);
    let apart = other.value - one.value;
    match spread > 0.0 {
        true => 0.5 * erfc(apart / spread / std::f64::consts::SQRT_2),
        false => f64::from(u8::from(apart <= 0.0)),
    }
}

fn told(what: TraitKind, figure: Measured) -> String {
    let unit = what.unit();
    let half = quantity::COVERED * figure.uncertainty;
    let ends = (
        unit.of_si(figure.value - half),
        unit.of_si(figure.value + half),
    );
    format_measured(unit.of_si(figure.value), ends, &unit)
}
