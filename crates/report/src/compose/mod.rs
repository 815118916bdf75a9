//! From record and findings to the document.
//!
//! In: a dossier, its findings, the photographs as published. Out: a [`Document`], every piece of
//! evidence that it shows findable by anchor.
//! Not here: markup, page layout, arithmetic.

mod callouts;
mod cells;
mod chips;
mod claims;
mod cost;
mod details;
mod diagrams;
mod disclosure;
mod head;
mod inside;
mod intake;
mod masses;
mod opening;
mod outside;
mod photos;
mod places;
mod power;
mod repair;
mod slips;
mod sound;
mod sources;
mod standing;
mod summary;
mod timing;

pub use callouts::{Named, named};
pub use claims::{JudgedClaim, judged_claims};
pub(crate) use details::value_and_half;
pub use details::{WAYS, chart_drawing, ways_drawing};
pub use diagrams::{open_ways, power_drawing};
pub use disclosure::{credit, disclosure, name_bundle};
pub use head::hero_photo;
pub use places::entry_words;
pub(crate) use summary::{cautions, counts, judged, short_verb, step_number};

use crate::words::counted;
use crate::{Block, Document, Photographs, RowMark, ShortAnswer, Table, anchor};
use methods::{Cell, Column, Detail, Finding, Findings, Method, Section, StepRow};
use quantity::Stated;
use record::{Dossier, Evidence, Place};
use std::collections::{BTreeMap, BTreeSet};

/// Composes the report. The same input gives the same document.
pub fn compose(dossier: &Dossier, findings: &Findings, photographs: &Photographs) -> Document {
    let mut page = Page {
        dossier,
        findings,
        photographs,
        anchors: BTreeSet::new(),
    };
    let sections = vec![
        claims::section(&mut page),
        inside::section(&mut page),
        chips::section(&mut page),
        outside::section(&mut page),
        power::section(&mut page),
        timing::section(&mut page),
        cells::section(&mut page),
        sound::section(&mut page),
        opening::section(&mut page),
        repair::section(&mut page),
        masses::section(&mut page),
        cost::section(&mut page),
        standing::section(&mut page),
        summary::open_questions(&mut page),
        slips::section(&mut page),
        sources::section(&mut page),
    ];
    let head = head::head(&page, &sections);
    let mut document = Document {
        head,
        title: dossier.product.name.clone(),
        version: format!("opened {}", dossier.product.opened.strftime("%-d %B %Y")),
        subtitle: subtitle(dossier),
        facts: facts(dossier, findings),
        notices: notices(dossier),
        sections: sections.into_iter().filter(|s| !s.is_empty()).collect(),
        places: BTreeMap::new(),
        corrected: BTreeMap::new(),
        typefaces: photographs.typefaces.clone(),
    };
    document.notices.extend(photographs.typefaces.warning());
    document.places = places::index(dossier, &document);
    document
}

/// Leaves out of each text what only its author can act on.
fn for_readers(texts: &[String]) -> Vec<String> {
    let told = texts.iter().map(|text| methods::words::for_readers(text));
    told.filter(|text| !text.is_empty()).collect()
}

/// What the sections share while they are written.
struct Page<'a> {
    dossier: &'a Dossier,
    findings: &'a Findings,
    photographs: &'a Photographs,
    anchors: BTreeSet<String>,
}

impl<'a> Page<'a> {
    /// Takes an anchor; the first to ask gets it as it is, later ones with a number added.
    fn anchor(&mut self, wanted: String) -> String {
        let mut candidate = wanted.clone();
        let mut n = 2_u32;
        while !self.anchors.insert(candidate.clone()) {
            candidate = format!("{wanted}-{n}");
            n += 1;
        }
        candidate
    }

    /// Takes an anchor for an entry of the record; only the first to show it gets it.
    fn entry(&mut self, entry: &Place) -> Option<String> {
        let wanted = places::anchor_of(entry);
        self.anchors.insert(wanted.clone()).then_some(wanted)
    }

    /// Returns the findings of a method.
    fn of(&self, method: Method) -> impl Iterator<Item = &'a Finding> + use<'a> {
        self.findings
            .findings
            .iter()
            .filter(move |f| f.method() == method)
    }

