//! Structured content of a finding: tables, charts, parts lists, diagrams, marks on photographs.
//!
//! In: what a method found, row by row. Out: plain data that every output draws in its own way.
//! Not here: the finding as a whole (`finding.rs`); any drawing.

use crate::{Between, Cell, Chart, RowsOf, Table};
use record::{Action, Certainty, ItemKind, Place, Undo};
use serde::{Deserialize, Serialize};

/// Structured content of a finding that reports draw.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "detail", deny_unknown_fields)]
pub enum Detail {
    /// Masses, one row per item.
    Masses {
        /// Rows in tree order.
        rows: Vec<MassRow>,
    },
    /// The power path.
    Power(PowerMap),
    /// Who talks to whom.
    Signals(SignalMap),
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
    /// A table whose rows tell findings of one kind.
    Rows {
        /// What its rows are.
        of: RowsOf,
        /// The table.
        table: Table,
    },
    /// A way on which nothing on record stops a hazard.
    Way(OpenWay),
    /// The ways to spare parts, step by step.
    Ways {
        /// One for each part that can be reached, the shortest way first.
        ways: Vec<PartWay>,
    },
    /// Any other table.
    Table(Table),
    /// A chart.
    Chart(Chart),
}

/// The way to a part, there and, read from its end, back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PartWay {
    /// Item id.
    pub item: String,
    /// Name.
    pub name: String,
    /// Steps in order.
    pub steps: Vec<WayStep>,
}

/// One step of a way.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct WayStep {
    /// Its number in the record, from 1.
    pub number: usize,
    /// Step id.
    pub step: String,
    /// The tool; empty for the bare hand.
    pub tool: String,
    /// Whether the tool is taken up for it.
    pub changes_tool: bool,
    /// Whether it can be undone.
    pub undo: Undo,
    /// Names of things that it breaks.
    pub breaks: Vec<String>,
    /// What must be new when it goes back.
    pub renews: Vec<String>,
}

/// A way on which nothing on record stops a hazard.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OpenWay {
    /// The hazard, as a table names it.
    pub hazard: String,
    /// Items on the way, by id, from where it begins.
    pub items: Vec<String>,
    /// How it stands: that nothing is there, that nothing was seen, that nobody looked.
    pub standing: WayStanding,
}

/// What is known of a way on which nothing on record stops a hazard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WayStanding {
    /// Every part is on record, so there is nothing.
    Unguarded,
    /// It was looked for and not seen.
    NotSeen,
    /// It was not looked for.
    NotLookedFor,
}

impl WayStanding {
    /// Returns it as a drawing says it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Unguarded => "unguarded",
            Self::NotSeen => "nothing seen",
            Self::NotLookedFor => "not looked for",
        }
    }
}

/// One item's mass. Grams.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PowerMap {
    /// Nodes.
    pub nodes: Vec<PowerNode>,
    /// Edges in the direction of flow.
    pub edges: Vec<PowerEdge>,
}

/// One item on the power path.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PowerNode {
    /// Item id.
    pub item: String,
    /// Name.
    pub name: String,
    /// What it does on the path.
    pub sort: PathRole,
    /// Assembly (direct child of the product) it is in, for grouping.
    pub group: Option<String>,
    /// What it gives, takes and stands, each with its name.
    pub limits: Vec<Cell>,
    /// Whether this node binds the path.
    pub binds: bool,
}

/// What an item does on the power path.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PathRole {
    /// Takes power from outside or gives it out.
    Contact,
    /// Changes voltage or current.
    Converter,
    /// Stores energy.
    Cell,
    /// Uses it.
    Load,
    /// Passes it on.
    Pass,
    /// Changes it or passes it on: that is not known.
    Unknown,
}

/// One power link.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PowerEdge {
    /// From item id.
    pub from: String,
    /// To item id.
    pub to: String,
    /// Net.
    pub net: Cell,
    /// Volts: as measured or stated for the link, else as they follow from what lies before it.
    pub volts: Cell,
    /// The current that the link itself is rated for.
    pub limit: Cell,
    /// The most amperes that pass, or the range that is drawn where nothing limits them.
    pub amps: Cell,
    /// The most watts that pass, or the range that is drawn.
    pub watts: Cell,
    /// Whether this edge binds the path.
    pub binds: bool,
}

impl PowerEdge {
    /// Returns all that is told on the way.
    pub fn label(&self) -> Cell {
        let told = [&self.net, &self.volts, &self.limit, &self.amps, &self.watts];
        let told = told.into_iter().filter(|cell| !cell.is_nothing());
        Cell::list(told.cloned(), Between::Comma)
    }
}

/// Who talks to whom.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SignalMap {
    /// Nodes.
    pub nodes: Vec<SignalNode>,
    /// Edges as recorded.
    pub edges: Vec<SignalEdge>,
}

/// One item on a signal link.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SignalNode {
    /// Item id.
    pub item: String,
    /// Name.
    pub name: String,
    /// Assembly (direct child of the product) it is in, for grouping.
    pub group: Option<String>,
    /// How it faces the outside ("antenna", "senses"); nothing for what stays inside.
    pub outside: Cell,
}

/// One signal link.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SignalEdge {
    /// From item id.
    pub from: String,
    /// To item id.
    pub to: String,
    /// Net or bus.
    pub net: Cell,
}

/// One line of the parts list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PartRow {
    /// Item id.
    pub item: String,
    /// Name.
    pub name: String,
    /// Kind of item.
    pub kind: ItemKind,
    /// Board or assembly it sits on.
    pub on: String,
    /// Total count in the product; in words where it is not stated.
    pub count: Cell,
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
    /// How sure the record is of the identity, where it has one.
    pub certainty: Option<Certainty>,
    /// Probability of the identity by its marking, package and a catalogue; none where these do not
    /// say.
    pub probability: Option<f64>,
    /// Ratings: figures with their names, and the sort of a fastener.
    pub ratings: Cell,
    /// Evidence.
    pub evidence: Vec<Place>,
}

/// One step of opening.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct StepRow {
    /// Number, from 1.
    pub number: usize,
    /// Step id.
    pub step: String,
    /// Action.
    pub action: Action,
    /// In words.
    pub text: String,
    /// Tool.
    pub tool: String,
    /// Temperature, where one is recorded.
    pub temperature: Cell,
    /// Duration in minutes.
    pub duration_min: Option<f64>,
    /// Fasteners undone: nothing, a count, or words where it is not stated.
    pub fasteners: Cell,
    /// Names of items freed.
    pub frees: Vec<String>,
    /// Names of things destroyed.
    pub destroys: Vec<String>,
    /// Whether it can be undone.
    pub undo: Undo,
    /// Cautions at this step.
    pub cautions: Vec<String>,
}
