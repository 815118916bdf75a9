//! The document as the data file that the template reads.
//!
//! In: a [`Document`]. Out: one JSON value and the pictures it names.
//! Not here: how anything looks (`report.typ`).
//!
//! Every link in the data leads to an anchor that exists, since the typesetter refuses others.

use super::references::References;
use super::{cards, columns, finding, head, pictures};
use methods::{Cell, Column, FindingId};
use record::Place;
use report::words::typeset;
use report::{
    Block, ClaimTable, Document, PhotoRegion, RowMark, Section, Struck, Table, Target,
    finding_anchor, place_words,
};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use typst::foundations::Bytes;

/// As wide as the mark of a verdict.
const MARK: &str = "######";

/// What the typesetter is given.
pub(super) struct Data {
    /// The data file.
    pub(super) json: Value,
    /// Pictures by file name.
    pub(super) pictures: BTreeMap<String, Bytes>,
}

/// Which of the two files of a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// What every reader reads.
    Report,
    /// What is behind it.
    Working,
}

impl Part {
    fn blocks(self, section: &Section) -> &[Block] {
        match self {
            Self::Report => &section.blocks,
            Self::Working => &section.working,
        }
    }
}

/// Turns one part of a document into data.
pub(super) fn data(document: &Document, part: Part, references: &References) -> Data {
    let mut writer = Writer {
        part,
        references,
        anchors: Anchors::of(document, part),
        corrected: &document.corrected,
        pictures: BTreeMap::new(),
        numbered: BTreeSet::new(),
    };
    let head = match part {
        Part::Report => head::data(&document.head, &mut writer.pictures),
        Part::Working => Value::Null,
    };
    let sections: Vec<Value> = document
        .sections
        .iter()
        .filter(|s| !part.blocks(s).is_empty())
        .map(|s| writer.section(s))
        .collect();
    Data {
        json: cleaned(json!({
            "title": match part {
                Part::Report => document.title.clone(),
                Part::Working => format!("{}: working", document.title),
            },
            "head": head,
            "subtitle": document.subtitle,
            "version": document.version,
            "contents": part == Part::Working,
            "notices": document.notices,
            "sections": sections,
        })),
        pictures: writer.pictures,
    }
}

/// Replaces control characters in every text, and ends what runs to the left.
pub(super) fn cleaned(value: Value) -> Value {
    match value {
        Value::String(text) => Value::String(lettering::ended(&typeset(&text))),
        Value::Array(values) => values.into_iter().map(cleaned).collect(),
        Value::Object(fields) => fields.into_iter().map(|(k, v)| (k, cleaned(v))).collect(),
        Value::Null | Value::Bool(_) | Value::Number(_) => value,
    }
}

/// The anchors that the document really has, and the places of its evidence.
pub(super) struct Anchors<'a> {
    known: BTreeSet<String>,
    places: &'a BTreeMap<Place, Target>,
}

impl<'a> Anchors<'a> {
    fn of(document: &'a Document, part: Part) -> Self {
        let mut known = BTreeSet::new();
        for section in &document.sections {
            known.insert(section.id.clone());
            for block in part.blocks(section) {
                match block {
                    Block::Finding(f) => {
                        known.insert(finding_anchor(&f.id));
                    }
                    Block::Claims(c) => {
                        known.insert(c.id.clone());
                        let rows = c.groups.iter().flat_map(|g| &g.rows);
                        known.extend(rows.filter_map(|row| row.anchor.clone()));
                    }
                    Block::Table(t) => {
                        known.insert(t.id.clone());
                        known.extend(t.marks.iter().filter_map(|m| m.anchor.clone()));
                    }
                    Block::Drawing { id, .. } => {
                        known.insert(id.clone());
                    }
                    Block::Chips(chips) => {
                        known.insert(chips.id.clone());
                        known.extend(chips.cards.iter().map(|card| card.anchor.clone()));
                    }
                    Block::Strip(strip) => {
                        known.insert(strip.id.clone());
                        let steps = strip.panels.iter().flat_map(|p| &p.steps);
                        known.extend(steps.filter_map(|step| step.anchor.clone()));
                    }
                    Block::Photo {
                        anchor, regions, ..
                    } => {
                        known.insert(anchor.clone());
                        known.extend(regions.iter().map(|r| r.anchor.clone()));
                    }
                    Block::Heading(_)
                    | Block::Paragraph(_)
                    | Block::List(_)
                    | Block::Answers(_)
                    | Block::Caution(_) => {}
                }
            }
        }
        known.remove("");
        Self {
            known,
            places: &document.places,
        }
    }

