//! The answer of a method, as plain data.

use crate::once::Once;
use crate::{FindingId, Method};
use quantity::Figure;
use record::{Claim, Dossier, Place};
use serde::Serialize;

/// All answers about one dossier.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Findings {
    /// Version of the findings format: 1.
    pub format: u32,
    /// Product name.
    pub product: String,
    /// The answers in the order of the day.
    pub findings: Vec<Finding>,
}

/// A decision.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Finding {
    /// What tells it apart from all others, in every revision of the record.
    pub id: FindingId,
    /// The question.
    pub method: Method,
    /// Heading.
    pub title: String,
    /// What it is about: an item, a claim, a photo; none for the product as a whole.
    pub about: Option<Place>,
    /// The decision, where there is one.
    pub verdict: Option<Verdict>,
    /// Probability that the statement is true, for decided and undecided claims.
    pub conformance: Option<f64>,
    /// The sentence a reader understands.
    pub sentence: String,
    /// Figures with their working.
    pub figures: Vec<Figure>,
    /// Tables, parts lists, diagrams.
    pub details: Vec<Detail>,
    /// Places in the record it rests on (see `quantity::Source::evidence` for the forms).
    pub evidence: Vec<String>,
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
    pub fn new(method: Method, question: impl Into<String>, title: impl Into<String>) -> Self {
        Self {
            id: FindingId::new(method, question),
            method,
            title: title.into(),
            about: None,
            verdict: None,
            conformance: None,
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
    pub fn add_figure(&mut self, figure: Figure) {
        let places = crate::basis::figure_evidence(&figure);
        self.add_evidence(places);
        self.figures.push(figure);
    }

    /// Adds a figure, or says why there is none.
    pub fn add_result(&mut self, what: &str, result: Result<Figure, quantity::SheetError>) {
        match result {
            Ok(figure) => self.add_figure(figure),
            Err(error) => self.unused.push(format!("{what}: {error}")),
        }
    }

    /// Adds places in the record, each once. Where many things add places, gather them first: every
    /// call looks through what is there.
    pub fn add_evidence(&mut self, places: impl IntoIterator<Item = String>) {
        let mut all = Once::from(std::mem::take(&mut self.evidence));
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

fn push_once(list: &mut Vec<String>, text: String) {
    if !list.contains(&text) {
        list.push(text);
    }
}

/// A measurement that would help.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Missing {
    /// What to measure ("weigh the case shell").
    pub measure: String,
    /// The resolution or accuracy that would settle it, as text with unit.
    pub resolution: Option<String>,
    /// The step (id) before which it must be done; none if it can be done at any time.
    pub before_step: Option<String>,
    /// Whether it is already too late.
    pub too_late: bool,
}

impl Missing {
    /// Makes the entry of something that can be measured at any time, however finely.
    pub fn at_any_time(measure: impl Into<String>) -> Self {
        Self {
            measure: measure.into(),
            resolution: None,
            before_step: None,
            too_late: false,
        }
    }
}

/// Structured content of a finding that reports draw.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "detail")]
pub enum Detail {
    /// Masses, one row per item.
    Masses {
        /// Rows in tree order.
        rows: Vec<MassRow>,
    },
    /// The power path.
    Power(PowerMap),
    /// Parts list.
    Parts {
        /// Rows in tree order.
        rows: Vec<PartRow>,
    },
    /// Steps in order.
    Steps {
        /// Rows in order.
        rows: Vec<StepRow>,
    },
    /// What was marked on a photograph.
    Marks {
        /// Photo id.
        photo: String,
        /// Marks in the order of the record.
        marks: Vec<Mark>,
    },
    /// Any other table.
    Table {
        /// Caption.
        caption: String,
        /// Column headings with units.
        columns: Vec<String>,
        /// Cells, row by row.
        rows: Vec<Vec<String>>,
    },
}

/// One item's mass. Grams.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct MassRow {
    /// Item id.
    pub item: String,
    /// Item name.
    pub name: String,
    /// Depth in the tree, 0 for the root.
    pub depth: usize,
    /// Parent item id.
    pub parent: Option<String>,
    /// Reading as weighed, g, and its standard uncertainty, g.
    pub measured: Option<(f64, f64)>,
    /// Adjusted mass, g, and its standard uncertainty, g; none where it cannot be known.
    pub adjusted: Option<(f64, f64)>,
    /// Measurement-test statistic of the reading.
    pub z: Option<f64>,
    /// Whether the reading is flagged.
    pub flagged: bool,
    /// Whether the mass is inferred (not weighed).
    pub inferred: bool,
}

/// What was marked on a photograph to measure a thing. Pixels from the top left corner.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Mark {
    /// Measure id.
    pub measure: String,
    /// Item id.
    pub item: Option<String>,
    /// What came out, for a legend ("Light board: diameter 36.0 ± 0.1 mm").
    pub words: String,
    /// The line that was measured, the first point repeated at the end where it is closed.
    pub line: Vec<[f64; 2]>,
    /// The points marked.
    pub points: Vec<[f64; 2]>,
}

/// The power path as a diagram.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PowerMap {
    /// Nodes.
    pub nodes: Vec<PowerNode>,
    /// Edges in the direction of flow.
    pub edges: Vec<PowerEdge>,
}

/// One item on the power path.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PowerNode {
    /// Item id.
    pub item: String,
    /// Name.
    pub name: String,
    /// `contact`, `converter`, `cell`, `load`, `pass`.
    pub sort: String,
    /// Assembly (direct child of the product) it is in, for grouping.
    pub group: Option<String>,
    /// Short limits as text ("≤ 0.50 A", "5.0 V × 1.0 A = 5.0 W").
    pub limits: Vec<String>,
    /// Whether this node binds the path.
    pub binds: bool,
}

/// One power link.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PowerEdge {
    /// From item id.
    pub from: String,
    /// To item id.
    pub to: String,
    /// Label ("5 V, ≤ 1.0 A").
    pub label: String,
    /// Whether this edge binds the path.
    pub binds: bool,
}

/// One line of the parts list.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PartRow {
    /// Item id.
    pub item: String,
    /// Name.
    pub name: String,
    /// Kind of item.
    pub kind: String,
    /// Board or assembly it sits on.
    pub on: String,
    /// Total count in the product.
    pub count: u32,
    /// Role.
    pub role: String,
    /// Marking lines joined by ` / `.
    pub marking: String,
    /// Package.
    pub package: String,
    /// Identity.
    pub identity: String,
    /// Maker of the part.
    pub maker: String,
    /// read / inferred / assumed, or empty.
    pub certainty: String,
    /// Probability of the identity by its marking, package and a catalogue; none where these do not
    /// say.
    pub probability: Option<f64>,
    /// Ratings as text.
    pub ratings: String,
    /// Evidence.
    pub evidence: Vec<String>,
}

/// One step of opening.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct StepRow {
    /// Number, from 1.
    pub number: usize,
    /// Step id.
    pub step: String,
    /// Action.
    pub action: String,
    /// In words.
    pub text: String,
    /// Tool.
    pub tool: String,
    /// Temperature as text.
    pub temperature: String,
    /// Duration in minutes.
    pub duration_min: Option<f64>,
    /// Fasteners undone.
    pub fasteners: u32,
    /// Names of items freed.
    pub frees: Vec<String>,
    /// Names of things destroyed.
    pub destroys: Vec<String>,
    /// `yes`, `with new material`, `no`.
    pub undo: String,
    /// Cautions at this step.
    pub cautions: Vec<String>,
}
