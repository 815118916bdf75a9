//! What is shown as cards: chips, and steps of opening.
//!
//! In: nothing; `compose` fills it. Out: what renderers draw. Not here: how a card looks.

use crate::Picture;

/// The chips, in the order of interest.
#[derive(Debug, Clone, PartialEq)]
pub struct Chips {
    /// Anchor.
    pub id: String,
    /// One card for each part number.
    pub cards: Vec<ChipCard>,
}

/// One chip, or several with the same part number.
#[derive(Debug, Clone, PartialEq)]
pub struct ChipCard {
    /// Anchor.
    pub anchor: String,
    /// The marking as photographed; none where there is no photograph.
    pub crop: Option<Crop>,
    /// Part number, or what it is called where it has none.
    pub part_number: String,
    /// Pieces in the product, in words where it is more than one ("2 ×").
    pub count: String,
    /// Who makes it; empty where nobody knows.
    pub maker: String,
    /// Its role.
    pub role: String,
    /// What it does here, in one sentence; empty where nothing is on record.
    pub does: String,
    /// How sure the part number is.
    pub certainty: CardCertainty,
    /// The marking, line by line.
    pub marking: Vec<String>,
    /// Where each piece sits: board, designator, size.
    pub seats: Vec<Seat>,
}

/// How sure a part number is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardCertainty {
    /// From 0 (anybody's guess) to 3 (as good as certain).
    pub level: u8,
    /// In words: how somebody came by it, how likely its marking makes it.
    pub words: String,
    /// The doubt alone, in brief; empty where there is none.
    pub doubt: String,
}

/// Where one piece sits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seat {
    /// Board, designator, size.
    pub words: String,
    /// Anchor of the item, if it is in this document.
    pub item: Option<String>,
}

/// A part of a photograph, cut out.
#[derive(Debug, Clone, PartialEq)]
pub struct Crop {
    /// The picture.
    pub picture: Picture,
    /// What it shows, for those who cannot see it.
    pub alternative: String,
    /// Anchor of where the whole photograph stands.
    pub whole: String,
    /// Address of the whole photograph beside the report.
    pub path: String,
    /// A scale bar: its length as a share of the width, and in words ("1 mm"); none without a scale.
    pub bar: Option<(f64, String)>,
}

/// The opening, told in steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Anchor.
    pub id: String,
    /// Panels in the order of opening.
    pub panels: Vec<Panel>,
}

/// One picture and the steps that lead to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// The photograph of the last of the steps; none where the steps that are left have none.
    pub picture: Option<Crop>,
    /// Steps; those before the last have no picture of their own.
    pub steps: Vec<PanelStep>,
}

/// A step in a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelStep {
    /// Anchor.
    pub anchor: Option<String>,
    /// Number, from 1.
    pub number: usize,
    /// What was done.
    pub text: String,
    /// Tool, temperature, minutes.
    pub with: String,
    /// What it frees; empty for nothing.
    pub frees: String,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Whether it has not been done yet.
    pub planned: bool,
}
