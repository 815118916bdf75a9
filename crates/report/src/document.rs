//! The report as a tree of blocks: one content for HTML and PDF. Pure data.
//!
//! In: nothing; [`compose`](crate::compose) fills it. Out: what renderers draw, in order.
//! Not here: fonts, colours, page sizes; the numbers of figures and tables (`numbering`).

use crate::Head;
use crate::words::Words as _;
use crate::{Chips, Picture, Shown, Strip, Struck};
use base64::{Engine as _, engine::general_purpose::STANDARD as BASE64};
use callout::Trace;
use lettering::Typefaces;
use methods::{Cell, Column, Finding, FindingId, Verdict};
use record::{Place, Thing};
use std::collections::BTreeMap;

/// A whole report.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// What stands first.
    pub head: Head,
    /// Product name.
    pub title: String,
    /// Which edition this is: the day on which the product was opened.
    pub version: String,
    /// Maker, model, date opened.
    pub subtitle: String,
    /// Facts of the title block: name and value.
    pub facts: Vec<(String, String)>,
    /// Said first, if anything must be (invented data, cautions).
    pub notices: Vec<String>,
    /// Sections in the order of the day.
    pub sections: Vec<Section>,
    /// Places that findings and rows rest on, and where this document shows them. What is not shown
    /// (publications, log files) has no entry.
    pub places: BTreeMap<Place, Target>,
    /// Findings that read otherwise than in the version before.
    pub corrected: BTreeMap<FindingId, Struck>,
    /// Typefaces for characters that the packed ones lack.
    pub typefaces: Typefaces,
}

impl Document {
    /// Returns every anchor in the order of the document.
    pub fn anchors(&self) -> Vec<String> {
        let mut all = Vec::new();
        for section in &self.sections {
            all.push(section.id.clone());
            for block in section.all() {
                match block {
                    Block::Finding(finding) => all.push(finding_anchor(&finding.id)),
                    Block::Claims(claims) => {
                        all.push(claims.id.clone());
                        let rows = claims.groups.iter().flat_map(|g| &g.rows);
                        all.extend(rows.filter_map(|row| row.anchor.clone()));
                    }
                    Block::Table(table) => {
                        all.push(table.id.clone());
                        all.extend(table.marks.iter().filter_map(|m| m.anchor.clone()));
                    }
                    Block::Drawing { id, .. } => all.push(id.clone()),
                    Block::Chips(chips) => {
                        all.push(chips.id.clone());
                        all.extend(chips.cards.iter().map(|card| card.anchor.clone()));
                    }
                    Block::Strip(strip) => {
                        all.push(strip.id.clone());
                        let steps = strip.panels.iter().flat_map(|p| &p.steps);
                        all.extend(steps.filter_map(|step| step.anchor.clone()));
                    }
                    Block::Photo {
                        anchor, regions, ..
                    } => {
                        all.push(anchor.clone());
                        all.extend(regions.iter().map(|r| r.anchor.clone()));
                    }
                    Block::Heading(_)
                    | Block::Paragraph(_)
                    | Block::List(_)
                    | Block::Answers(_)
                    | Block::Caution(_) => {}
                }
            }
        }
        all
    }
}

/// Where the document shows a place of the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Target {
    /// Anchor of a section, row, photograph, region, drawing or finding of the same document.
    pub anchor: String,
    /// Words for the link ("photograph: lid, inside").
    pub words: String,
}

/// One section.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Anchor.
    pub id: String,
    /// Heading: a statement or a question.
    pub title: String,
    /// What every reader reads.
    pub blocks: Vec<Block>,
    /// What those read who check it: every finding with its working, the record. Folded on a screen, a
    /// file of its own on paper.
    pub working: Vec<Block>,
}

impl Section {
    /// Returns every block, those that are folded last.
    pub fn all(&self) -> impl Iterator<Item = &Block> {
        self.blocks.iter().chain(&self.working)
    }