    /// Writes a finding and what it draws.
    fn finding(&mut self, finding: &Finding, blocks: &mut Vec<Block>) {
        self.anchors.insert(crate::finding_anchor(&finding.id));
        let mut cautions = finding.cautions.clone();
        // What the table of steps prints at the step is not said twice.
        for row in step_rows(finding) {
            cautions.retain(|said| !row.cautions.iter().any(|c| said.ends_with(c.as_str())));
        }
        blocks.push(Block::Finding(Box::new(Finding {
            cautions,
            details: Vec::new(),
            sentence: methods::words::for_readers(&finding.sentence),
            assumptions: for_readers(&finding.assumptions),
            unused: for_readers(&finding.unused),
            ..finding.clone()
        })));
        for detail in &finding.details {
            details::blocks(self, finding, detail, blocks);
        }
    }

    /// Writes every finding of a method.
    fn findings(&mut self, method: Method, blocks: &mut Vec<Block>) {
        for finding in self.of(method) {
            self.finding(finding, blocks);
        }
    }

    /// Writes the findings that belong here: the sentence of each, its drawings and what `is_told` keeps for every
    /// reader, the rest behind.
    fn answers(
        &mut self,
        belongs: impl Fn(&Finding) -> bool,
        is_told: impl Fn(&Detail) -> bool,
        blocks: &mut Vec<Block>,
        working: &mut Vec<Block>,
    ) {
        let mut answers = Vec::new();
        let mut shown = Vec::new();
        for entry in methods::METHODS {
            for finding in self.of(entry.method).filter(|f| belongs(f)) {
                // A slip is told where all slips are.
                if !finding.is_told_in_a_row() && !finding.is_slip() {
                    answers.push(ShortAnswer {
                        sentence: methods::words::for_readers(&finding.sentence),
                        verdict: finding.verdict,
                        working: crate::finding_anchor(&finding.id),
                    });
                }
                for detail in finding.details.iter().filter(|d| is_told(d)) {
                    details::blocks(self, finding, detail, &mut shown);
                }
                let rest = Finding {
                    details: finding
                        .details
                        .iter()
                        .filter(|d| !is_told(d))
                        .cloned()
                        .collect(),
                    ..finding.clone()
                };
                self.finding(&rest, working);
            }
        }
        if !answers.is_empty() {
            blocks.push(Block::Answers(answers));
        }
        blocks.extend(shown);
    }

    /// Writes every finding of the methods that belong in a section of the report.
    fn section(&mut self, section: Section, blocks: &mut Vec<Block>) {
        for entry in section.methods() {
            self.findings(entry.method, blocks);
        }
    }

    /// Returns the details of all findings.
    fn details(&self) -> impl Iterator<Item = &'a Detail> + use<'a> {
        self.findings.findings.iter().flat_map(|f| &f.details)
    }

    /// Makes a table, unless it has no rows.
    fn table(
        &mut self,
        id: &str,
        caption: &str,
        columns: Vec<Column>,
        rows: Vec<(Vec<Cell>, RowMark)>,
        blocks: &mut Vec<Block>,
    ) {
        if rows.is_empty() {
            return;
        }
        let id = self.anchor(anchor("table", id));
        let (rows, marks): (Vec<_>, Vec<_>) = rows.into_iter().unzip();
        let mut table = Table {
            id,
            caption: caption.into(),
            columns,
            rows,
            marks,
        };
        drop_empty_columns(&mut table);
        blocks.push(Block::Table(table));
    }

    /// Returns an item of the record as a cell; its id in words if the record does not have it.
    fn item_cell(&self, id: &str) -> Cell {
        self.dossier
            .item(id)
            .map_or_else(|| Cell::words(id), Cell::item)
    }

    /// Returns the reader's name of an item; its id if the record does not have it.
    fn item_name(&self, id: &str) -> String {
        self.dossier
            .item(id)
            .map_or_else(|| id.to_string(), |item| item.name.clone())
    }
}

