//! What is asked of a library, as data.
//!
//! Not here: how it is typed (`read`); what meets it (`judge`).

use record::marking::Seen;
use serde::Serialize;

/// What is to be found. All of it is to be met by one dossier; part, marking, maker and role by one thing in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Find {
    /// Words, each the beginning of one anywhere in the dossier.
    pub words: Vec<String>,
    /// Words of the name of a part.
    pub part: Vec<String>,
    /// A marking, with the doubts of the one who typed it; each of its lines begins one that was seen.
    pub marking: Option<Seen>,
    /// Words of the maker of a part, or of the product.
    pub maker: Vec<String>,
    /// Words of what a part does.
    pub role: Vec<String>,
    /// Words of what the product is.
    pub category: Vec<String>,
    /// How many findings came out how.
    pub verdicts: Vec<Counted>,
    /// Figures; each is met where any value of the figure's range is.
    pub figures: Vec<Ranged>,
    /// Most hits that are returned.
    pub most: usize,
    /// Hits that are passed over before the first that is returned.
    pub from: usize,
}

impl Default for Find {
    /// Asks for everything, the first twenty.
    fn default() -> Self {
        Self {
            words: Vec::new(),
            part: Vec::new(),
            marking: None,
            maker: Vec::new(),
            role: Vec::new(),
            category: Vec::new(),
            verdicts: Vec::new(),
            figures: Vec::new(),
            most: 20,
            from: 0,
        }
    }
}

/// How a finding came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Judged {
    /// It holds.
    Holds,
    /// It fails.
    Fails,
    /// The evidence does not decide.
    Undecided,
    /// Evidence is missing.
    NeedsEvidence,
}

/// A number of findings that came out alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counted {
    /// How they came out.
    pub judged: Judged,
    /// At least so many.
    pub least: u32,
    /// At most so many.
    pub most: u32,
}

/// A figure of a kind within a range, in the coherent SI unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranged {
    /// Which quantity it is (`run-time`).
    pub kind: String,
    /// Its dimension in a word (`time`).
    pub dimension: String,
    /// The figure reaches at least this value.
    pub low: f64,
    /// The figure begins at most at this value.
    pub high: f64,
}
