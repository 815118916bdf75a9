//! Numbers of figures, tables and findings: decided once for a document, the same in every form of it.
//!
//! In: a document. Out: for each anchor the number of its figure or table ("Fig. 9"), and the number of each
//! finding in the working ("W4.2"). What every reader reads is numbered first, then what is folded or lies in a
//! file of its own, so that neither form leaves numbers out.
//! Not here: captions; how a number looks.

use crate::{Block, Document, Section, finding_anchor};
use std::collections::BTreeMap;

/// The numbers of a document.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Numbering {
    figures: BTreeMap<String, usize>,
    tables: BTreeMap<String, usize>,
    short: BTreeMap<String, String>,
    entries: BTreeMap<String, String>,
}

impl Numbering {
    /// Counts through a document.
    pub fn of(document: &Document) -> Self {
        let mut found = Self::default();
        let parts: [fn(&Section) -> &[Block]; 2] = [|s| &s.blocks, |s| &s.working];
        for part in parts {
            for block in document.sections.iter().flat_map(part) {
                found.count(block);
            }
        }
        let sections = document.sections.iter().filter(|s| !s.working.is_empty());
        for (section, part) in (1..).zip(sections) {
            let findings = part.working.iter().filter_map(|block| match block {
                Block::Finding(finding) => Some(finding_anchor(&finding.id)),
                _ => None,
            });
            for (n, anchor) in (1..).zip(findings) {
                let number = || format!("W{section}.{n}");
                found.entries.entry(anchor).or_insert_with(number);
            }
        }
        found
    }

    fn count(&mut self, block: &Block) {
        match block {
            Block::Drawing { id, .. } => {
                self.figure(id, []);
            }
            Block::Photo {
                anchor, regions, ..
            } => {
                self.figure(anchor, regions.iter().map(|r| &r.anchor));
            }
            Block::Claims(claims) => {
                let rows = claims.groups.iter().flat_map(|g| &g.rows);
                self.table(&claims.id, rows.filter_map(|row| row.anchor.as_ref()));
            }
            Block::Table(table) => {
                self.table(
                    &table.id,
                    table.marks.iter().filter_map(|m| m.anchor.as_ref()),
                );
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

    fn figure<'a>(&mut self, id: &'a str, within: impl IntoIterator<Item = &'a String>) {
        // A picture that stands twice has one number.
        let next = self.figures.len() + 1;
        let number = *self.figures.entry(id.to_string()).or_insert(next);
        self.named(&format!("Fig.\u{a0}{number}"), id, within);
    }

    fn table<'a>(&mut self, id: &'a str, within: impl IntoIterator<Item = &'a String>) {
        let next = self.tables.len() + 1;
        let number = *self.tables.entry(id.to_string()).or_insert(next);
        self.named(&format!("Table\u{a0}{number}"), id, within);
    }

    fn named<'a>(&mut self, words: &str, id: &str, within: impl IntoIterator<Item = &'a String>) {
        for anchor in within {
            self.short.insert(anchor.clone(), words.to_string());
        }
        self.short.insert(id.to_string(), words.to_string());
    }

    /// Returns the number of the drawing or photograph with this anchor, from 1; 0 where there is none.
    pub fn of_figure(&self, anchor: &str) -> usize {
        self.figures.get(anchor).copied().unwrap_or_default()
    }

    /// Returns the number of the table with this anchor, from 1; 0 where there is none.
    pub fn of_table(&self, anchor: &str) -> usize {
        self.tables.get(anchor).copied().unwrap_or_default()
    }

    /// Returns short words for an anchor in a figure or table: `Fig. 9`.
    pub fn short(&self, anchor: &str) -> Option<&str> {
        self.short.get(anchor).map(String::as_str)
    }

    /// Returns the number of the finding with this anchor in the working: `W4.2`.
    pub fn entry(&self, anchor: &str) -> Option<&str> {
        self.entries.get(anchor).map(String::as_str)
    }
}
