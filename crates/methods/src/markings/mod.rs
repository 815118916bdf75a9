//! What is this part? Every recorded identity is held against what the marking, the package and a
//! catalogue of known parts say.
//!
//! In: a dossier, a catalogue made ready. Out: findings on identities weaker than recorded, equal
//! markings with unlike identities, identities whose package contradicts the measured size, and what
//! a second look should rule out; for the parts list, the probability of each identity.
//! Not here: how a marking is weighed (`marking`), codes that are no part numbers (`codes`).
//! Page: `docs/methods/markings.md`.

mod identity;
mod look;
mod size;
mod table;
mod twins;

pub use look::aligned;
pub use size::body_mm;

use crate::{Finding, Method};
use catalogue::{Catalogue, Part};
use marking::{Answer, Clues, Index, Scratch, SeenBefore};
use record::marking::Seen;
use record::{Certainty, Dossier, Identity, Item, PartFacts};
use std::collections::BTreeMap;

/// An identity at least this probable is as good as read.
pub const SURE: f64 = 0.9;
/// An identity less probable than this is contradicted.
pub const CONTRADICTED: f64 = 0.05;

/// Known parts, made ready for reading markings. The default knows none.
#[derive(Debug, Clone)]
pub struct Known {
    catalogue: Catalogue,
    index: Index,
    /// Parts by the folded name of one that they were seen with.
    seen_with: BTreeMap<String, Vec<usize>>,
}

impl Default for Known {
    fn default() -> Self {
        Self::new(Catalogue::default())
    }
}

impl Known {
    /// Makes a catalogue ready.
    pub fn new(catalogue: Catalogue) -> Self {
        let index = Index::build(&catalogue);
        let mut seen_with: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (at, part) in catalogue.parts().iter().enumerate() {
            for other in &part.seen_with {
                seen_with.entry(folded(other)).or_default().push(at);
            }
        }
        Self {
            catalogue,
            index,
            seen_with,
        }
    }

    /// Returns the parts that were seen on one board with some of the named ones, each with the number of
    /// them.
    pub fn seen_beside(&self, names: &[String]) -> Vec<SeenBefore> {
        let mut counts: BTreeMap<usize, u32> = BTreeMap::new();
        for name in names {
            for at in self.seen_with.get(&folded(name)).into_iter().flatten() {
                *counts.entry(*at).or_default() += 1;
            }
        }
        counts
            .into_iter()
            .filter_map(|(at, count)| {
                let name = self.parts().get(at)?.name.clone();
                Some(SeenBefore { name, count })
            })
            .collect()
    }

    /// Returns the parts.
    pub fn parts(&self) -> &[Part] {
        self.catalogue.parts()
    }

    /// Returns the index.
    pub fn index(&self) -> &Index {
        &self.index
    }
}

/// One part with a marking, and what it may be.
#[derive(Debug, Clone)]
pub struct Assessment<'d> {
    /// The item.
    pub item: &'d Item,
    /// Its facts.
    pub facts: &'d PartFacts,
    /// What the catalogue says of its marking.
    pub answer: Answer,
}

impl Assessment<'_> {
    /// Returns what the analyst decided.
    pub fn identity(&self) -> Option<&Identity> {
        self.facts.identity.as_ref()
    }

    /// Returns the probability of the recorded identity, all entries of that name together; `None`
    /// where there is no identity or the catalogue does not know it.
    pub fn probability(&self, known: &Known) -> Option<f64> {
        let identity = self.identity()?;
        let is_meant = |part: &Part| names(part, identity);
        if !known.parts().iter().any(is_meant) {
            return None;
        }
        let listed = self
            .answer
            .candidates
            .iter()
            .filter(|c| known.parts().get(c.part).is_some_and(is_meant));
        Some(listed.map(|c| c.probability).sum())
    }
}

/// Whether a catalogue part is the one that an identity names; a maker left out on either side
/// fits any.
fn names(part: &Part, identity: &Identity) -> bool {
    let maker = identity.maker.as_deref().unwrap_or_default();
    let same_maker =
        maker.is_empty() || part.maker.is_empty() || maker.eq_ignore_ascii_case(&part.maker);
    let name = folded(&identity.name);
    same_maker && (folded(&part.name) == name || part.aliases.iter().any(|a| folded(a) == name))
}

