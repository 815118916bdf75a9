//! Many markings from a table, one answer a row; a row that cannot be read is answered with the reason in the
//! column `refused`.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::{remedy, screen};
use app::read::{Reader, Row, Said};
use catalogue::escaped_formula;
use methods::Known;
use std::path::Path;

pub(super) fn run(path: &Path, format: Format, reader: &Reader) -> Result<(), Failure> {
    let mut answers = Answers::new(format);
    let each = |row: Row| match row.said {
        Ok(said) => answers.push(&row.text, &said, reader.known()),
        Err(why) => answers.refuse(
            &row.text,
            &format!("{}; {}", why.message, remedy::words(&why.remedy)),
        ),
    };
    reader.batch(path, each, &Terminal)?;
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
                let _ = writer.write_record(cells.iter().map(|c| escaped_formula(c).into_owned()));
            }
        }
    }

    fn refuse(&mut self, text: &str, why: &str) {
        match self {
            Self::Json(all) => all.push(serde_json::json!({ "marking": text, "refused": why })),
            Self::Csv(writer) => {
                let _ =
                    writer.write_record([&escaped_formula(text), "", "", "", "", "", "", "", why]);
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