    /// Returns the anchor if the document has it.
    fn existing<'t>(&self, anchor: Option<&'t str>) -> Option<&'t str> {
        anchor.filter(|a| self.known.contains(*a))
    }

    /// Whether this file shows a place.
    fn shows(&self, place: &Place) -> bool {
        let target = self.places.get(place);
        target.is_some_and(|t| self.existing(Some(&t.anchor)).is_some())
    }

    /// Returns a place as words and, where it is shown, the anchor.
    pub(super) fn place(&self, place: &Place) -> Value {
        match self.places.get(place) {
            Some(target) => json!({
                "text": target.words,
                "to": self.existing(Some(&target.anchor)),
            }),
            None => json!({ "text": place_words(place), "to": null }),
        }
    }
}

pub(super) struct Writer<'a> {
    part: Part,
    references: &'a References,
    anchors: Anchors<'a>,
    corrected: &'a BTreeMap<FindingId, Struck>,
    pictures: BTreeMap<String, Bytes>,
    /// Anchors already written: a second one of the same name would make links ambiguous.
    numbered: BTreeSet<String>,
}

impl Writer<'_> {
    /// Returns the anchor the first time it is asked for.
    pub(super) fn once(&mut self, anchor: &str) -> Option<String> {
        (!anchor.is_empty() && self.numbered.insert(anchor.to_owned())).then(|| anchor.to_owned())
    }

    fn section(&mut self, section: &Section) -> Value {
        let anchor = self.once(&section.id);
        // A finding stands one level below the heading it follows; levels are never skipped.
        let mut level = 2;
        let mut blocks = Vec::new();
        for block in self.part.blocks(section) {
            if matches!(block, Block::Heading(_)) {
                level = 3;
            }
            blocks.push(self.block(block, level));
        }
        json!({ "anchor": anchor, "title": section.title, "blocks": blocks })
    }

    fn block(&mut self, block: &Block, level: usize) -> Value {
        match block {
            Block::Heading(text) => json!({ "kind": "heading", "text": text }),
            Block::Paragraph(text) => json!({ "kind": "paragraph", "text": text }),
            Block::List(items) => json!({ "kind": "list", "items": items }),
            Block::Caution(text) => json!({ "kind": "caution", "text": text }),
            Block::Finding(f) => {
                let anchor = self.once(&finding_anchor(&f.id));
                let number = self.references.numbering.entry(&finding_anchor(&f.id));
                let struck = self.corrected.get(&f.id);
                finding::data(f, anchor, number, level, &self.anchors, struck)
            }
            Block::Answers(answers) => {
                let answers: Vec<Value> = answers
                    .iter()
                    .map(|a| {
                        json!({
                            "text": a.sentence,
                            "verdict": a.verdict.map(finding::verdict),
                            "to": self.anchors.existing(Some(&a.working)),
                            "working": self.references.data(&a.working),
                        })
                    })
                    .collect();
                json!({ "kind": "answers", "answers": answers })
            }
            Block::Claims(claims) => self.claims(claims),
            Block::Chips(chips) => cards::chips(self, chips),
            Block::Strip(strip) => cards::strip(self, strip),
            Block::Table(table) => self.table(table),
            Block::Drawing {
                id,
                caption,
                alternative,
                svg,
                ..
            } => {
                let picture = pictures::drawing(svg);
                self.picture(id, caption, alternative, picture, &[])
            }
            Block::Photo {
                anchor,
                caption,
                shown,
                callouts,
                regions,
            } => {
                let preview = &shown.preview;
                let drawn = callouts.as_ref().map(|c| c.with(preview));
                let drawn = drawn.as_deref().and_then(pictures::drawing);
                let picture = drawn.or_else(|| pictures::photograph(preview));
                self.picture(anchor, caption, caption, picture, regions)
            }
        }
    }

    fn picture(
        &mut self,
        anchor: &str,
        caption: &str,
        alternative: &str,
        picture: Option<pictures::Picture>,
        regions: &[PhotoRegion],
    ) -> Value {
        let aspect = picture.as_ref().map_or(1.0, |p| p.aspect);
        let natural_mm = picture.as_ref().and_then(|p| p.width_mm);
        let file = self.file(picture);
        let regions: Vec<Value> = regions
            .iter()
            .map(|r| {
                json!({
                    "anchor": self.once(&r.anchor),
                    "words": r.words,
                    "to": self.anchors.existing(r.item.as_deref()),
                })
            })
            .collect();
        json!({
            "kind": "picture",
            "number": self.references.numbering.of_figure(anchor).to_string(),
            "anchor": self.once(anchor),
            "caption": caption,
            "alternative": alternative,
            "file": file,
            "aspect": aspect,
            "natural_mm": natural_mm,
            "regions": regions,
        })
    }

    /// Hands a picture to the typesetter; returns its name.
    pub(super) fn file(&mut self, picture: Option<pictures::Picture>) -> Option<String> {
        let picture = picture?;
        // Names are numbers: the typesetter keeps every name it has ever seen.
        let name = format!("picture-{}.{}", self.pictures.len() + 1, picture.ending);
        self.pictures.insert(name.clone(), picture.bytes);
        Some(name)
    }

    fn claims(&mut self, claims: &ClaimTable) -> Value {
        let mut groups = Vec::new();
        for group in &claims.groups {
            let rows = group.rows.iter().map(|row| {
                json!({
                    "number": row.number.to_string(),
                    "anchor": row.anchor.as_deref().and_then(|a| self.once(a)),
                    "said": row.said,
                    "printed": row.printed,
                    "found": row.found,
                    "how": row.how,
                    "margin": row.margin,
                    "reason": row.reason,
                    "why": row.why,
                    "working": self.references.data(&row.working),
                })
            });
            let rows: Vec<Value> = rows.collect();
            groups.push(json!({
                "verdict": finding::verdict(group.verdict),
                "words": group.words,
                "rows": rows,
            }));
        }
        json!({
            "kind": "claims",
            "number": self.references.numbering.of_table(&claims.id).to_string(),
            "anchor": self.once(&claims.id),
            "caption": claims.caption,
            "groups": groups,
        })
    }

    fn table(&mut self, table: &Table) -> Value {
        let headings: Vec<String> = table.columns.iter().map(Column::text).collect();
        // What is shown in the other file only is not told here.
        let evidence = |mark: &RowMark| -> Vec<Value> {
            let shown = |place: &&Place| self.part == Part::Working || self.anchors.shows(place);
            let places = mark.evidence.iter().filter(shown);
            places.map(|e| self.anchors.place(e)).collect()
        };
        let seen: Vec<Vec<Value>> = table.marks.iter().map(evidence).collect();
        let seen_in = seen.iter().any(|places| !places.is_empty());
        let as_set = |cells: Vec<String>| cells.iter().map(|cell| typeset(cell)).collect();
        let printed: Vec<Vec<String>> = table.printed().map(as_set).collect();
        // The mark before the word of a verdict takes room too.
        let measured: Vec<Vec<String>> = table
            .rows
            .iter()
            .zip(&printed)
            .map(|(row, cells)| {
                let cells = row.iter().zip(cells);
                let room = |(cell, text): (&Cell, &String)| match cell {
                    Cell::Verdict { .. } => format!("{MARK}{text}"),
                    _ => text.clone(),
                };
                cells.map(room).collect()
            })
            .collect();
        let setting = match self.part {
            Part::Report => columns::setting(&headings, &measured, seen_in),
            Part::Working => columns::small(&headings, &measured, seen_in),
        };
        let nothing = RowMark::default();
        let rows: Vec<Value> = printed
            .iter()
            .enumerate()
            .map(|(at, cells)| {
                let mark = table.marks.get(at).unwrap_or(&nothing);
                let verdict = table.rows[at].iter().find_map(|cell| match cell {
                    Cell::Verdict { verdict } => Some(finding::verdict(*verdict)),
                    _ => None,
                });
                json!({
                    "cells": cells,
                    "anchor": mark.anchor.as_deref().and_then(|a| self.once(a)),
                    "to": self.anchors.existing(mark.link.as_deref()),
                    "verdict": verdict,
                    "struck": mark.struck,
                    "evidence": seen.get(at),
                })
            })
            .collect();
        json!({
            "kind": "table",
            "number": self.references.numbering.of_table(&table.id).to_string(),
            "anchor": self.once(&table.id),
            "caption": table.caption,
            "columns": table.columns.iter().zip(&headings).zip(&setting.widths).map(|((column, heading), width)| {
                json!({ "heading": heading, "number": column.kind.is_number(), "share": width.share(), "letters": width.letters() })
            }).collect::<Vec<_>>(),
            "seen_in": seen_in,
            "size": setting.size_pt,
            "landscape": setting.landscape,
            "wide": setting.wide,
            "rows": rows,
        })
    }
}