/// Letters and digits in upper case: hyphens and spaces in a part number do not count.
fn folded(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_uppercase)
        .collect()
}

/// Reads the marking of every part that has one, in the order of the record. Empty where the
/// catalogue knows no part.
pub fn assess<'d>(dossier: &'d Dossier, known: &Known) -> Vec<Assessment<'d>> {
    if known.parts().is_empty() {
        return Vec::new();
    }
    let mut scratch = Scratch::default();
    dossier
        .items
        .iter()
        .filter_map(|item| {
            let facts = item.part.as_ref().filter(|p| !p.marking.is_empty())?;
            // The record was checked when it was read.
            let seen = Seen::of_lines(&facts.marking).ok()?;
            let clues = clues(dossier, item, facts, known);
            let answer = known.index.read(&seen, &clues, &mut scratch);
            Some(Assessment {
                item,
                facts,
                answer,
            })
        })
        .collect()
}

/// Returns the probabilities of the recorded identities that the catalogue knows, by item id.
pub fn probabilities<'d>(dossier: &'d Dossier, known: &Known) -> BTreeMap<&'d str, f64> {
    assess(dossier, known)
        .iter()
        .filter_map(|a| Some((a.item.id.as_str(), a.probability(known)?)))
        .collect()
}

/// Returns the part numbers that were read from the markings of the other parts on the board of an item.
pub fn neighbours(dossier: &Dossier, item: &Item) -> Vec<String> {
    let beside = |other: &&Item| other.id != item.id && other.parent == item.parent;
    let identities = dossier.items.iter().filter(beside).filter_map(|other| {
        let identity = other.part.as_ref()?.identity.as_ref()?;
        (identity.certainty == Certainty::Read).then(|| identity.name.clone())
    });
    let mut names: Vec<String> = Vec::new();
    for name in identities {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// What is recorded of a part besides its marking and its identity.
fn clues(dossier: &Dossier, item: &Item, facts: &PartFacts, known: &Known) -> Clues {
    Clues {
        package: facts.package.clone(),
        pins: facts.pins,
        body_mm: body_mm(dossier, item).map(|sides| sides.map(|(mm, _)| mm)),
        pitch_mm: crate::sizes::pitch_mm(dossier, item),
        roles_missing: item.role.iter().cloned().collect(),
        seen_before: known.seen_beside(&neighbours(dossier, item)),
        ..Clues::default()
    }
}

/// Answers what the markings say about the recorded identities.
pub fn examine(dossier: &Dossier, known: &Known) -> Vec<Finding> {
    let marked = dossier
        .items
        .iter()
        .filter(|i| i.part.as_ref().is_some_and(|p| !p.marking.is_empty()))
        .count();
    if marked == 0 {
        return twins::examine(dossier).into_iter().collect();
    }
    let mut findings = Vec::new();
    if known.parts().is_empty() {
        findings.push(without_catalogue(marked));
    } else {
        let assessed = assess(dossier, known);
        findings.push(table::examine(&assessed, known));
        findings.extend(assessed.iter().filter_map(|a| identity::examine(a, known)));
    }
    findings.extend(size::examine(dossier, known));
    findings.extend(twins::examine(dossier));
    findings
}

fn without_catalogue(marked: usize) -> Finding {
    let mut finding = Finding::new(Method::Markings, "markings", "What do the markings say?")
        .saying(format!(
            "{marked} parts carry a marking; no catalogue of known parts was given, so that their \
             identities rest on the record alone."
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

/// Writes a probability as text, never as 0 % or 100 %.
pub fn percent(p: f64) -> String {
    if p < 0.001 {
        "< 0.1 %".to_string()
    } else if p > 0.999 {
        "> 99.9 %".to_string()
    } else if p < 0.1 {
        format!("{:.1} %", 100.0 * p)
    } else {
        format!("{:.0} %", 100.0 * p)
    }
}
