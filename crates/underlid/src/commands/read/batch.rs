//! Many markings from a table, one answer a row.
//!
//! The table is CSV with a heading: `marking`, and if wanted `package`, `pins`, `size`, `pitch`, `maker`,
//! `role`. A row that cannot be read is answered with the reason in the column `refused`.

use super::Said;
use super::question::{Question, Words};
use crate::arguments::Format;
use crate::failure::Failure;
use crate::screen::shown;
use crate::{progress, screen};
use catalogue::{armed, disarmed};
use methods::Known;
use std::path::Path;
use store::{limits, opener};

/// Rows between two lines of progress.
const PROGRESS: usize = 10_000;

pub(super) fn run(
    path: &Path,
    format: Format,
    known: &Known,
    mut ask: impl FnMut(Question) -> Said,
) -> Result<(), Failure> {
    let bytes = opener::read(path, limits::BATCH)?;
    let wrong = |message: String| Failure::Outside {
        message: format!("{}: {message}", shown(path)),
        remedy: "write CSV in UTF-8 with a heading row and the column marking".to_string(),
    };
    let mut table = csv::ReaderBuilder::new()
        .flexible(true)
        .from_reader(bytes.as_slice());
    let heading = table.headers().map_err(|e| wrong(e.to_string()))?.clone();
    let column = |name: &str| {
        heading
            .iter()
            .position(|h| h.trim().eq_ignore_ascii_case(name))
    };
    let Some(marking) = column("marking") else {
        return Err(wrong("there is no column marking".to_string()));
    };
    let others = ["package", "pins", "size", "pitch", "maker", "role"].map(column);
    let mut answers = Answers::new(format);
    for (n, row) in table.records().enumerate() {
        if n > 0 && n % PROGRESS == 0 {
            progress::stage(&format!("{n} markings read"));
        }
        let row = row.map_err(|e| wrong(e.to_string()))?;
        let cell = |at: Option<usize>| {
            at.and_then(|at| row.get(at))
                .filter(|c| !c.trim().is_empty())
        };
        let [package, pins, size, pitch, maker, role] = others.map(cell);
        let text = armed(row.get(marking).unwrap_or_default());
        let question = pins
            .map(|p| {
                p.trim().parse().map_err(|_| {
                    (
                        format!("“{p}” is not a number of pins"),
                        "write a whole number".to_string(),
                    )
                })
            })
            .transpose()
            .and_then(|pins| {
                let words = Words {
                    package,
                    pins,
                    size,
                    pitch,
                    maker,
                    role,
                };
                Question::new(text, &words)
            });
        match question {
            Ok(question) => answers.push(text, &ask(question), known),
            Err((message, remedy)) => answers.refuse(text, &format!("{message}; {remedy}")),
        }
    }
    screen::print_as(format, &answers.finish())
}

/// Answers as they are collected, in the form asked for.
enum Answers {
    Csv(Box<csv::Writer<Vec<u8>>>),
    Json(Vec<serde_json::Value>),
}

impl Answers {
    fn new(format: Format) -> Self {
        match format {
            Format::Json => Self::Json(Vec::new()),
            Format::Text => {
                let mut writer = csv::Writer::from_writer(Vec::new());
                // Writing to memory cannot fail, and every row has as many fields as the heading.
                let _ = writer.write_record([
                    "marking",
                    "part",
                    "maker",
                    "probability",
                    "second",
                    "probability of second",
                    "none of the known",
                    "code",
                    "refused",
                ]);
                Self::Csv(Box::new(writer))
            }
        }
    }

    fn push(&mut self, text: &str, said: &Said, known: &Known) {
        match self {
            Self::Json(all) => all.push(super::json::json(said, known)),
            Self::Csv(writer) => {
                let candidates = said.parts.as_ref().map_or(&[][..], |a| &a.candidates);
                let part = |n: usize| known.parts().get(candidates.get(n)?.part);
                let name = |n: usize| part(n).map(|p| p.name.clone()).unwrap_or_default();
                let probability = |n: usize| {
                    candidates
                        .get(n)
                        .map_or_else(String::new, |c| format!("{:.4}", c.probability))
                };
                let code = said
                    .codes
                    .iter()
                    .find_map(|(_, readings)| readings.first())
                    .map(|r| r.meaning.clone())
                    .unwrap_or_default();
                let none = said.parts.as_ref().map(|a| format!("{:.4}", a.none));
                let refused = said.parts.as_ref().and_then(|a| a.refusal);
                let cells = [
                    text.to_string(),
                    name(0),
                    part(0).map(|p| p.maker.clone()).unwrap_or_default(),
                    probability(0),
                    name(1),
                    probability(1),
                    none.unwrap_or_default(),
                    code,
                    refused.map(|r| r.to_string()).unwrap_or_default(),
                ];
                let _ = writer.write_record(cells.iter().map(|c| disarmed(c).into_owned()));
            }
        }
    }

    fn refuse(&mut self, text: &str, why: &str) {
        match self {
            Self::Json(all) => all.push(serde_json::json!({ "marking": text, "refused": why })),
            Self::Csv(writer) => {
                let _ = writer.write_record([&disarmed(text), "", "", "", "", "", "", "", why]);
            }
        }
    }

    fn finish(self) -> String {
        match self {
            Self::Json(all) => format!("{:#}\n", serde_json::Value::Array(all)),
            Self::Csv(writer) => {
                String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
            }
        }
    }
}
