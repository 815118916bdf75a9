//! Many markings from a table, one answer a row as soon as it is there; a row that cannot be read is answered with
//! the reason in the column `refused`.

use super::headline::headline;
use crate::arguments::Format;
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::{remedy, screen};
use app::Watch as _;
use app::read::{Reader, Row, Said};
use catalogue::escaped_formula;
use std::ops::ControlFlow;
use std::path::Path;

/// The columns of an answer.
const HEADING: [&str; 10] = [
    "marking",
    "part",
    "maker",
    "probability",
    "second",
    "probability of second",
    "none of the known",
    "code",
    "refused",
    "says",
];

pub(super) fn run(path: &Path, format: Format, reader: &Reader) -> Result<(), Failure> {
    let mut answers = Answers {
        format,
        begun: false,
        stopped: None,
    };
    let tally = reader.batch(path, |row| answers.push(&row, reader), &Terminal)?;
    answers.finish()?;
    Terminal.note(&format!(
        "{} answered, {} fit nothing known, {} cannot be read",
        tally.answered, tally.unanswered, tally.refused
    ));
    if tally.answered == 0 {
        return Err(Failure::NoAnswer);
    }
    Ok(())
}

/// Answers in the form asked for, each printed when it comes. Those for programs are one list in the end.
struct Answers {
    format: Format,
    begun: bool,
    stopped: Option<Failure>,
}

impl Answers {
    fn push(&mut self, row: &Row, reader: &Reader) -> ControlFlow<()> {
        let text = match self.format {
            Format::Json => {
                let before = if self.begun { ",\n" } else { "[\n" };
                format!("{before}{:#}", json(row, reader))
            }
            Format::Text if self.begun => line(&cells(row, reader)),
            Format::Text => {
                let heading = line(&HEADING.map(String::from));
                heading + &line(&cells(row, reader))
            }
        };
        self.begun = true;
        self.print(&text)
    }

    /// Prints a piece; what stands in the way is kept for the end.
    fn print(&mut self, text: &str) -> ControlFlow<()> {
        screen::print_piece(self.format, text).unwrap_or_else(|failure| {
            self.stopped = Some(failure);
            ControlFlow::Break(())
        })
    }

    fn finish(mut self) -> Result<(), Failure> {
        let end = match (self.format, self.begun) {
            (Format::Json, true) => "]\n".to_string(),
            (Format::Json, false) => "[]\n".to_string(),
            (Format::Text, true) => String::new(),
            (Format::Text, false) => line(&HEADING.map(String::from)),
        };
        if self.stopped.is_none() && !end.is_empty() {
            let _ = self.print(&end);
        }
        self.stopped.map_or(Ok(()), Err)
    }
}

fn reason(row: &Row) -> Option<String> {
    let why = row.said.as_ref().err()?;
    Some(format!(
        "line {}: {}; {}",
        row.line,
        why.message,
        remedy::words(&why.remedy)
    ))
}

fn json(row: &Row, reader: &Reader) -> serde_json::Value {
    match &row.said {
        Ok(said) => {
            let mut json = super::json::json(said, reader);
            json["line"] = row.line.into();
            json
        }
        Err(_) => {
            serde_json::json!({ "marking": row.text, "line": row.line, "refused": reason(row) })
        }
    }
}

fn cells(row: &Row, reader: &Reader) -> [String; 10] {
    let mut cells: [String; 10] = Default::default();
    cells[0].clone_from(&row.text);
    match &row.said {
        Ok(said) => fill(&mut cells, said, reader),
        Err(_) => cells[8] = reason(row).unwrap_or_default(),
    }
    cells
}

fn fill(cells: &mut [String; 10], said: &Said, reader: &Reader) {
    let candidates = said.parts.as_ref().map_or(&[][..], |a| &a.candidates);
    let probability = |p: f64| format!("{p:.4}");
    if let Some(best) = candidates.first() {
        cells[1] = reader.name(best);
        let part = reader.known().parts().get(best.part);
        cells[2] = part.map(|p| p.maker.clone()).unwrap_or_default();
        cells[3] = probability(best.probability);
    }
    if let Some(second) = candidates.get(1) {
        cells[4] = reader.name(second);
        cells[5] = probability(second.probability);
    }
    if let Some(answer) = &said.parts {
        cells[6] = probability(answer.none);
        cells[8] = answer.refusal.map(|r| r.to_string()).unwrap_or_default();
    }
    let mut readings = said.codes.iter().filter_map(|(_, found)| found.first());
    cells[7] = readings
        .next()
        .map(|r| r.meaning.clone())
        .unwrap_or_default();
    cells[9] = headline(said, reader);
}

/// One line of CSV, no cell of which is run as a formula.
fn line(cells: &[String; 10]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory cannot fail.
    let _ = writer.write_record(cells.iter().map(|cell| escaped_formula(cell).into_owned()));
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}
