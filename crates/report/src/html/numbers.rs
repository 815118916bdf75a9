//! Numbers of figures and tables, and what stands under which.
//!
//! In: the blocks of a document in order. Out: running numbers while they are written, and for each
//! anchor the short words for a link to it ("Fig. 9"). Not here: captions.

use super::pictures::Embedded;
use crate::{Block, Document};
use std::collections::BTreeMap;

/// Running numbers, and short words for anchors.
#[derive(Debug, Default)]
pub(super) struct Numbers {
    figures: usize,
    tables: usize,
    short: BTreeMap<String, String>,
    /// Pictures in the page so far.
    pub(super) embedded: Embedded,
}

impl Numbers {
    /// Counts through a document once, so that links may lead forwards.
    pub(super) fn of(document: &Document) -> Self {
        let mut counting = Self::default();
        let mut short = BTreeMap::new();
        for block in document.sections.iter().flat_map(|s| s.all()) {
            match block {
                Block::Drawing { id, .. } => {
                    short.insert(id.clone(), format!("Fig.\u{a0}{}", counting.figure()));
                }
                Block::Photo {
                    anchor, regions, ..
                } => {
                    let words = format!("Fig.\u{a0}{}", counting.figure());
                    for region in regions {
                        short.insert(region.anchor.clone(), words.clone());
                    }
                    short.insert(anchor.clone(), words);
                }
                Block::Claims(claims) => {
                    let words = format!("Table\u{a0}{}", counting.table());
                    let rows = claims.groups.iter().flat_map(|g| &g.rows);
                    for anchor in rows.filter_map(|row| row.anchor.clone()) {
                        short.insert(anchor, words.clone());
                    }
                    short.insert(claims.id.clone(), words);
                }
                Block::Table(table) => {
                    let words = format!("Table\u{a0}{}", counting.table());
                    for anchor in table.marks.iter().filter_map(|m| m.anchor.clone()) {
                        short.insert(anchor, words.clone());
                    }
                    short.insert(table.id.clone(), words);
                }
                Block::Chips(_)
                | Block::Strip(_)
                | Block::Heading(_)
                | Block::Paragraph(_)
                | Block::List(_)
                | Block::Answers(_)
                | Block::Caution(_)
                | Block::Finding(_) => {}
            }
        }
        Self {
            short,
            ..Self::default()
        }
    }

    /// Returns the number of the next figure.
    pub(super) fn figure(&mut self) -> usize {
        self.figures += 1;
        self.figures
    }

    /// Returns the number of the next table.
    pub(super) fn table(&mut self) -> usize {
        self.tables += 1;
        self.tables
    }

    /// Returns short words for an anchor in a figure or table.
    pub(super) fn short(&self, anchor: &str) -> Option<&str> {
        self.short.get(anchor).map(String::as_str)
    }
}
