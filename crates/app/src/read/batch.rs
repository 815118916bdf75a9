//! Many markings from a table, one answer a row.
//!
//! The table is CSV with a heading: `marking`, and if wanted `package`, `pins`, `size`, `pitch`, `maker`,
//! `role`. A row that cannot be read is answered with the reason.

use super::Said;
use super::question::{Question, Words};
use crate::shown;
use crate::{At, Kind, Problem, Watch};
use catalogue::unescaped_formula;
use std::path::Path;
use store::{limits, opener};

/// Rows between two lines of progress.
const PROGRESS: usize = 10_000;

/// One row answered.
#[derive(Debug)]
pub struct Row {
    /// The marking as it stands in the table.
    pub text: String,
    /// What is said about it, or why it cannot be read.
    pub said: Result<Said, Problem>,
}

pub(super) fn run(
    path: &Path,
    mut each: impl FnMut(Row),
    watch: &dyn Watch,
    mut ask: impl FnMut(Question) -> Said,
) -> Result<(), Problem> {
    let bytes = opener::read(path, limits::BATCH)?;
    let wrong = |message: String| Problem {
        kind: Kind::Refused,
        place: Some(At::Path(path.to_path_buf())),
        message: format!("{}: {message}", shown(path)),
        remedy: "write CSV in UTF-8 with a heading row and the column marking".into(),
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
    for (n, row) in table.records().enumerate() {
        if !watch.goes_on() {
            return Err(Problem::stopped());
        }
        if n > 0 && n % PROGRESS == 0 {
            watch.stage(&format!("{n} markings read"));
        }
        let row = row.map_err(|e| wrong(e.to_string()))?;
        let cell = |at: Option<usize>| {
            at.and_then(|at| row.get(at))
                .filter(|c| !c.trim().is_empty())
        };
        let [package, pins, size, pitch, maker, role] = others.map(cell);
        let text = unescaped_formula(row.get(marking).unwrap_or_default());
        let question = pins
            .map(|p| {
                p.trim().parse().map_err(|_| {
                    Problem::refused(
                        format!("“{p}” is not a number of pins"),
                        "write a whole number",
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
        each(Row {
            text: text.to_string(),
            said: question.map_err(|p| p.at(path)).map(&mut ask),
        });
    }
    Ok(())
}
