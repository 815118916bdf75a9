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
        }
    }

    /// Says which version it is and what it corrects, in a sentence or two.
    pub fn sentence(&self) -> String {
        let day = |date: Option<Date>| date.map_or(String::new(), |d| format!(" of {}", long(d)));
        let mut said = format!("Version {}{}", self.version, day(self.date));
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
                day(earlier.date),
                self.counted()
            ),
        };
        said += ".";
        if let Some(reason) = &self.reason {
            said += &format!(" Reason: {}", reason.trim());
            if !said.ends_with(['.', '!', '?']) {
                said.push('.');
            }
        }
        said
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

fn long(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// Says in the report which version it is and what was corrected.
pub fn mark_edition(document: &mut Document, edition: &Edition) {
    let sentence = edition.sentence();
    document.version = format!("version {}, {}", edition.version, document.version);
    document.head.notes.push(sentence.clone());
    let Some(earlier) = &edition.corrects else {
        return;
    };
    let anchors = document.anchors();
    let rows = |corrections: &[Correction]| -> (Vec<Vec<Cell>>, Vec<RowMark>) {
        let rows = corrections.iter().map(|c| {
            let link = finding_anchor(&c.finding);
            let mark = RowMark {
                link: anchors.contains(&link).then_some(link),
                ..RowMark::default()
            };
            let said = |text: &Option<String>| Cell::words(text.as_deref().unwrap_or("not told"));
            let figure = c.figure.as_deref().unwrap_or("verdict");
            let cells = vec![
                Cell::words(c.title.as_str()),
                Cell::words(figure),
                said(&c.was),
                said(&c.now),
            ];
            (cells, mark)
        });
        rows.unzip()
    };
    let table = |id: &str, caption: &str, corrections: &[Correction]| {
        let (rows, marks) = rows(corrections);
        Block::Table(Table {
            id: id.into(),
            caption: caption.into(),
            columns: ["Finding", "What", "Was", "Is now"]
                .map(Column::words)
                .into(),
            rows,
            marks,
        })
    };
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
