//! The answer of a method, as plain data.

use crate::distinct::Distinct;
use crate::{Detail, FigureKey, FindingId, Judgement, Method, RowsOf, Word};
use quantity::Figure;
use record::{Claim, Dossier, Place};
use serde::{Deserialize, Serialize};
use std::ops::Deref;

/// Version of the findings format.
pub const FINDINGS_FORMAT: u32 = 3;

/// All answers about one dossier.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Findings {
    /// Version of the findings format: [`FINDINGS_FORMAT`].
    pub format: u32,
    /// Product name.
    pub product: String,
    /// The answers in the order of the day.
    pub findings: Vec<Finding>,
}

/// A decision.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// The statement holds.
    Holds,
    /// The statement fails.
    Fails,
    /// The evidence does not decide.
    Undecided,
    /// Evidence is missing.
    NeedsEvidence,
}

/// One answer. Never a bare string: it carries what it rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Finding {
    /// What tells it apart from all others, in every revision of the record.
    pub id: FindingId,
    /// Heading.
    pub title: String,
    /// What it is about: an item, a claim, a photo; none for the product as a whole.
    pub about: Option<Place>,
    /// The decision, where there is one.
    pub verdict: Option<Verdict>,
    /// Probability that the statement is true, for decided and undecided claims.
    pub conformance: Option<f64>,
    /// Of a claim: what was found beside what is said, and why it came out so.
    pub judgement: Option<Judgement>,
    /// The table in which a row says it beside others of its kind.
    pub told_in: Option<RowsOf>,
    /// The sentence a reader understands.
    pub sentence: String,
    /// Figures with their working.
    pub figures: Vec<KeyedFigure>,
    /// Tables, parts lists, diagrams.
    pub details: Vec<Detail>,
    /// Places it rests on.
    pub evidence: Vec<Place>,
    /// What is missing and how to get it.
    pub missing: Vec<Missing>,
    /// What was assumed (tolerances included), each with where to change it.
    pub assumptions: Vec<String>,
    /// Publications and common practice used.
    pub sources: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// What could not be used and why.
    pub unused: Vec<String>,
}

impl Finding {
    /// Starts a finding: empty lists, no verdict.
    pub fn new(method: Method, question: Word, title: impl Into<String>) -> Self {
        Self {
            id: FindingId::new(method, question),
            title: title.into(),
            about: None,
            verdict: None,
            conformance: None,
            judgement: None,
            told_in: None,
            sentence: String::new(),
            figures: Vec::new(),
            details: Vec::new(),
            evidence: Vec::new(),
            missing: Vec::new(),
            assumptions: Vec::new(),
            sources: Vec::new(),
            cautions: Vec::new(),
            unused: Vec::new(),
        }
    }

    /// Returns whether a row says all that its own sentence says. What fails or is open is told by itself too.
    pub fn is_told_in_a_row(&self) -> bool {
        self.told_in.is_some() && matches!(self.verdict, None | Some(Verdict::Holds))
    }

    /// Returns whether entries of the analyst contradict each other, or what was seen: a slip of the record, which
    /// says nothing against the maker. Labels that contradict themselves and cells that cannot hold what is printed
    /// are the maker's.
    pub fn is_slip(&self) -> bool {
        use Method::{Codes, Consistency, Geometry, Inventory, Markings, Mass};
        let of_the_record = [Consistency, Mass, Geometry, Inventory, Markings, Codes];
        self.verdict == Some(Verdict::Fails) && of_the_record.contains(&self.id.method)
    }

    /// Returns the method that answers.
    pub fn method(&self) -> Method {
        self.id.method
    }

    /// Sets what it is about, which its identity names too.
    #[must_use]
    pub fn about(mut self, place: Place) -> Self {
        self.about = Some(place.clone());
        self.on(place)
    }

    /// Sets the subject in its identity alone.
    #[must_use]
    pub(crate) fn on(mut self, place: Place) -> Self {
        self.id.subject = Some(place);
        self
    }

    /// Adds a word that tells it apart from other answers to its question.
    #[must_use]
    pub(crate) fn named(mut self, word: impl Into<String>) -> Self {
        self.id.words.push(word.into());
        self
    }

    /// Returns the claim it is about.
    pub fn claim<'d>(&self, dossier: &'d Dossier) -> Option<&'d Claim> {
        let about = self.about.as_ref()?;
        dossier
            .claims
            .iter()
            .find(|c| Place::claim(&c.id) == *about)
    }

    /// Sets the sentence.
    #[must_use]
    pub fn saying(mut self, sentence: impl Into<String>) -> Self {
        self.sentence = sentence.into();
        self
    }

    /// Adds a figure and the places it rests on.
    pub fn add_figure(&mut self, key: impl Into<FigureKey>, figure: Figure) {
        let places = crate::inputs::figure_evidence(&figure);
        self.add_evidence(places);
        let key = key.into();
        self.figures.push(KeyedFigure { key, figure });
    }

    /// Adds a figure, or says why there is none.
    pub fn add_result(
        &mut self,
        key: impl Into<FigureKey>,
        what: &str,
        result: Result<Figure, quantity::SheetError>,
    ) {
        match result {
            Ok(figure) => self.add_figure(key, figure),
            Err(error) => self.unused.push(format!("{what}: {error}")),
        }
    }

    /// Adds places in the record, each once. Where many things add places, gather them first: every
    /// call looks through what is there.
    pub fn add_evidence(&mut self, places: impl IntoIterator<Item = Place>) {
        let mut all = Distinct::from(std::mem::take(&mut self.evidence));
        all.extend(places);
        self.evidence = all.into_vec();
    }

    /// Adds an assumption, once.
    pub fn assume(&mut self, text: impl Into<String>) {
        push_once(&mut self.assumptions, text.into());
    }

    /// Adds a source, once.
    pub fn cite(&mut self, text: impl Into<String>) {
        push_once(&mut self.sources, text.into());
    }

    /// Adds a caution, once.
    pub fn caution(&mut self, text: impl Into<String>) {
        push_once(&mut self.cautions, text.into());
    }
}

/// A figure of a finding, with what tells it apart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct KeyedFigure {
    /// What tells it apart from the others of its finding, in every revision of the record.
    pub key: FigureKey,
    /// The figure.
    pub figure: Figure,
}

/// What is printed, drawn and compared of it is the figure.
impl Deref for KeyedFigure {
    type Target = Figure;

    fn deref(&self) -> &Figure {
        &self.figure
    }
}

fn push_once(list: &mut Vec<String>, text: String) {
    if !list.contains(&text) {
        list.push(text);
    }
}

/// A measurement that would help.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Missing {
    /// What to measure ("weigh the case shell").
    pub measure: String,
    /// The resolution or accuracy that would settle it, as text with unit.
    pub resolution: Option<String>,
    /// The step before which it must be done; none if it can be done at any time.
    pub before_step: Option<Place>,
    /// Whether it is already too late.
    pub too_late: bool,
    /// The claim it is for, where the finding is not about that claim itself.
    pub settles: Option<Place>,
}

impl Missing {
    /// Makes the entry of something that can be measured at any time, however finely.
    pub fn at_any_time(measure: impl Into<String>) -> Self {
        Self {
            measure: measure.into(),
            resolution: None,
            before_step: None,
            too_late: false,
            settles: None,
        }
    }
}
