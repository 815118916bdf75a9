//! What a method gathers beside its figures: evidence, assumptions, sources, what it left out.
//!
//! In: stated values of the record with the place they stand. Out: inputs of a sheet, and the
//! lists that a finding carries. Not here: deciding anything.

use crate::Finding;
use crate::basis::{self, unit};
use quantity::{Accuracy, Dimension, Distribution, Input, Origin, Sheet, Source, Stated, Term};
use record::{Dossier, Evidence, Reading};

/// The lists of a finding while they are being filled; nothing enters twice.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ledger {
    pub(crate) evidence: Vec<String>,
    pub(crate) assumptions: Vec<String>,
    pub(crate) sources: Vec<String>,
    pub(crate) cautions: Vec<String>,
    pub(crate) unused: Vec<String>,
}

fn push(list: &mut Vec<String>, text: String) {
    if !list.contains(&text) {
        list.push(text);
    }
}

impl Ledger {
    pub(crate) fn evidence(&mut self, place: impl Into<String>) {
        push(&mut self.evidence, place.into());
    }
    pub(crate) fn seen(&mut self, places: &[Evidence]) {
        for place in places {
            push(&mut self.evidence, place.0.clone());
        }
    }
    pub(crate) fn assume(&mut self, text: impl Into<String>) {
        push(&mut self.assumptions, text.into());
    }
    pub(crate) fn source(&mut self, text: impl Into<String>) {
        push(&mut self.sources, text.into());
    }
    pub(crate) fn caution(&mut self, text: impl Into<String>) {
        push(&mut self.cautions, text.into());
    }
    pub(crate) fn unused(&mut self, text: impl Into<String>) {
        push(&mut self.unused, text.into());
    }

    /// Makes an input of a value in the record; `None`, with the reason noted, where the value has
    /// another dimension than the place asks for.
    pub(crate) fn fact<'s>(
        &mut self,
        sheet: &'s Sheet,
        name: impl Into<String>,
        stated: &Stated,
        dimension: Dimension,
        origin: Origin,
        place: impl Into<String>,
    ) -> Option<Term<'s>> {
        self.fact_with(sheet, name, stated, None, dimension, origin, place)
    }

    /// Makes an input of a nominal figure that is to be met, not measured (a rating, a promise): it
    /// has no uncertainty.
    pub(crate) fn nominal<'s>(
        &mut self,
        sheet: &'s Sheet,
        name: impl Into<String>,
        stated: &Stated,
        dimension: Dimension,
        origin: Origin,
        place: impl Into<String>,
    ) -> Option<Term<'s>> {
        let source = self.placed(stated, dimension, origin, place.into())?;
        Some(sheet.input(Input::exact(
            name,
            stated.value,
            stated.unit.clone(),
            source,
        )))
    }

    /// Returns where a value is from and notes its place; `None`, with the reason noted, where it
    /// has another dimension than the place asks for.
    fn placed(
        &mut self,
        stated: &Stated,
        dimension: Dimension,
        origin: Origin,
        place: String,
    ) -> Option<Source> {
        if stated.dimension() != dimension {
            self.unused(format!(
                "{place}: expected {dimension}, found {} ({stated})",
                stated.dimension()
            ));
            return None;
        }
        self.evidence(place.as_str());
        Some(Source {
            origin,
            evidence: vec![place],
            note: String::new(),
        })
    }

    /// As [`Ledger::fact`], for a value read with an instrument of known accuracy.
    #[allow(
        clippy::too_many_arguments,
        reason = "one more than `fact`, which stays the usual way"
    )]
    pub(crate) fn fact_with<'s>(
        &mut self,
        sheet: &'s Sheet,
        name: impl Into<String>,
        stated: &Stated,
        accuracy: Option<Accuracy>,
        dimension: Dimension,
        origin: Origin,
        place: impl Into<String>,
    ) -> Option<Term<'s>> {
        let source = self.placed(stated, dimension, origin, place.into())?;
        Some(sheet.input(Input::stated(name, stated, accuracy, source)))
    }

    /// Makes an input of a reading, for all its pieces together.
    pub(crate) fn reading<'s>(
        &mut self,
        sheet: &'s Sheet,
        dossier: &Dossier,
        name: &str,
        reading: &Reading,
    ) -> Term<'s> {
        for place in basis::reading_evidence(reading) {
            self.evidence(place);
        }
        sheet.input(basis::reading_input(dossier, reading, name))
    }

    /// Makes an input that the record does not give and lists it as an assumption; `change` says
    /// how the analyst replaces it.
    pub(crate) fn assumed<'s>(
        &mut self,
        sheet: &'s Sheet,
        name: &str,
        distribution: Distribution,
        symbol: &str,
        shown: &str,
        change: &str,
    ) -> Term<'s> {
        self.assume(format!("{name}: {shown} assumed; {change}"));
        let source = Source {
            origin: Origin::Assumed,
            evidence: Vec::new(),
            note: format!("assumed; {change}"),
        };
        sheet.input(Input::distributed(name, distribution, unit(symbol), source))
    }

    /// Adds everything gathered by another ledger.
    pub(crate) fn absorb(&mut self, other: Ledger) {
        for (mine, theirs) in [
            (&mut self.evidence, other.evidence),
            (&mut self.assumptions, other.assumptions),
            (&mut self.sources, other.sources),
            (&mut self.cautions, other.cautions),
            (&mut self.unused, other.unused),
        ] {
            for text in theirs {
                push(mine, text);
            }
        }
    }

    /// Moves the lists into a finding.
    pub(crate) fn close(self, finding: &mut Finding) {
        let mut all = Ledger {
            evidence: std::mem::take(&mut finding.evidence),
            assumptions: std::mem::take(&mut finding.assumptions),
            sources: std::mem::take(&mut finding.sources),
            cautions: std::mem::take(&mut finding.cautions),
            unused: std::mem::take(&mut finding.unused),
        };
        all.absorb(self);
        finding.evidence = all.evidence;
        finding.assumptions = all.assumptions;
        finding.sources = all.sources;
        finding.cautions = all.cautions;
        finding.unused = all.unused;
    }
}

/// Returns the text with a capital first letter.
pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
