//! What must still be measured: what, why, how finely, until which step, and the reading that it becomes.
//!
//! In: a dossier and its findings. Out: [`Taking`]s, those with a deadline first, what is too late last.
//! Not here: what is missing and until when it can be had (the findings tell it).

use methods::words::Words as _;
use methods::{Finding, FindingId, Findings, Method, Verdict};
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
    /// The claim in quotation marks, or the heading of the finding.
    pub words: String,
    /// The kind of statement, of a claim.
    pub kind: Option<&'static str>,
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

/// Lists what must still be measured.
pub fn takings(dossier: &Dossier, findings: &Findings) -> Vec<Taking> {
    let mut takings: Vec<Taking> = Vec::new();
    for finding in &findings.findings {
        for missing in &finding.missing {
            let why = why(dossier, finding);
            let same =
                |t: &&mut Taking| t.what == missing.measure && t.before == missing.before_step;
            if let Some(taking) = takings.iter_mut().find(same) {
                if !taking.why.contains(&why) {
                    taking.why.push(why);
                }
                continue;
            }
            takings.push(Taking {
                what: missing.measure.clone(),
                how: missing.resolution.clone(),
                before: missing.before_step.clone(),
                too_late: missing.too_late,
                why: vec![why],
                reading: match finding.claim(dossier) {
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

fn why(dossier: &Dossier, finding: &Finding) -> Why {
    let claim = finding.claim(dossier);
    Why {
        finding: finding.id.clone(),
        words: claim.map_or_else(|| finding.title.clone(), |c| format!("“{}”", c.text)),
        kind: claim.map(|c| c.kind.words()),
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
