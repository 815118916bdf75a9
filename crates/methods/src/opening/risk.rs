//! Evidence that claims need and that opening ends.
//!
//! In: a dossier. Out: what is missing, with the step before which it must be taken.
//! Not here: what the claims are worth (`claims`).

use super::chance::{Chance, before_damage, before_opening};
use crate::{Missing, mass, sizes};
use record::{Claim, ClaimKind, Dossier, ReadingSubject, Undo};

/// Returns what is missing for the claims and for pieces that planned steps destroy.
pub(super) fn missing(dossier: &Dossier) -> Vec<Missing> {
    let masses = mass::adjusted(dossier);
    let mut found: Vec<Missing> = dossier
        .claims
        .iter()
        .filter_map(|c| for_claim(dossier, c, &masses))
        .collect();
    found.extend(for_destroyed(dossier, &masses));
    found
}

fn entry(measure: String, resolution: Option<&str>, chance: Chance) -> Missing {
    let (before_step, too_late) = match chance {
        Chance::AnyTime => (None, false),
        Chance::Before(step) => (Some(step), false),
        Chance::TooLate(step) => (Some(step), true),
    };
    Missing {
        measure,
        resolution: resolution.map(String::from),
        before_step,
        too_late,
    }
}

fn for_claim(dossier: &Dossier, claim: &Claim, masses: &mass::MassSolution) -> Option<Missing> {
    let root = dossier.items.iter().find(|i| i.parent.is_none())?;
    let item = match claim.says.item.as_deref() {
        Some(id) => dossier.item(id)?,
        None => root,
    };
    let has = |subjects: &[ReadingSubject]| {
        let mode = claim.says.mode.as_deref();
        dossier.readings.iter().any(|r| {
            subjects.contains(&r.what)
                && (mode.is_none() || r.mode.is_none() || r.mode.as_deref() == mode)
        })
    };
    let printed = format!("claim '{}'", claim.id);
    match claim.kind {
        ClaimKind::Mass => masses.of(&item.id).is_none().then(|| {
            entry(
                format!("weigh {} complete ({printed})", item.name),
                Some("0.01 g"),
                before_opening(dossier, &item.id),
            )
        }),
        ClaimKind::Dimension => {
            let name = claim.says.dimension.as_deref().unwrap_or("size");
            let taken =
                sizes::source(dossier, item, name).is_some() || item.size.contains_key(name);
            (!taken).then(|| {
                entry(
                    format!("measure the {name} of {} ({printed})", item.name),
                    Some("0.05 mm"),
                    before_damage(dossier, &item.id),
                )
            })
        }
        ClaimKind::RunTime => {
            let loads = dossier.items.iter().any(|i| {
                i.loads
                    .iter()
                    .any(|l| Some(l.mode.as_str()) == claim.says.mode.as_deref())
            });
            (!loads && !has(&[ReadingSubject::RunTime, ReadingSubject::Current])).then(|| {
                working(
                    dossier,
                    format!("measure the run time or the mean current ({printed})"),
                )
            })
        }
        ClaimKind::ChargingTime | ClaimKind::QuickCharge => (!has(&[ReadingSubject::ChargingTime]))
            .then(|| {
                working(
                    dossier,
                    format!("log a full charge with a clock ({printed})"),
                )
            }),
        ClaimKind::Delay => (!has(&[ReadingSubject::Delay]))
            .then(|| working(dossier, format!("measure the delay ({printed})"))),
        ClaimKind::NoiseReduction => (!has(&[ReadingSubject::NoiseReduction]))
            .then(|| working(dossier, format!("measure the noise reduction ({printed})"))),
        ClaimKind::Ingress => Some(entry(
            format!(
                "have the ingress protection of {} tested while it is sealed ({printed})",
                item.name
            ),
            None,
            before_opening(dossier, &item.id),
        )),
        _ => None,
    }
}

/// Something that only the working product shows.
fn working(dossier: &Dossier, measure: String) -> Missing {
    let root = dossier.items.iter().find(|i| i.parent.is_none());
    let chance = root.map_or(Chance::AnyTime, |r| before_damage(dossier, &r.id));
    entry(measure, None, chance)
}

/// Pieces that a planned step destroys and whose mass nobody knows yet.
fn for_destroyed(dossier: &Dossier, masses: &mass::MassSolution) -> Vec<Missing> {
    let mut found = Vec::new();
    for step in dossier.steps.iter().filter(|s| !s.done) {
        for item in step.destroys.iter().filter_map(|id| dossier.item(id)) {
            if masses.of(&item.id).is_none() {
                found.push(Missing {
                    measure: format!(
                        "weigh and photograph {}, which this step destroys; if it cannot be taken out, \
                         weigh what holds it",
                        item.name
                    ),
                    resolution: Some("0.01 g".to_string()),
                    before_step: Some(step.id.clone()),
                    too_late: false,
                });
            } else if step.undo == Undo::No && item.evidence.is_empty() {
                found.push(Missing {
                    measure: format!("photograph {}, which this step destroys", item.name),
                    resolution: None,
                    before_step: Some(step.id.clone()),
                    too_late: false,
                });
            }
        }
    }
    found
}