    /// Returns whether it says nothing.
    pub fn is_empty(&self) -> bool {
        self.blocks.is_empty() && self.working.is_empty()
    }
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
    /// A finding: sentence, verdict, figures that unfold to working, evidence, missing … Its
    /// anchor is [`finding_anchor`]. Its `details` are empty here: they follow as tables and
    /// drawings of their own.
    Finding(Box<Finding>),
    /// The printed claims beside what was found.
    Claims(ClaimTable),
    /// The chips as cards.
    Chips(Chips),
    /// The opening, told in pictures.
    Strip(Strip),
    /// Answers in one sentence each, with the way to their working.
    Answers(Vec<ShortAnswer>),
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
        /// A self-contained SVG; text stays text. Colours are plain presentation attributes for
        /// light paper; classes let a style sheet replace them.
        svg: String,
        /// The same drawn for a narrow page, where that is another drawing.
        upright: Option<String>,
    },
    /// A numbered photograph.
    Photo {
        /// Anchor; that of the first picture of a photograph is [`photo_anchor`].
        anchor: String,
        /// Caption.
        caption: String,
        /// The pictures.
        shown: Shown,
        /// A number for each region; none where numbers find no room.
        callouts: Option<Callouts>,
        /// Named regions in the photograph, in the order of their numbers.
        regions: Vec<PhotoRegion>,
    },
}

/// Numbers around a photograph.
#[derive(Debug, Clone, PartialEq)]
pub struct Callouts {
    /// An SVG of numbers, leaders and outlines, in mm, that lies over the photograph; the outline of each
    /// region carries its anchor.
    pub svg: String,
    /// Where the photograph lies beneath it, as shares of its width and height: left, top, width, height.
    pub photo: [f64; 4],
    /// The same, as SVG attributes in mm.
    pub place: String,
    /// Width of the drawing, of that of a column.
    pub share: f64,
}

impl Callouts {
    /// Returns a self-contained SVG of the photograph with its numbers.
    pub fn with(&self, picture: &Picture) -> String {
        let start = self.svg.find(">\n").map_or(0, |at| at + 2);
        let (head, rest) = self.svg.split_at(start);
        let (media_type, bytes) = (picture.media_type, BASE64.encode(&picture.bytes));
        format!(
            "{head}<image {} preserveAspectRatio=\"none\" xlink:href=\"data:{media_type};base64,{bytes}\"/>\n{rest}",
            self.place
        )
    }
}

/// An answer in one sentence.
#[derive(Debug, Clone, PartialEq)]
pub struct ShortAnswer {
    /// The sentence.
    pub sentence: String,
    /// The decision, where there is one.
    pub verdict: Option<Verdict>,
    /// Anchor of the finding with its working.
    pub working: String,
}

/// Printed claims beside what was found, grouped by verdict, failures first.
#[derive(Debug, Clone, PartialEq)]
pub struct ClaimTable {
    /// Anchor.
    pub id: String,
    /// Caption.
    pub caption: String,
    /// Groups that have rows.
    pub groups: Vec<ClaimGroup>,
}

/// The claims with one verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct ClaimGroup {
    /// The verdict.
    pub verdict: Verdict,
    /// Its heading ("4 claims fail").
    pub words: String,
    /// The claims, the farthest from its limit first.
    pub rows: Vec<ClaimRow>,
}

/// One printed claim.
#[derive(Debug, Clone, PartialEq)]
pub struct ClaimRow {
    /// Its number in the order of the record, from 1.
    pub number: usize,
    /// Anchor.
    pub anchor: Option<String>,
    /// The sentence as printed, in quotation marks.
    pub said: String,
    /// Where it is printed.
    pub printed: String,
    /// What was found ("41.13 g"); empty where nothing was.
    pub found: String,
    /// How it was found ("weighed").
    pub how: String,
    /// How far it lies from its limit ("2.4 g over"); empty without a limit.
    pub margin: String,
    /// The reason or probability beside the verdict.
    pub reason: String,
    /// Why it came out so.
    pub why: String,
    /// Its row of the plot alone, an SVG without text, for narrow screens; none without a figure.
    pub strip: Option<String>,
    /// Anchor of the finding with its working.
    pub working: String,
    /// Where it is seen.
    pub evidence: Vec<Place>,
}

