//! Settles a claim on what a cable carries.
//!
//! In: a claim with a rating of a cable. Out: its finding. The resistance that was measured may refute it; to
//! prove it takes the resistance and, above 3 A, the marker chip that tells a supply what it may send. Not
//! here: the supply and the device at its ends.

use super::acceptance::Acceptance;
use super::at_contact::asked;
use super::begin;
use super::conformance::{DECISION, probability};
use super::meaning::{concluded, quoted, taken_to_mean};
use super::wanted::wanted;
use crate::assumed;
use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::side::Side;
use crate::{Case, Cell, Finding, Judgement, OpenReason, Verdict};
use quantity::{Sheet, Stated};
use record::{Claim, Item, ItemKind, Reading, ReadingSubject};

/// Compares a claimed rating with the conductors and the marker chip.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut grounds = Grounds::default();
    let amps = claim.rating.as_ref().and_then(|rating| {
        let all = asked(rating).into_iter();
        all.filter_map(|a| a.amps.map(Stated::high_si))
            .reduce(f64::max)
    });
    let (verdict, because) = match (cable(case, claim), amps) {
        (Some(cable), Some(amps)) => judged(case, claim, cable, amps, &mut grounds),
        (None, _) => needs("no cable is recorded that it could be about"),
        (_, None) => needs("it gives no current, so nothing of the cable tests it"),
    };
    finding.verdict = Some(verdict);
    let start = match &claim.rating {
        Some(rating) => taken_to_mean(claim, &format!("that the cable carries {rating}")),
        None => quoted(claim),
    };
    finding.sentence = concluded(&start, &because, verdict);
    let judgement = Judgement::found(Cell::Nothing, because);
    finding.judgement = Some(judgement.open(verdict, OpenReason::NotMeasured));
    if matches!(verdict, Verdict::NeedsEvidence | Verdict::Undecided) {
        finding.missing.push(wanted(case, claim, None, None));
    }
    grounds.close(&mut finding);
    finding
}

fn needs(why: &str) -> (Verdict, String) {
    (Verdict::NeedsEvidence, why.to_string())
}

fn cable<'d>(case: &Case<'d>, claim: &Claim) -> Option<&'d Item> {
    if let Some(id) = claim.says.item.as_deref() {
        return case.item(id);
    }
    let mut all = case
        .dossier
        .items
        .iter()
        .filter(|i| i.kind == ItemKind::Cable);
    all.next().filter(|_| all.next().is_none())
}

fn judged(
    case: &Case<'_>,
    claim: &Claim,
    cable: &Item,
    amps: f64,
    grounds: &mut Grounds,
) -> (Verdict, String) {
    let allowed = assumed::CABLE_DROP.si();
    let usb = is_usb(claim, cable);
    let conductors = lost(case, cable, amps, grounds);
    if let Some(Lost { text, above, .. }) = &conductors
        && *above >= DECISION
    {
        let text = format!(
            "{text}, more than the {} that a cable may lose",
            assumed::CABLE_DROP.text()
        );
        grounds.source(assumed::CABLE_DROP.source());
        return (Verdict::Fails, text);
    }
    let most = assumed::UNMARKED_CABLE.si();
    let marker = marker(case, cable, amps);
    if amps > most && marker.is_none() && case.dossier.product.complete && usb {
        grounds.source(assumed::UNMARKED_CABLE.source());
        grounds.assume("the cable is one of USB Type-C; the record lists every part of it, as `product.complete` states");
        let text = format!(
            "there is no marker chip in it, without which a supply sends no more than {}",
            assumed::UNMARKED_CABLE.text()
        );
        return (Verdict::Fails, text);
    }
    let known = match (&conductors, marker) {
        (Some(lost), Some(item)) => format!("{}; {} marks it", lost.text, item.name),
        (Some(lost), None) => lost.text.clone(),
        (None, Some(item)) => format!(
            "{} marks it, but its conductors were not measured",
            item.name
        ),
        (None, None) => {
            return needs(
                "neither its conductors nor a marker chip were looked at: printed, not tested",
            );
        }
    };
    let carries = conductors.is_some_and(|lost| 1.0 - lost.above >= DECISION && allowed > 0.0);
    let told = amps <= most || !usb || marker.is_some();
    if carries && told {
        grounds.source(assumed::CABLE_DROP.source());
        grounds.assume("the resistance read at the cable is that of both conductors together");
        (Verdict::Holds, known)
    } else {
        let open = if told {
            ""
        } else {
            "; no marker chip is recorded"
        };
        (Verdict::Undecided, format!("{known}{open}"))
    }
}

/// Whether claim or cable say that it is one of USB.
fn is_usb(claim: &Claim, cable: &Item) -> bool {
    let texts = [claim.text.as_str(), cable.name.as_str()];
    let says = |t: &str| {
        let t = t.to_lowercase();
        t.contains("usb") || t.contains("type-c") || t.contains("c to c")
    };
    texts.into_iter().any(says) || cable.provides.iter().any(|p| says(p))
}

/// What a cable loses at a current.
struct Lost {
    text: String,
    /// Probability that it is more than allowed.
    above: f64,
}

fn lost(case: &Case<'_>, cable: &Item, amps: f64, grounds: &mut Grounds) -> Option<Lost> {
    let readings = case
        .lookup()
        .readings_of(&cable.id, ReadingSubject::Resistance);
    let worst = readings.iter().copied();
    let worst = worst.max_by(|a: &&Reading, b: &&Reading| a.value.si().total_cmp(&b.value.si()))?;
    let sheet = Sheet::new();
    let ohms = grounds.reading(&sheet, case, "resistance", worst);
    let current = sheet.constant(amps, &unit("A"));
    let volts = (ohms * current).named("voltage lost", &unit("V"));
    let limits = Acceptance {
        low: None,
        high: Some(assumed::CABLE_DROP.si()),
        tolerance: 0.0,
        granted: String::new(),
        unit: unit("V"),
    };
    let found = probability(&sheet, volts, &limits).ok()?;
    let text = format!(
        "measured {}, which loses {} at {}",
        sheet.figure(ohms).ok()?.text,
        sheet.figure(volts).ok()?.text,
        quantity::format_quantity(amps, &unit("A"))
    );
    Some(Lost {
        text,
        above: found.above,
    })
}

/// Returns the marker chip of a cable: a part in it that provides the current, as seen, read out or by its
/// data sheet.
fn marker<'d>(case: &Case<'d>, cable: &Item, amps: f64) -> Option<&'d Item> {
    let current = |text: &String| {
        Stated::parse(text).is_ok_and(|s| {
            s.dimension() == quantity::Dimension::CURRENT && s.high_si() >= amps * (1.0 - 1e-9)
        })
    };
    let marks = |item: &&Item| {
        let role = item.role.as_deref().unwrap_or_default().to_lowercase();
        let side = item.provides_origin.map(Side::from);
        let known = matches!(side, Some(Side::Seen | Side::Measured | Side::DataSheet));
        known && (item.provides.iter().any(current) || role.contains("marker"))
    };
    case.tree().inside(&cable.id).into_iter().find(marks)
}