/// Returns the rows of the tables of steps that a finding brings.
fn step_rows(finding: &Finding) -> impl Iterator<Item = &StepRow> {
    finding.details.iter().flat_map(|detail| match detail {
        Detail::Steps { rows } => rows.as_slice(),
        Detail::Masses { .. }
        | Detail::Power(_)
        | Detail::Signals(_)
        | Detail::Rows { .. }
        | Detail::Parts { .. }
        | Detail::Marks { .. }
        | Detail::Way(_)
        | Detail::Ways { .. }
        | Detail::Table(_)
        | Detail::Chart(_) => &[],
    })
}

/// Leaves out columns that say nothing in any row; the first column always stays.
fn drop_empty_columns(table: &mut Table) {
    let said: Vec<bool> = (0..table.columns.len())
        .map(|c| {
            c == 0
                || table
                    .rows
                    .iter()
                    .any(|r| r.get(c).is_some_and(|cell| !cell.is_nothing()))
        })
        .collect();
    let mut keep = said.iter();
    table.columns.retain(|_| *keep.next().unwrap_or(&true));
    for row in &mut table.rows {
        let mut keep = said.iter();
        row.retain(|_| *keep.next().unwrap_or(&true));
    }
}

/// Returns the places that evidence names.
fn evidence_of(evidence: &[Evidence]) -> Vec<Place> {
    evidence.iter().map(Place::from).collect()
}

/// Returns a figure of the record as a cell.
fn stated(value: Option<&Stated>) -> Cell {
    value.map_or(Cell::Nothing, Cell::stated)
}

/// Returns an optional text, empty if there is none.
fn text(value: Option<&impl ToString>) -> String {
    value.map(ToString::to_string).unwrap_or_default()
}

fn subtitle(dossier: &Dossier) -> String {
    let product = &dossier.product;
    let mut parts = vec![product.maker.clone()];
    parts.extend(product.model.iter().map(|m| format!("model {m}")));
    let opened = product.opened.strftime("%-d %B %Y");
    parts.push(format!("opened {opened}"));
    parts.join(", ")
}

fn facts(dossier: &Dossier, findings: &Findings) -> Vec<(String, String)> {
    let product = &dossier.product;
    let mut facts: Vec<(String, String)> = Vec::new();
    let mut say = |name: &str, value: String| {
        if !value.is_empty() {
            facts.push((name.into(), value));
        }
    };
    say("Maker", product.maker.clone());
    say("Model", text(product.model.as_ref()));
    say(
        "Hardware revision",
        text(product.hardware_revision.as_ref()),
    );
    say("Firmware", text(product.firmware.as_ref()));
    say("Condition before opening", text(product.condition.as_ref()));
    say("Category", text(product.category.as_ref()));
    say("Market", text(product.market.as_ref()));
    say("Family", text(product.family.as_ref()));
    say("First on sale", text(product.released.as_ref()));
    say("Made", text(product.made.as_ref()));
    say("Bought", text(product.bought.as_ref()));
    say("Opened", product.opened.to_string());
    say("Analyst", text(product.analyst.as_ref()));
    if let Some(price) = &product.price {
        let tax = match price.tax_included {
            Some(true) => ", tax included",
            Some(false) => ", before tax",
            None => "",
        };
        let seller = price
            .seller
            .as_ref()
            .map(|s| format!(", from {s}"))
            .unwrap_or_default();
        say("Price paid", format!("{}{tax}{seller}", price.paid));
    }
    say(
        "Recorded",
        [
            counted(dossier.claims.len(), "claim", "claims"),
            counted(dossier.items.len(), "item", "items"),
            counted(dossier.steps.len(), "step", "steps"),
            counted(dossier.readings.len(), "reading", "readings"),
            counted(dossier.photos.len(), "photograph", "photographs"),
        ]
        .join(", "),
    );
    say("Findings", findings.findings.len().to_string());
    facts
}

fn notices(dossier: &Dossier) -> Vec<String> {
    let mut notices = Vec::new();
    if dossier.product.invented {
        notices.push(
            "Everything in this report is invented to show the method: product, maker, parts, readings and \
             pictures."
                .into(),
        );
    }
    notices
}
