//! Settles a claim of noise reduction against every reading of its decibels.
//!
//! In: a claim, what was heard. Out: a finding. One product has many true figures: a claim that does not say which
//! noise, which bands and what against what is undecided unless every reading keeps it or none reaches it; "up to" is
//! kept by one band. The sentence says which reading the maker must have used.
//! Not here: the readings (`heard`).

use super::acceptance::acceptance;
use super::begin;
use super::conformance::DECISION;
use super::meaning::{ended, of_figure, of_words};
use super::value::subject;
use crate::grounds::Grounds;
use crate::heard::{Noise, words};
use crate::inputs::unit;
use crate::words::capital;
use crate::{Case, Cell, Finding, Judgement, Missing, OpenReason, Verdict};
use ::sound::reading::{How, Reading, nearest};
use quantity::Sense;
use record::{Claim, ReadingSubject};
use statrs::distribution::{ContinuousCDF, Normal};

/// Settles it where something was recorded and no figure was read off an instrument; `None` elsewhere.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Option<Finding> {
    let value = claim.value.as_ref()?;
    let item = subject(case, claim)?;
    let lookup = case.lookup();
    let read = lookup.readings_about(ReadingSubject::NoiseReduction);
    if !read.is_empty() {
        return None;
    }
    let noise = Noise::of(case, &item.id)?;
    let readings = noise.readings();
    let meant = nearest(&readings, value.value)?;
    let mut finding = begin(claim);
    let mut grounds = Grounds::default();
    for place in noise.evidence() {
        grounds.evidence(place);
    }
    for why in &noise.unused {
        grounds.unused(why.clone());
    }
    let limits = acceptance(claim, value, &mut grounds);
    let least = limits.low.unwrap_or(value.value);
    let kept = |reading: &Reading| probability(reading, least);
    let up_to = value.sense == Sense::UpTo || claim.text.to_lowercase().contains("up to");
    let one_band = readings
        .iter()
        .filter(|r| matches!(r.how, How::Largest(_)))
        .max_by(|a, b| kept(a).total_cmp(&kept(b)));
    let reached = readings.iter().map(kept).fold(0.0, f64::max);
    let worst = readings.iter().map(kept).fold(1.0, f64::min);
    let hidden = readings.iter().any(|r| r.value.at_least);
    let (verdict, told, why) = if reached <= 1.0 - DECISION && !hidden {
        let why = "no reading of the decibels reaches it";
        (Verdict::Fails, meant, why.to_string())
    } else if worst >= DECISION {
        (
            Verdict::Holds,
            meant,
            "every reading of the decibels keeps it".to_string(),
        )
    } else if let Some(band) = one_band.filter(|band| up_to && kept(band) >= DECISION) {
        (
            Verdict::Holds,
            band,
            "“up to” is kept by one band".to_string(),
        )
    } else {
        let why = "it does not say which noise, which bands and what is held against what";
        (Verdict::Undecided, meant, why.to_string())
    };
    let ends = readings.iter().map(|r| r.value.db);
    let (low, high) = ends.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
    let meaning = of_figure(case, claim, &limits);
    let says = ended(&of_words(claim, &meaning));
    finding.verdict = Some(verdict);
    let which = words(told);
    let meant = match verdict {
        Verdict::Fails => format!("the most that is near is {which}"),
        _ => format!("{which}, must have been meant"),
    };
    finding.sentence = format!(
        "{says} Read one way or another it takes off {low:.1} dB to {high:.1} dB; {meant}: {:.1} dB. {}: {}.",
        told.value.db,
        capital(&why),
        crate::words::concludes(verdict),
    );
    let found = Cell::measured(told.value.db, told.value.u_db, unit("dB"));
    let judgement = Judgement::found(found, words(told)).because(why);
    finding.judgement = Some(Judgement {
        limits: Some(limits.limits()),
        ..judgement
            .meaning(meaning.as_str())
            .open(verdict, OpenReason::NotTestable)
    });
    if verdict == Verdict::Undecided {
        finding.conformance = None;
        finding.missing.push(Missing::at_any_time(
            "ask the maker which noise, which bands and what is held against what",
        ));
    }
    grounds.close(&mut finding);
    Some(finding)
}

/// Returns how probable it is that a reading keeps at least so many decibels.
fn probability(reading: &Reading, least_db: f64) -> f64 {
    let u = reading.value.u_db.max(1e-6);
    let normal = Normal::new(reading.value.db, u).ok();
    normal.map_or(0.0, |normal| normal.sf(least_db))
}
