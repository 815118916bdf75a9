//! Many markings from a table, one answer a row as soon as it is there; a row that cannot be read is answered with
//! the reason in the column `refused`.

use super::headline::headline;
use crate::arguments::Format;
use crate::failure::{self, Failure};
use crate::progress::Terminal;
use crate::{remedy, screen};
use app::read::{Reader, Row, Said, Tally};
use app::{Problem, Watch as _};
use catalogue::escaped_formula;
use serde_json::{Value, json};
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
    let done = reader.batch(path, |row| answers.push(&row, reader), &Terminal);
    let tally = answers.finish(done)?;
    if format == Format::Json {
        // The tally stands in the answer.
        return answered(&tally);
    }
    Terminal.note(&format!(
        "{} answered, {} fit nothing known, {} cannot be read",
        tally.answered, tally.unanswered, tally.refused
    ));
    answered(&tally)
}

fn answered(tally: &Tally) -> Result<(), Failure> {
    if tally.answered == 0 {
        return Err(Failure::NoAnswer);
    }
    Ok(())
}

/// Answers in the form asked for, each printed when it comes. Those for programs are one object in the end, with
/// the failure in it if there is one.
struct Answers {
    format: Format,
    begun: bool,
    stopped: Option<Failure>,
}

impl Answers {
    fn push(&mut self, row: &Row, reader: &Reader) -> ControlFlow<()> {
        let text = match self.format {
            Format::Json => {
                let before = if self.begun { "," } else { ANSWERS };
                format!("{before}\n{:#}", row_json(row, reader))
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

    /// Ends the answers; what went wrong after the first of them is told within them.
    fn finish(mut self, done: Result<Tally, Problem>) -> Result<Tally, Failure> {
        let end = match (self.format, self.begun, &done) {
            (Format::Json, true, Ok(tally)) => format!("\n],{}", members(&tally_json(tally))),
            (Format::Json, false, Ok(tally)) => {
                format!("{ANSWERS}],{}", members(&tally_json(tally)))
            }
            (Format::Json, true, Err(problem)) => {
                format!("\n],{}", members(&failure::json(problem)))
            }
            (Format::Text, false, Ok(_)) => line(&HEADING.map(String::from)),
            _ => String::new(),
        };
        if self.stopped.is_none() && !end.is_empty() {
            let _ = self.print(&end);
        }
        if let Some(failure) = self.stopped {
            return Err(failure);
        }
        done.map_err(|problem| match (self.format, self.begun) {
            (Format::Json, true) => Failure::Told(Box::new(problem)),
            _ => problem.into(),
        })
    }
}

/// How the object for programs begins.
const ANSWERS: &str = "{\n\"answers\": [";

/// The members of an object as text, up to the end of it.
fn members(object: &Value) -> String {
    let text = format!("{object:#}\n");
    text.strip_prefix('{').unwrap_or(&text).to_string()
}

fn tally_json(tally: &Tally) -> Value {
    json!({ "answered": tally.answered, "fit-nothing": tally.unanswered, "cannot-be-read": tally.refused })
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

fn row_json(row: &Row, reader: &Reader) -> Value {
    match &row.said {
        Ok(said) => {
            let mut json = super::json::json(said, reader);
            json["line"] = row.line.into();
            json
        }
        Err(_) => {
            json!({ "marking": row.text, "line": row.line, "refused": reason(row) })
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
