//! The report as an article for a web site: CommonMark without HTML and tables, and its pictures.
//!
//! In: a [`Document`]. Out: text and files, made of the sentences of the report, so that nothing can drift.
//! Not here: choosing and wording.
//!
//! Source: CommonMark 0.31.2 (escapes 2.4, links 6.3, images 6.4).

mod text;

use crate::{Block, Document, KeyFigure, Picture, Section};
use methods::Verdict;
use text::{Text, escaped};

/// Chips told one by one.
const CHIPS: usize = 7;
/// Sentences on power.
const POWER: usize = 5;
/// Open questions told.
const OPEN: usize = 5;

/// An article and the pictures beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Article {
    /// CommonMark.
    pub text: String,
    /// Path beside the text (`article/01-hero.jpg`) and the picture.
    pub pictures: Vec<(String, Picture)>,
}

/// Writes the article.
pub fn article(document: &Document) -> Article {
    let mut text = Text::default();
    let head = &document.head;
    text.heading(1, &document.title);
    text.paragraph(&head.judgement);
    if let Some(hero) = &head.hero {
        text.picture("hero", &hero.caption, &hero.picture);
    }
    text.paragraph(&head.about.join(" "));
    text.list(head.figures.iter().map(figure));
    claims(document, &mut text);
    chips(document, &mut text);
    power(document, &mut text);
    opening(document, &mut text);
    open(document, &mut text);
    corrections(document, &mut text);
    text.heading(2, "Disclosure");
    let notes = head.notes.iter().chain(&document.notices);
    text.paragraph(&notes.cloned().collect::<Vec<_>>().join(" "));
    text.links(
        "Read on",
        &[
            ("The whole report", "report.html"),
            ("On paper", "report.pdf"),
            ("On one page", "sheet.pdf"),
            ("Every figure's working", "working.pdf"),
        ],
    );
    text.finish()
}

fn figure(figure: &KeyFigure) -> String {
    let value = format!("{} {}", figure.value, figure.unit);
    let said = if figure.said.is_empty() {
        String::new()
    } else {
        format!("; {}", figure.said)
    };
    let what = if figure.what.is_empty() {
        String::new()
    } else {
        format!(" ({})", escaped(&figure.what))
    };
    format!(
        "{} **{}**{what}{}",
        figure.name,
        escaped(value.trim_end()),
        escaped(&said)
    )
}

fn claims(document: &Document, text: &mut Text) {
    let blocks = document.sections.iter().flat_map(|s| &s.blocks);
    for block in blocks {
        let Block::Claims(claims) = block else {
            continue;
        };
        text.heading(2, "Do the printed claims hold?");
        for group in &claims.groups {
            text.heading(3, &group.words);
            text.list(group.rows.iter().map(|row| {
                let word = match group.verdict {
                    Verdict::Undecided => "stays undecided",
                    verdict => crate::verdict_words(verdict),
                };
                let more: &str = match group.verdict {
                    Verdict::Fails => &row.margin,
                    Verdict::Undecided | Verdict::NeedsEvidence => &row.reason,
                    Verdict::Holds => "",
                };
                let found = match row.found.as_str() {
                    "" => String::new(),
                    found => format!("found {}", escaped(found)),
                };
                let told = [found, escaped(more)];
                let told: Vec<String> = told.into_iter().filter(|t| !t.is_empty()).collect();
                let colon = if told.is_empty() { "" } else { ": " };
                format!("{} {word}{colon}{}.", escaped(&row.said), told.join(", "))
            }));
        }
    }
}

fn chips(document: &Document, text: &mut Text) {
    let chips = &document.head.chips;
    if chips.is_empty() {
        return;
    }
    text.heading(2, "The chips");
    for chip in chips.iter().take(CHIPS) {
        text.heading(3, &chip.part_number);
        if let Some(crop) = &chip.crop {
            text.picture(&chip.part_number, &crop.alternative, &crop.picture);
        }
        let by = match chip.maker.as_str() {
            "" => String::new(),
            maker => format!(" by {maker}"),
        };
        let does = match chip.does.as_str() {
            "" => String::new(),
            does => format!(" {does}"),
        };
        let role = crate::words::capital(&chip.role);
        text.paragraph(&format!("{role}{by}, {}.{does}", chip.certainty.words));
    }
    let more = chips.len().saturating_sub(CHIPS);
    if more > 0 {
        text.paragraph(&format!(
            "{} in the report.",
            methods::words::spelt_start(more, "more chip is", "more chips are")
        ));
    }
}

/// The first sentences of the section on power, in one paragraph.
fn power(document: &Document, text: &mut Text) {
    let section = document.sections.iter().find(|s| s.id == "section-power");
    let answers = section
        .into_iter()
        .flat_map(|s| &s.blocks)
        .filter_map(|block| match block {
            Block::Answers(answers) => Some(answers),
            _ => None,
        });
    let sentences: Vec<&str> = answers
        .flatten()
        .map(|a| a.sentence.as_str())
        .take(POWER)
        .collect();
    if let Some(section) = section.filter(|_| !sentences.is_empty()) {
        text.heading(2, &section.title);
        text.paragraph(&sentences.join(" "));
    }
}

fn opening(document: &Document, text: &mut Text) {
    if document.head.opening.is_empty() {
        return;
    }
    text.heading(2, "How it opens");
    for shot in &document.head.opening {
        text.picture("opening", &shot.words, &shot.picture);
        text.paragraph(if shot.step.is_empty() {
            &shot.words
        } else {
            &shot.step
        });
    }
}

fn corrections(document: &Document, text: &mut Text) {
    let section = document
        .sections
        .iter()
        .find(|s| s.id == crate::CORRECTIONS);
    let rows = section.into_iter().flat_map(Section::all);
    let rows: Vec<Vec<String>> = rows
        .filter_map(|block| match block {
            Block::Table(table) => Some(table),
            _ => None,
        })
        .flat_map(|table| table.printed())
        .collect();
    let Some(section) = section.filter(|_| !rows.is_empty()) else {
        return;
    };
    text.heading(2, &section.title);
    // When and why, before what.
    if let Some(Block::Paragraph(sentence)) = section.blocks.first() {
        text.paragraph(sentence);
    }
    text.list(rows.iter().filter_map(|row| {
        let [finding, what, was, now] = row.as_slice() else {
            return None;
        };
        let (what, was, now) = (escaped(what), escaped(was), escaped(now));
        Some(format!(
            "{}: {what} was {was}, is now {now}.",
            escaped(finding)
        ))
    }));
}

fn open(document: &Document, text: &mut Text) {
    let section = document.sections.iter().find(|s| s.id == "section-open");
    let tables = section
        .into_iter()
        .flat_map(|s| &s.blocks)
        .filter_map(|block| match block {
            Block::Table(table) => Some(table),
            _ => None,
        });
    let rows: Vec<Vec<String>> = tables.flat_map(|table| table.printed()).collect();
    if rows.is_empty() {
        return;
    }
    text.heading(2, "What could not be told");
    text.list(rows.iter().take(OPEN).map(|row| {
        let mut cells = row.iter().map(|cell| escaped(cell));
        let question = cells.next().unwrap_or_default();
        let what: Vec<String> = cells.filter(|cell| !cell.is_empty()).collect();
        let colon = match question.ends_with(['?', '”']) {
            true => "",
            false => ":",
        };
        format!("**{question}{colon}** {}.", what.join(", "))
    }));
    let more = rows.len().saturating_sub(OPEN);
    if more > 0 {
        text.paragraph(&format!(
            "{} in the report.",
            methods::words::spelt_start(more, "more is", "more are")
        ));
    }
}
