//! Evidence that claims need and that opening ends.
//!
//! In: a dossier. Out: what is missing, with the step before which it must be taken.
//! Not here: what the claims are worth (`claims`).

use crate::assumed;
use crate::cells::care::{self, Current};
use crate::heard;
use crate::words::the;
use crate::{Case, Missing};
use record::{Claim, ClaimKind, Item, Place, ReadingSubject, Recording, RecordingKind, Undo};

/// Returns what is missing for the claims and for pieces that planned steps destroy.
pub(super) fn missing(case: &Case<'_>) -> Vec<Missing> {
    let claims = case.dossier.claims.iter();
    let mut found: Vec<Missing> = claims
        .filter_map(|claim| {
            let missing = for_claim(case, claim)?;
            Some(Missing {
                settles: Some(Place::claim(&claim.id)),
                ..missing
            })
        })
        .collect();
    found.extend(for_destroyed(case));
    // What serves several claims is measured once.
    let mut once: Vec<Missing> = Vec::new();
    for missing in found {
        let same = |m: &Missing| {
            (&m.measure, &m.before_step, m.too_late)
                == (&missing.measure, &missing.before_step, missing.too_late)
        };
        if !once.iter().any(same) {
            once.push(missing);
        }
    }
    once
}

fn for_claim(case: &Case<'_>, claim: &Claim) -> Option<Missing> {
    let root = case.tree().root()?;
    let until = || case.deadlines().of_claim(case, claim);
    let item = match claim.says.item.as_deref() {
        Some(id) => case.item(id)?,
        None => root,
    };
    let has = |subjects: &[ReadingSubject]| {
        let mode = claim.says.mode.as_deref();
        let readings = |what: &ReadingSubject| case.lookup().readings_about(*what);
        subjects
            .iter()
            .flat_map(readings)
            .any(|r| mode.is_none() || r.mode.is_none() || r.mode.as_deref() == mode)
    };
    match claim.kind {
        ClaimKind::Mass => case.masses().of(&item.id).is_none().then(|| {
            until().missing(
                format!("weigh {} complete", the(item)),
                Some(&assumed::SCALE_RESOLUTION.text()),
            )
        }),
        ClaimKind::Dimension => {
            let name = claim.says.dimension.as_deref().unwrap_or("size");
            let taken = case.sizes().source(item, name).is_some() || item.size.contains_key(name);
            (!taken).then(|| {
                until().missing(
                    format!("measure the {name} of {}", the(item)),
                    Some(&assumed::CALLIPER_RESOLUTION.text()),
                )
            })
        }
        ClaimKind::RunTime => {
            let mode = claim.says.mode.as_deref();
            let loads = mode.is_some_and(|m| case.lookup().has_mode(m));
            (!loads && !has(&[ReadingSubject::RunTime, ReadingSubject::Current])).then(|| {
                working(
                    case,
                    claim,
                    Current::Works,
                    "measure the run time or the mean current".to_string(),
                )
            })
        }
        ClaimKind::ChargingTime | ClaimKind::QuickCharge => (!has(&[ReadingSubject::ChargingTime]))
            .then(|| {
                working(
                    case,
                    claim,
                    Current::Charges,
                    "log a full charge with a clock".to_string(),
                )
            }),
        ClaimKind::Delay => {
            let is_told = |r: &Recording| r.source.is_some() || r.frame.is_some();
            let taken = has(&[ReadingSubject::Delay]) || recorded(case, item, is_told);
            (!taken).then(|| working(case, claim, Current::Works, "measure the delay".to_string()))
        }
        ClaimKind::NoiseReduction => (!has(&[ReadingSubject::NoiseReduction])
            && !recorded(case, item, |r| r.what == RecordingKind::Inside))
        .then(|| {
            working(
                case,
                claim,
                Current::Works,
                "measure the noise reduction".to_string(),
            )
        }),
        ClaimKind::Ingress => Some(until().missing(
            format!(
                "have the ingress protection of {} tested while it is sealed",
                the(item)
            ),
            None,
        )),
        _ => None,
    }
}

/// Whether something of that sort was recorded of an item.
fn recorded(case: &Case<'_>, item: &Item, is: impl Fn(&Recording) -> bool) -> bool {
    let mut recordings = case.dossier.recordings.iter();
    recordings.any(|r| is(r) && heard::is_about(case, r, &item.id))
}

/// Something that only the working product shows, unless a cell in it must be left alone.
fn working(case: &Case<'_>, claim: &Claim, current: Current, measure: String) -> Missing {
    care::instead(case, claim.says.item.as_deref(), current).unwrap_or_else(|| {
        case.deadlines()
            .of_claim(case, claim)
            .missing(measure, None)
    })
}

/// Pieces that a planned step destroys and whose mass nobody knows yet.
fn for_destroyed(case: &Case<'_>) -> Vec<Missing> {
    let mut found = Vec::new();
    for step in case.dossier.steps.iter().filter(|s| !s.done) {
        for item in step.destroys.iter().filter_map(|id| case.item(id)) {
            if case.masses().of(&item.id).is_none() {
                found.push(Missing {
                    measure: format!(
                        "weigh and photograph {}, which will be destroyed; if it cannot be taken out, \
                         weigh what holds it",
                        the(item)
                    ),
                    resolution: Some(assumed::SCALE_RESOLUTION.text()),
                    before_step: Some(Place::step(&step.id)),
                    too_late: false,
                    settles: None,
                });
            } else if step.undo == Undo::No && item.evidence.is_empty() {
                found.push(Missing {
                    measure: format!("photograph {}, which will be destroyed", the(item)),
                    resolution: None,
                    before_step: Some(Place::step(&step.id)),
                    too_late: false,
                    settles: None,
                });
            }
        }
    }
    found
}
