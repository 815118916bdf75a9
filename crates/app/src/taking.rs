//! What must still be measured: what, why, how finely, until which step, and the reading that it becomes.
//!
//! In: a dossier and its findings. Out: [`Taking`]s, those with a deadline first, what is too late last.
//! Not here: what is missing and until when it can be had (the findings tell it).

use methods::words::the;
use methods::{Finding, FindingId, Findings, Method, Missing, Verdict};
use record::{Claim, ClaimKind, Dossier, Place};

/// One thing to measure.
#[derive(Debug, Clone, PartialEq)]
pub struct Taking {
    /// What to do, in the imperative.
    pub what: String,
    /// How finely, where that matters.
    pub how: Option<String>,
    /// The step before which it has to be done.
    pub before: Option<Place>,
    /// Whether it can no longer be done.
    pub too_late: bool,
    /// What it is about.
    pub about: Option<Place>,
    /// What would be settled by it.
    pub why: Vec<Why>,
    /// The reading that it becomes, where one reading would do.
    pub reading: Option<WantedReading>,
}

/// Something that a measurement would settle.
#[derive(Debug, Clone, PartialEq)]
pub struct Why {
    /// The finding.
    pub finding: FindingId,
    /// The claim in quotation marks, or what the finding is for.
    pub words: String,
}

impl Taking {
    /// Returns whether it can still be done. Whoever counts what is left to take counts these.
    pub fn is_open(&self) -> bool {
        !self.too_late
    }

    /// Returns its reasons in words.
    pub fn whys(&self) -> String {
        let words = self.why.iter().map(|why| why.words.as_str());
        words.collect::<Vec<_>>().join("; ")
    }
}

/// A reading that is wanted, by the words of the format.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WantedReading {
    /// The item.
    pub item: String,
    /// What is measured.
    pub what: &'static str,
    /// The mode of use.
    pub mode: Option<String>,
}

/// Lists what must still be measured. What a claim needs and what a step ends of the same claim is one measurement.
pub fn takings(dossier: &Dossier, findings: &Findings) -> Vec<Taking> {
    let mut takings: Vec<Taking> = Vec::new();
    for finding in &findings.findings {
        for missing in &finding.missing {
            if is_said_by_the_claim(dossier, findings, finding, missing) {
                continue;
            }
            let claim = claim(dossier, finding, missing);
            let why = why(dossier, finding, claim);
            let same =
                |t: &&mut Taking| t.what == missing.measure && t.before == missing.before_step;
            if let Some(taking) = takings.iter_mut().find(same) {
                if !taking.why.iter().any(|known| known.words == why.words) {
                    taking.why.push(why);
                }
                continue;
            }
            takings.push(Taking {
                what: missing.measure.clone(),
                how: missing.resolution.clone(),
                before: missing.before_step.clone(),
                too_late: missing.too_late,
                about: claim.map(|c| Place::claim(&c.id)).or(finding.about.clone()),
                why: vec![why],
                reading: match claim {
                    Some(claim) => reading(dossier, claim),
                    None => first_weighing(dossier, finding),
                },
            });
        }
    }
    let rank = |taking: &Taking| {
        let step = |before: &Place| {
            dossier
                .steps
                .iter()
                .position(|s| Place::step(&s.id) == *before)
        };
        let before = taking.before.as_ref().and_then(step);
        (taking.too_late, before.unwrap_or(usize::MAX))
    };
    takings.sort_by_key(rank);
    takings
}

/// Returns the claim that a measurement is for.
fn claim<'d>(dossier: &'d Dossier, finding: &Finding, missing: &Missing) -> Option<&'d Claim> {
    let settles = |claim: &&Claim| missing.settles.as_ref() == Some(&Place::claim(&claim.id));
    let of_finding = finding.claim(dossier);
    of_finding.or_else(|| dossier.claims.iter().find(settles))
}

/// Returns whether the finding on the claim itself asks for a measurement of it with the same deadline: it says how,
/// and how finely.
fn is_said_by_the_claim(
    dossier: &Dossier,
    findings: &Findings,
    finding: &Finding,
    missing: &Missing,
) -> bool {
    let Some(settles) = &missing.settles else {
        return false;
    };
    let same = |other: &Missing| {
        other.before_step == missing.before_step && other.too_late == missing.too_late
    };
    finding.claim(dossier).is_none()
        && findings.findings.iter().any(|other| {
            let claim = other.claim(dossier);
            claim.is_some_and(|c| Place::claim(&c.id) == *settles) && other.missing.iter().any(same)
        })
}

fn why(dossier: &Dossier, finding: &Finding, claim: Option<&Claim>) -> Why {
    Why {
        finding: finding.id.clone(),
        words: claim.map_or_else(
            || reason(dossier, finding),
            |claim| format!("“{}”", claim.text.trim()),
        ),
    }
}

/// Says what a finding is for; its heading may be a question, which is no reason.
fn reason(dossier: &Dossier, finding: &Finding) -> String {
    let about = finding.about.as_ref().and_then(Place::item_id);
    let about = about.and_then(|id| dossier.item(id)).map(the);
    let of = |what: &str| {
        let about = about.as_ref();
        about.map_or_else(|| what.to_string(), |item| format!("{what} of {item}"))
    };
    match finding.method() {
        Method::Mass => "the balance of the weights".to_string(),
        Method::Opening => "what this step ends".to_string(),
        Method::Markings => of("the identity"),
        Method::Cell => of("the energy"),
        Method::Power => of("the power"),
        Method::Runtime => "the run time".to_string(),
        Method::Cost => "the cost to build".to_string(),
        Method::Repair => "how it is repaired".to_string(),
        Method::Standing => "where it stands".to_string(),
        Method::Protection => "what protects contacts and cells".to_string(),
        Method::Geometry => of("the size"),
        Method::Codes => "the dates and numbers".to_string(),
        Method::Consistency => "a record that agrees with itself".to_string(),
        Method::Inventory => "the parts list".to_string(),
        Method::Sound => "the sound".to_string(),
        Method::Claims => "a claim".to_string(),
    }
}

/// Where nothing is weighed yet, the whole is weighed first.
fn first_weighing(dossier: &Dossier, finding: &Finding) -> Option<WantedReading> {
    let nothing =
        finding.method() == Method::Mass && finding.verdict == Some(Verdict::NeedsEvidence);
    let root = dossier.items.iter().find(|item| item.parent.is_none());
    let root = root.filter(|_| nothing)?;
    Some(WantedReading {
        item: root.id.clone(),
        what: "mass",
        mode: None,
    })
}

fn reading(dossier: &Dossier, claim: &Claim) -> Option<WantedReading> {
    let what = match claim.kind {
        ClaimKind::Mass => "mass",
        ClaimKind::Capacity => "charge",
        ClaimKind::Energy => "energy",
        ClaimKind::RunTime => "run-time",
        ClaimKind::ChargingTime => "charging-time",
        ClaimKind::Delay => "delay",
        ClaimKind::NoiseReduction => "noise-reduction",
        ClaimKind::Dimension => match claim.says.dimension_name() {
            "length" => "length",
            "width" => "width",
            "height" => "height",
            "thickness" => "thickness",
            "diameter" => "diameter",
            _ => return None,
        },
        _ => return None,
    };
    let root = || dossier.items.iter().find(|item| item.parent.is_none());
    let item = claim
        .says
        .item
        .clone()
        .or_else(|| root().map(|item| item.id.clone()))?;
    Some(WantedReading {
        item,
        what,
        mode: claim.says.mode.clone(),
    })
}
