//! What a method gathers beside its figures: evidence, assumptions, sources, what it left out.
//!
//! In: stated values of the record with the place they stand. Out: inputs of a sheet, and the
//! lists that a finding carries. Not here: deciding anything.

use crate::assumed::Row;
use crate::distinct::Distinct;
use crate::inputs::{self, unit};
use crate::{Case, Finding};
use quantity::{
    Accuracy, Dimension, Distribution, Input, Origin, Sheet, Source, Spread, Stated, Term,
};
use record::{Evidence, Place, Reading};

/// The lists of a finding while they are being filled; nothing enters twice.
#[derive(Debug, Clone, Default)]
pub(crate) struct Grounds {
    pub(crate) evidence: Distinct<Place>,
    pub(crate) assumptions: Distinct,
    pub(crate) sources: Distinct,
    pub(crate) cautions: Distinct,
    pub(crate) unused: Distinct,
}

impl Grounds {
    pub(crate) fn evidence(&mut self, place: impl Into<Place>) {
        self.evidence.push(place);
    }
    pub(crate) fn seen(&mut self, places: &[Evidence]) {
        for place in places {
            self.evidence(place);
        }
    }
    pub(crate) fn assume(&mut self, text: impl Into<String>) {
        self.assumptions.push(text);
    }
    pub(crate) fn source(&mut self, text: impl Into<String>) {
        self.sources.push(text);
    }
    pub(crate) fn caution(&mut self, text: impl Into<String>) {
        self.cautions.push(text);
    }
    pub(crate) fn unused(&mut self, text: impl Into<String>) {
        self.unused.push(text);
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
        place: Place,
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
        place: Place,
    ) -> Option<Term<'s>> {
        let source = self.placed(stated, dimension, origin, place)?;
        Some(sheet.input(Input::exact(
            name,
            stated.value,
            stated.unit.clone(),
            source,
        )))
    }

    /// Makes an input of a figure that the maker of a part states: a spread as written, or else the
    /// tolerance usual for its kind. How many digits are written says nothing: 1 A is 1000 mA.
    #[allow(
        clippy::too_many_arguments,
        reason = "one more than `fact`, which stays the usual way"
    )]
    pub(crate) fn rated<'s>(
        &mut self,
        sheet: &'s Sheet,
        name: &str,
        stated: &Stated,
        tolerance: &Row,
        dimension: Dimension,
        origin: Origin,
        place: Place,
    ) -> Option<Term<'s>> {
        let print = matches!(origin, Origin::Label | Origin::DataSheet | Origin::Derived);
        if stated.spread != Spread::None || !print {
            return self.fact(sheet, name, stated, dimension, origin, place);
        }
        let source = self.placed(stated, dimension, origin, place)?;
        let (value, half) = (stated.si(), tolerance.si() * stated.si().abs());
        self.assume(format!(
            "{name}: ± {} assumed, the usual tolerance; write the figure with its own to change it",
            tolerance.text()
        ));
        let law = Distribution::Rectangular {
            low: value - half,
            high: value + half,
        };
        Some(sheet.input(Input::distributed(name, law, stated.unit.clone(), source)))
    }

    /// Returns where a value is from and notes its place; `None`, with the reason noted, where it
    /// has another dimension than the place asks for.
    fn placed(
        &mut self,
        stated: &Stated,
        dimension: Dimension,
        origin: Origin,
        place: Place,
    ) -> Option<Source> {
        if stated.dimension() != dimension {
            self.unused(format!(
                "{place}: expected {dimension}, found {} ({stated})",
                stated.dimension()
            ));
            return None;
        }
        let evidence = vec![(&place).into()];
        self.evidence(place);
        Some(Source {
            origin,
            evidence,
            note: String::new(),
        })
    }

    /// As [`Grounds::fact`], for a value read with an instrument of known accuracy.
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
        place: Place,
    ) -> Option<Term<'s>> {
        let source = self.placed(stated, dimension, origin, place)?;
        Some(sheet.input(Input::stated(name, stated, accuracy, source)))
    }

    /// Makes an input of a reading, for all its pieces together.
    pub(crate) fn reading<'s>(
        &mut self,
        sheet: &'s Sheet,
        case: &Case<'_>,
        name: &str,
        reading: &Reading,
    ) -> Term<'s> {
        self.evidence.extend(inputs::reading_evidence(reading));
        sheet.input(case.reading_input(reading, name))
    }

    /// Makes an input that the record does not give and lists it as an assumption; `change` says
    /// how the analyst replaces it.
    pub(crate) fn assumed<'s>(
        &mut self,
        sheet: &'s Sheet,
        name: &str,
        row: &Row,
        change: &str,
    ) -> Term<'s> {
        self.assume(format!("{name}: {} assumed; {change}", row.text()));
        let source = Source {
            origin: Origin::Assumed,
            evidence: Vec::new(),
            note: change.to_string(),
        };
        let law = row.distribution();
        sheet.input(Input::distributed(name, law, unit(row.unit()), source))
    }

    /// Makes an input of what a standard lays down for the case at hand, and cites it; `why` is listed
    /// as the assumption.
    pub(crate) fn laid_down<'s>(
        &mut self,
        sheet: &'s Sheet,
        name: impl Into<String>,
        row: &Row,
        why: String,
    ) -> Term<'s> {
        self.assume(why);
        self.source(row.source());
        let source = Source {
            origin: Origin::Assumed,
            evidence: Vec::new(),
            note: row.source().to_string(),
        };
        sheet.input(Input::exact(name, row.number(), unit(row.unit()), source))
    }

    /// Adds everything gathered by others.
    pub(crate) fn absorb(&mut self, other: Grounds) {
        self.evidence.extend(other.evidence);
        self.assumptions.extend(other.assumptions);
        self.sources.extend(other.sources);
        self.cautions.extend(other.cautions);
        self.unused.extend(other.unused);
    }

    /// Moves the lists into a finding, behind what it has.
    pub(crate) fn close(self, finding: &mut Finding) {
        finding.add_evidence(self.evidence);
        let lists = [
            (&mut finding.assumptions, self.assumptions),
            (&mut finding.sources, self.sources),
            (&mut finding.cautions, self.cautions),
            (&mut finding.unused, self.unused),
        ];
        for (list, more) in lists {
            let mut all = Distinct::from(std::mem::take(list));
            all.extend(more);
            *list = all.into_vec();
        }
    }
}