/// A named rectangle of a photograph.
#[derive(Debug, Clone, PartialEq)]
pub struct PhotoRegion {
    /// Anchor.
    pub anchor: String,
    /// What is seen there.
    pub words: String,
    /// Left, top, width, height in pixels.
    pub rect: [u32; 4],
    /// Anchor of the item seen there, if it is in this document.
    pub item: Option<String>,
    /// What was measured there: the line and the points marked, in pixels.
    pub traces: Vec<Trace>,
}

/// A table.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Anchor.
    pub id: String,
    /// Caption.
    pub caption: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows.
    pub rows: Vec<Vec<Cell>>,
    /// What belongs to each row as a whole: as many as rows, or none at all.
    pub marks: Vec<RowMark>,
}

/// What belongs to a table row besides its cells.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RowMark {
    /// Anchor of the row.
    pub anchor: Option<String>,
    /// Anchor that the first cell leads to.
    pub link: Option<String>,
    /// The cell whose words no longer hold.
    pub struck: Option<usize>,
    /// Depth in a tree, 0 for the root: the first cell is moved to the right.
    pub depth: usize,
    /// Evidence of the row; shown as a further column "Seen in" if any row of the table has some.
    pub evidence: Vec<Place>,
}

/// Returns the words for a place that the document does not show.
pub fn place_words(place: &Place) -> String {
    match (place.thing(), place.outside()) {
        (Thing::Log, Some(file)) => format!("log file {file}"),
        (_, Some(words)) => words.trim().to_string(),
        (Thing::Step, None) => place.entry_id().map_or(place.to_string(), str::to_string),
        (Thing::Logged | Thing::Sound, None) => match place.entry_id() {
            Some(id) => format!("{} {id}", place.thing().word()),
            None => place.to_string(),
        },
        (_, None) => place.to_string(),
    }
}

impl Table {
    /// Returns the cells of every row as printed, the tree of the first ones visible: an em space
    /// per level, which every output keeps.
    pub fn printed(&self) -> impl Iterator<Item = Vec<String>> {
        self.rows.iter().enumerate().map(|(at, row)| {
            let cells = self.columns.iter().zip(row);
            let mut printed: Vec<String> = cells.map(|(column, cell)| column.print(cell)).collect();
            let depth = self.marks.get(at).map_or(0, |mark| mark.depth);
            if let Some(first) = printed.first_mut() {
                first.insert_str(0, &"\u{2003}".repeat(depth.min(DEEPEST)));
            }
            printed
        })
    }
}

/// Deeper levels of a tree are not moved further.
const DEEPEST: usize = 8;

/// Returns the words of a verdict as printed everywhere.
pub fn verdict_words(verdict: Verdict) -> &'static str {
    verdict.words()
}

/// Returns the anchor of a finding.
pub fn finding_anchor(finding: &FindingId) -> String {
    anchor("finding", &finding.to_string())
}

/// Returns the anchor of a photograph.
pub fn photo_anchor(photo: &str) -> String {
    anchor("photo", photo)
}

/// Makes an anchor of letters, digits, `-`, `.` and `_` that differs whenever `id` differs.
pub fn anchor(prefix: &str, id: &str) -> String {
    use std::fmt::Write as _;
    let mut out = format!("{prefix}-");
    for c in id.chars() {
        if c.is_ascii_alphanumeric() || c == '-' || c == '.' {
            out.push(c);
        } else {
            // Writing to a String cannot fail.
            let _ = write!(out, "_{:x}_", u32::from(c));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unlike_ids_have_unlike_anchors() {
        let ids = ["a b", "a_b", "a-b", "a.b", "ä", "a_20_b", "", "A"];
        let mut anchors: Vec<String> = ids.iter().map(|i| anchor("item", i)).collect();
        anchors.sort();
        anchors.dedup();
        assert_eq!(anchors.len(), ids.len());
        assert!(anchors.iter().all(|a| !a.contains([' ', '"', '<', '#'])));
    }
}
