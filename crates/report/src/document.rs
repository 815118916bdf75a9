//! The report as a tree of blocks: one content for HTML and PDF. Pure data.

use methods::Finding;

/// A whole report.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// Product name.
    pub title: String,
    /// Maker, model, date opened.
    pub subtitle: String,
    /// Facts of the title block: name and value.
    pub facts: Vec<(String, String)>,
    /// Said first, if anything must be (invented data, cautions).
    pub notices: Vec<String>,
    /// Sections in the order of the day.
    pub sections: Vec<Section>,
}

/// One section.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Anchor.
    pub id: String,
    /// Heading.
    pub title: String,
    /// Content.
    pub blocks: Vec<Block>,
}

/// One block of content.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A sub-heading.
    Heading(String),
    /// Running text.
    Paragraph(String),
    /// Bullets.
    List(Vec<String>),
    /// A safety caution.
    Caution(String),
    /// A finding: sentence, verdict, figures that unfold to working, evidence, missing …
    Finding(Finding),
    /// A numbered table.
    Table(Table),
    /// A numbered drawing.
    Drawing {
        /// Anchor.
        id: String,
        /// Caption.
        caption: String,
        /// What it shows, for readers who cannot see it.
        alternative: String,
        /// A self-contained SVG; text stays text; colours by CSS variables with fallbacks.
        svg: String,
    },
    /// A numbered photograph.
    Photo {
        /// Photo id in the record.
        id: String,
        /// Caption.
        caption: String,
        /// File name.
        file: String,
        /// Media type (`image/png`).
        media_type: &'static str,
        /// The bytes as they came.
        bytes: std::sync::Arc<[u8]>,
    },
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Anchor.
    pub id: String,
    /// Caption.
    pub caption: String,
    /// Columns: heading with unit, and whether it holds numbers.
    pub columns: Vec<(String, bool)>,
    /// Rows.
    pub rows: Vec<Vec<String>>,
}
