//! What is open: measurements that would settle something, each once.
//!
//! In: a dossier, its findings. Out: [`Open`]s, what cannot wait first. The table of the report, its count and the
//! workbook take them from here.
//! Not here: what is missing and until when it can be had (`methods`).

use crate::compose::step_number;
use crate::finding_anchor;
use methods::words::{capital, listed, spelt_of};
use methods::{Finding, Findings, Missing, Verdict};
use record::Dossier;

/// A measurement and all that it would settle.
pub(crate) struct Open<'a> {
    /// Printed claims in quotation marks, and questions.
    pub(crate) settles: Vec<String>,
    pub(crate) missing: &'a Missing,
    /// Anchor of the finding that asks for it.
    pub(crate) link: String,
    /// The step before which it must be done, or that ended it, by number.
    step: Option<usize>,
}

/// Lists the measurements that would settle what is open, each once.
pub(crate) fn open<'a>(dossier: &Dossier, findings: &'a Findings) -> Vec<Open<'a>> {
    let mut all: Vec<Open<'a>> = Vec::new();
    for finding in &findings.findings {
        for missing in &finding.missing {
            let own = claimed(findings, missing);
            // A claim that is decided is not open, and one that says itself what it needs is told by that.
            if own.is_some_and(|own| is_decided(own) || !own.missing.is_empty()) {
                continue;
            }
            let asks = own.unwrap_or(finding);
            let settles = asks
                .claim(dossier)
                .map_or_else(|| asks.title.clone(), |c| format!("“{}”", c.text));
            let same = |open: &&mut Open<'_>| {
                open.missing.measure == missing.measure
                    && open.missing.before_step == missing.before_step
                    && open.missing.resolution == missing.resolution
            };
            match all.iter_mut().find(same) {
                Some(known) if known.settles.contains(&settles) => {}
                Some(known) => known.settles.push(settles),
                None => all.push(Open {
                    settles: vec![settles],
                    missing,
                    link: finding_anchor(&finding.id),
                    step: missing
                        .before_step
                        .as_ref()
                        .and_then(|step| step_number(dossier, step)),
                }),
            }
        }
    }
    all.sort_by_key(Open::rank);
    all
}

/// Returns the finding on the claim that a measurement is for, where it is not that finding that asks for it.
fn claimed<'a>(findings: &'a Findings, missing: &Missing) -> Option<&'a Finding> {
    let claim = missing.settles.as_ref()?;
    let mut all = findings.findings.iter();
    all.find(|finding| finding.about.as_ref() == Some(claim))
}

fn is_decided(finding: &Finding) -> bool {
    matches!(finding.verdict, Some(Verdict::Holds | Verdict::Fails))
}

impl Open<'_> {
    fn rank(&self) -> (u8, usize) {
        match (self.missing.too_late, self.step) {
            (false, Some(step)) => (0, step),
            (false, None) => (1, 0),
            (true, _) => (2, 0),
        }
    }

    /// Says whether it can still be done.
    pub(crate) fn possible(&self) -> String {
        match (self.missing.too_late, self.step) {
            (true, _) => "not on this sample any more".to_string(),
            (false, Some(step)) => format!("before step {step}"),
            (false, None) => "at any time".to_string(),
        }
    }
}

/// Counts them in one sentence by until when they can be done; `None` where nothing is open.
pub(crate) fn counted(all: &[Open<'_>]) -> Option<String> {
    let of = |rank: u8| all.iter().filter(move |open| open.rank().0 == rank);
    let mut steps: Vec<usize> = of(0).filter_map(|open| open.step).collect();
    steps.dedup();
    let before = match steps.as_slice() {
        [step] => format!("step {step}"),
        _ => "a planned step".to_string(),
    };
    let told = [
        (
            of(0).count(),
            format!("must be taken before {before}"),
            format!("must be taken before {before}"),
        ),
        (
            of(1).count(),
            "is possible at any time".to_string(),
            "are possible at any time".to_string(),
        ),
        (
            of(2).count(),
            "is not possible on this sample any more".to_string(),
            "are not possible on this sample any more".to_string(),
        ),
    ];
    let mut noun = ("measurement ", "measurements ");
    let told = told.into_iter().filter(|(n, ..)| *n > 0);
    let told: Vec<String> = told
        .map(|(n, one, many)| {
            let (single, several) = std::mem::take(&mut noun);
            spelt_of(n, &format!("{single}{one}"), &format!("{several}{many}"))
        })
        .collect();
    (!told.is_empty()).then(|| format!("{}.", capital(&listed(told))))
}
