//! Does the record contradict itself?
//!
//! In: a dossier. Out: one finding for each place where two things are recorded that cannot both be so,
//! or one that cannot be: what they are, which figure depends on them, and what to correct. Nothing is
//! found where the record agrees with itself, and nothing about what a maker's print is worth.
//! Not here: what can be read in no sensible way at all, which the checks of the record refuse.
//! Page: `docs/methods/consistency.md`.

mod correlations;
mod fasteners;
mod instruments;
mod labels;
mod loads;
mod masses;
mod moments;
mod parts;
mod printed;
mod steps;
#[cfg(test)]
mod tests;

use crate::{Answer, Cancelled, Case, Finding, Method, Verdict};
use record::Place;

/// Two things in the record that cannot both be so.
#[derive(Debug)]
struct Contradiction {
    /// Which rule they break, as a word of the finding's identity.
    rule: &'static str,
    /// Where to look first.
    about: Place,
    /// What the record does not agree on, for a heading.
    subject: String,
    /// What contradicts what.
    what: String,
    /// Which figure depends on it, and what to correct.
    so: String,
    /// The other places it rests on.
    places: Vec<Place>,
    /// What tells it apart from others of the same rule about the same place.
    with: Option<String>,
}

impl Contradiction {
    fn finding(self) -> Finding {
        let title = format!("Does the record agree on {}?", self.subject);
        let mut finding = Finding::new(Method::Consistency, word!("contradiction"), title)
            .about(self.about.clone())
            .named(self.rule)
            .saying(format!("{}. {}.", self.what, self.so));
        if let Some(with) = self.with {
            finding = finding.named(with);
        }
        finding.verdict = Some(Verdict::Fails);
        let places = std::iter::once(self.about).chain(self.places);
        finding.add_evidence(places);
        finding
    }
}

/// A family of contradictions.
type Family = fn(&Case<'_>) -> Result<Vec<Contradiction>, Cancelled>;

const FAMILIES: [Family; 9] = [
    steps::found,
    fasteners::found,
    moments::found,
    instruments::found,
    masses::found,
    correlations::found,
    parts::found,
    loads::found,
    labels::found,
];

/// Finds the contradictions of a dossier.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let mut findings = Vec::new();
    for family in FAMILIES {
        case.go_on()?;
        findings.extend(family(case)?.into_iter().map(Contradiction::finding));
    }
    Ok(findings)
}
