//! What is this part? Every recorded identity is held against what the marking, the package and a
//! catalogue of known parts say.
//!
//! In: a dossier, a catalogue made ready. Out: findings on identities weaker than recorded, equal
//! markings with unlike identities, identities whose package contradicts the measured size, and what
//! a second look should rule out; for the parts list, the probability of each identity.
//! Not here: how a marking is weighed (`marking`), codes that are no part numbers (`codes`).
//! Page: `docs/methods/markings.md`.

mod equal;
mod identity;
mod inspection;
mod size;
mod table;

pub use inspection::{Apart, aligned, apart};

use crate::assessment::{CONTRADICTED, SURE};
use crate::words::{counted, percent};
use crate::{Answer, Case, Finding, Method};

/// Answers what the markings say about the recorded identities.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let marked = case.dossier.items.iter();
    let marked = marked
        .filter(|i| i.part.as_ref().is_some_and(|p| !p.marking.is_empty()))
        .count();
    if marked == 0 {
        return Ok(equal::examine(case.dossier).into_iter().collect());
    }
    let mut findings = Vec::new();
    if case.known.parts().is_empty() {
        findings.push(without_catalogue(marked));
    } else {
        let assessed = case.assessments();
        findings.push(table::examine(assessed, case.known));
        for assessment in assessed.all() {
            case.go_on()?;
            findings.extend(identity::examine(assessment, case.known));
        }
    }
    for item in &case.dossier.items {
        case.go_on()?;
        findings.extend(size::examine(case, item));
    }
    findings.extend(equal::examine(case.dossier));
    Ok(findings)
}

fn without_catalogue(marked: usize) -> Finding {
    let mut finding = Finding::new(
        Method::Markings,
        word!("identities"),
        "The markings and the parts they name",
    )
    .saying(format!(
        "{} a marking; no catalogue of known parts was given, so what they are rests on the record alone.",
        counted(marked, "part carries", "parts carry")
    ));
    finding.unused.push(
        "the markings: put catalogue files into the dossier's folder `catalogue/`, or name them \
         with --catalogue"
            .to_string(),
    );
    finding
}

/// Words that every finding on a marking carries.
fn explain(finding: &mut Finding) {
    finding.assume(format!(
        "An identity is taken as sure from {} and as contradicted below {}; look-alike characters, \
         worn ends and dropped suffixes are priced as docs/marking.md says, and the part may be in no \
         catalogue.",
        percent(SURE),
        percent(CONTRADICTED)
    ));
    finding.cite(
        "Noisy-channel ranking: C. E. Shannon, A Mathematical Theory of Communication (1948), applied \
         to characters; R. A. Wagner and M. J. Fischer, J. ACM 21 (1974) 168 for the alignment.",
    );
}
