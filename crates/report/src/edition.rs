//! Which version of a report this is, and what was corrected in it.
//!
//! In: the version before with its findings, the findings now, a day, the author's reason. Out: an [`Edition`], and a
//! report that says it.
//! Not here: where earlier versions lie; a clock.

use crate::{Block, Document, RowMark, Section, Table, finding_anchor, verdict_words};
use jiff::civil::Date;
use methods::words::counted;
use methods::{Cell, Column, FindingId, Findings, Moved, moved};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Anchor of the section that tells what was corrected.
pub const CORRECTIONS: &str = "section-corrections";
/// Corrections that every reader reads; more are folded.
const SHOWN: usize = 12;

/// One version of a report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Edition {
    /// 1 for the first publication.
    pub version: u64,
    /// The day it was published.
    pub date: Option<Date>,
    /// The version that it corrects.
    pub corrects: Option<Earlier>,
    /// Why, in the author's words.
    pub reason: Option<String>,
    /// What is another than in the version before, verdicts first.
    pub corrections: Vec<Correction>,
    /// The corrections before these, the first one first.
    #[serde(default)]
    pub before: Vec<Corrected>,
}

/// A version that corrected another, as later ones tell of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Corrected {
    /// Its number.
    pub version: u64,
    /// The day it was published.
    pub date: Option<Date>,
    /// Why, in the author's words.
    pub reason: Option<String>,
    /// What it corrected.
    pub corrections: Vec<Correction>,
}

/// What a report says was corrected at one finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Struck {
    /// When: `Corrected in version 2 of 9 March 2026`.
    pub when: String,
    /// What: verdict or figure, what was said, what is said now.
    pub changes: Vec<[String; 3]>,
    /// Why, as a sentence; empty where it was not said.
    pub why: String,
}

/// The version before.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Earlier {
    /// Its number.
    pub version: u64,
    /// The day it was published, where that is known.
    pub date: Option<Date>,
}

/// A verdict or a figure that is another than before.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Correction {
    /// The finding.
    pub finding: FindingId,
    /// Its heading.
    pub title: String,
    /// Which figure; none for the verdict.
    pub figure: Option<String>,
    /// What the version before says; none where it says nothing.
    pub was: Option<String>,
    /// What this one says; none where it says nothing.
    pub now: Option<String>,
}

impl Edition {
    /// The first version.
    pub fn first(date: Option<Date>) -> Self {
        Self {
            version: 1,
            date,
            corrects: None,
            reason: None,
            corrections: Vec::new(),
            before: Vec::new(),
        }
    }

    /// The version that follows this one, whose findings were `before`.
    pub fn next(
        &self,
        before: &Findings,
        after: &Findings,
        date: Option<Date>,
        reason: Option<String>,
    ) -> Self {
        Self {
            version: self.version + 1,
            date,
            corrects: Some(Earlier {
                version: self.version,
                date: self.date,
            }),
            reason,
            corrections: corrections(before, after),
            before: self.before.iter().cloned().chain(self.as_told()).collect(),
        }
    }

    /// What later versions tell of this one; nothing where it corrected nothing.
    fn as_told(&self) -> Option<Corrected> {
        (!self.corrections.is_empty()).then(|| Corrected {
            version: self.version,
            date: self.date,
            reason: self.reason.clone(),
            corrections: self.corrections.clone(),
        })
    }

    /// Why this version was made, as a sentence; empty where it was not said.
    fn why(&self) -> String {
        self.reason.as_deref().map_or(String::new(), why)
    }

    /// Says which version it is and what it corrects, in a sentence or two.
    pub fn sentence(&self) -> String {
        let mut said = format!("Version {}{}", self.version, of_day(self.date));
        let Some(earlier) = &self.corrects else {
            return said + ".";
        };
        said += &match self.corrections.len() {
            0 => format!(
                "; no verdict and no figure is another than in version {}",
                earlier.version
            ),
            _ => format!(
                "; corrections since version {}{}: {}",
                earlier.version,
                of_day(earlier.date),
                self.counted()
            ),
        };
        said += ".";
        match self.why() {
            why if why.is_empty() => said,
            why => format!("{said} {why}"),
        }
    }

    fn counted(&self) -> String {
        let figures = self.corrections.iter().filter(|c| c.figure.is_some());
        let figures = figures.count();
        let verdicts = self.corrections.len() - figures;
        let parts = [
            (verdicts, counted(verdicts, "verdict", "verdicts")),
            (figures, counted(figures, "figure", "figures")),
        ];
        let parts: Vec<String> = parts
            .into_iter()
            .filter(|(n, _)| *n > 0)
            .map(|(_, w)| w)
            .collect();
        parts.join(" and ")
    }
}

/// Returns the verdicts and figures that differ, verdicts first, those that fail now before others.
fn corrections(before: &Findings, after: &Findings) -> Vec<Correction> {
    let Moved { verdicts, figures } = moved(before, after);
    let title = |id: &FindingId| {
        let all = after.findings.iter().chain(&before.findings);
        all.filter(|f| f.id == *id).map(|f| f.title.clone()).next()
    };
    let verdicts = verdicts.into_iter().map(|v| Correction {
        title: v.title,
        finding: v.finding,
        figure: None,
        was: v.was.map(|v| verdict_words(v).to_string()),
        now: v.now.map(|v| verdict_words(v).to_string()),
    });
    let figures = figures.into_iter().map(|f| Correction {
        title: title(&f.figure.finding).unwrap_or_default(),
        finding: f.figure.finding,
        figure: Some(f.name),
        was: f.was,
        now: f.now,
    });
    verdicts.chain(figures).collect()
}

/// A reason as a sentence.
fn why(reason: &str) -> String {
    let said = format!("Reason: {}", reason.trim());
    match said.ends_with(['.', '!', '?']) {
        true => said,
        false => said + ".",
    }
}

fn of_day(date: Option<Date>) -> String {
    date.map_or(String::new(), |d| format!(" of {}", long(d)))
}

fn long(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// Words for what the version before did not say.
const NOT_TOLD: &str = "not told";
/// Words for what this version says no more.
const NO_LONGER: &str = "told no more";

/// Says in the report which version it is and what was corrected: in a section of its own, and at each finding that
/// reads otherwise now, the words that no longer hold being struck.
pub fn mark_edition(document: &mut Document, edition: &Edition) {
    let sentence = edition.sentence();
    document.version = format!("version {}, {}", edition.version, document.version);
    document.head.notes.push(sentence.clone());
    let Some(earlier) = &edition.corrects else {
        return;
    };
    document.corrected = struck(edition);
    let anchors = document.anchors();
    let table = |id: &str, caption: &str, all: &[Correction]| table(&anchors, id, caption, all);
    let mut blocks = vec![Block::Paragraph(sentence)];
    let mut working = Vec::new();
    let (shown, rest) = edition
        .corrections
        .split_at(edition.corrections.len().min(SHOWN));
    if !shown.is_empty() {
        blocks.push(table("table-corrections", "Corrections", shown));
    }
    if !rest.is_empty() {
        working.push(table("table-corrections-more", "Further corrections", rest));
    }
    for corrected in edition.before.iter().rev() {
        let version = corrected.version;
        let caption = format!("Corrections of version {version}{}", of_day(corrected.date));
        if let Some(reason) = &corrected.reason {
            working.push(Block::Paragraph(format!(
                "Version {version}. {}",
                why(reason)
            )));
        }
        let id = format!("table-corrections-{version}");
        working.push(table(&id, &caption, &corrected.corrections));
    }
    let section = Section {
        id: CORRECTIONS.into(),
        title: format!("What was corrected since version {}", earlier.version),
        blocks,
        working,
    };
    // It stands before the last one, which tells of the method.
    let at = document.sections.len().saturating_sub(1);
    document.sections.insert(at, section);
}

fn table(anchors: &[String], id: &str, caption: &str, corrections: &[Correction]) -> Block {
    let rows = corrections.iter().map(|c| {
        let link = finding_anchor(&c.finding);
        let mark = RowMark {
            link: anchors.contains(&link).then_some(link),
            struck: c.was.is_some().then_some(2),
            ..RowMark::default()
        };
        let said = |text: &Option<String>, none: &'static str| {
            Cell::words(text.as_deref().unwrap_or(none))
        };
        let figure = c.figure.as_deref().unwrap_or("verdict");
        let cells = vec![
            Cell::words(c.title.as_str()),
            Cell::words(figure),
            said(&c.was, NOT_TOLD),
            said(&c.now, NO_LONGER),
        ];
        (cells, mark)
    });
    let (rows, marks) = rows.unzip();
    Block::Table(Table {
        id: id.into(),
        caption: caption.into(),
        columns: ["Finding", "What", "Was", "Is now"]
            .map(Column::words)
            .into(),
        rows,
        marks,
    })
}

/// What each finding that reads otherwise now says of it.
fn struck(edition: &Edition) -> BTreeMap<FindingId, Struck> {
    let mut all: BTreeMap<FindingId, Struck> = BTreeMap::new();
    for correction in &edition.corrections {
        let said = |text: &Option<String>, none: &str| text.clone().unwrap_or_else(|| none.into());
        let what = correction
            .figure
            .clone()
            .unwrap_or_else(|| "verdict".into());
        let change = [
            what,
            said(&correction.was, NOT_TOLD),
            said(&correction.now, NO_LONGER),
        ];
        let struck = all
            .entry(correction.finding.clone())
            .or_insert_with(|| Struck {
                when: format!(
                    "Corrected in version {}{}",
                    edition.version,
                    of_day(edition.date)
                ),
                changes: Vec::new(),
                why: edition.why(),
            });
        struck.changes.push(change);
    }
    all
}
