//! Reading a table of times, row by row.

use super::{Entry, MOST_ROWS, Per, Read, TMU_S, Way, folded};
use catalogue::{Loss, Remark, RowReader, TextRow};
use record::Action;
use serde::Deserialize as _;
use serde::de::IntoDeserializer as _;
use serde::de::value::{Error, StrDeserializer};

/// Refused rows that are told one by one; the rest is counted.
const TOLD: usize = 100;

/// What a column is taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Column {
    /// The action of a step, or a change of tool.
    Action,
    /// The tool.
    Tool,
    /// Seconds.
    Seconds,
    /// TMU.
    Tmu,
    /// For an act, a fastener or a change of tool.
    Per,
    /// There or back.
    Way,
    /// The category that it is summed under.
    Category,
    /// Where it is from.
    Source,
}

/// Each with its headings, folded. The first is ours. From memory; the user overrules each.
const HEADINGS: [(Column, &[&str]); 8] = [
    (
        Column::Action,
        &["action", "act", "task", "operation", "connectortype"],
    ),
    (Column::Tool, &["tool", "tooltype", "with"]),
    (
        Column::Seconds,
        &["seconds", "s", "sec", "time", "times", "duration"],
    ),
    (Column::Tmu, &["tmu"]),
    (Column::Per, &["per", "for", "each"]),
    (Column::Way, &["way", "direction"]),
    (Column::Category, &["category", "group"]),
    (Column::Source, &["source", "from", "reference"]),
];

impl Column {
    /// Returns our own heading for it.
    pub fn heading(self) -> &'static str {
        HEADINGS[self as usize].1[0]
    }
}

/// Guesses what each column is; none is taken twice.
pub fn guessed(headings: &[String]) -> Vec<Option<Column>> {
    let mut taken = Vec::new();
    let guess = headings.iter().map(|heading| {
        let name = folded(heading.split(['(', '[']).next().unwrap_or_default());
        let fits = HEADINGS
            .iter()
            .find(|(column, names)| !taken.contains(column) && names.contains(&name.as_str()));
        let column = fits.map(|(column, _)| *column);
        taken.extend(column);
        column
    });
    guess.collect()
}

/// Reads a table, columns being told by their headings.
pub fn read(bytes: &[u8], file: &str) -> Read {
    read_mapped(bytes, file, None)
}

/// As [`read`]; `map` says column by column what is taken for what.
pub fn read_mapped(bytes: &[u8], file: &str, map: Option<&[Option<Column>]>) -> Read {
    let rows = match RowReader::new(bytes, file) {
        Ok(rows) => rows,
        Err(remark) => return whole(remark),
    };
    let headings = rows.heading().to_vec();
    let columns = map.map_or_else(|| guessed(&headings), <[_]>::to_vec);
    let has = |column| columns.contains(&Some(column));
    if !has(Column::Action) || !(has(Column::Seconds) || has(Column::Tmu)) {
        return whole(about_file(
            file,
            "no column says the action, or none how long it takes",
            "head the columns “action”, “tool”, “seconds” and “source”",
        ));
    }
    let mut read = Read::default();
    let mut refused = 0;
    for (count, row) in rows.enumerate() {
        if count == MOST_ROWS {
            read.remarks.push(about_file(
                file,
                format!(
                    "the table holds more than {MOST_ROWS} rows; those after them were not read"
                ),
                "keep the rows of acts that you meet",
            ));
            break;
        }
        match row.and_then(|row| entry(&row, &columns, &headings, file)) {
            Ok(entry) => read.times.add(entry),
            Err(remark) => {
                refused += 1;
                if refused <= TOLD {
                    read.remarks.push(remark);
                }
            }
        }
    }
    if refused > TOLD {
        read.remarks.push(Remark {
            loss: Loss::Row,
            ..about_file(
                file,
                format!("{} more rows cannot be used", refused - TOLD),
                "correct those named first; they are often alike",
            )
        });
    }
    read
}

fn about_file(file: &str, why: impl Into<String>, remedy: impl Into<String>) -> Remark {
    Remark {
        file: file.to_string(),
        line: 0,
        column: String::new(),
        loss: Loss::File,
        why: why.into(),
        remedy: remedy.into(),
    }
}

fn whole(remark: Remark) -> Read {
    Read {
        remarks: vec![remark],
        ..Read::default()
    }
}

/// Why a cell cannot be used: its column, reason, remedy.
type Fault = (Column, String, &'static str);

fn entry(
    row: &TextRow,
    columns: &[Option<Column>],
    headings: &[String],
    file: &str,
) -> Result<Entry, Remark> {
    let at = |column: Column| columns.iter().position(|c| *c == Some(column));
    let cell = |column: Column| {
        let text = at(column).and_then(|at| row.cells.get(at));
        text.map(|text| text.trim()).unwrap_or_default()
    };
    taken(&cell, file, row.line).map_err(|(column, why, remedy)| Remark {
        file: file.to_string(),
        line: row.line,
        column: at(column)
            .and_then(|at| headings.get(at))
            .map_or_else(|| column.heading().to_string(), Clone::clone),
        loss: Loss::Row,
        why,
        remedy: remedy.into(),
    })
}

fn taken<'a>(cell: &impl Fn(Column) -> &'a str, file: &str, line: u64) -> Result<Entry, Fault> {
    let word = folded(cell(Column::Action));
    let changes = matches!(word.as_str(), "toolchange" | "changetool" | "changeoftool");
    let action = match word.as_str() {
        "any" => None,
        _ if changes => None,
        _ => Some(action(cell(Column::Action))?),
    };
    let per = match folded(cell(Column::Per)).as_str() {
        _ if changes => Per::ToolChange,
        "" | "act" | "step" => Per::Act,
        "fastener" | "piece" | "connector" => Per::Fastener,
        _ => {
            let why = format!(
                "“{}” is nothing that a time is for",
                shown(cell(Column::Per))
            );
            return Err((Column::Per, why, "write act or fastener"));
        }
    };
    let way = match folded(cell(Column::Way)).as_str() {
        "" | "there" | "out" | "disassembly" => Way::There,
        "back" | "in" | "reassembly" => Way::Back,
        _ => {
            let why = format!("“{}” is neither there nor back", shown(cell(Column::Way)));
            return Err((Column::Way, why, "write there or back"));
        }
    };
    let seconds = match (cell(Column::Seconds), cell(Column::Tmu)) {
        ("", "") => {
            return Err((
                Column::Seconds,
                "no time is given".into(),
                "write seconds, or TMU in a column of that name",
            ));
        }
        (seconds, "") => number(Column::Seconds, seconds)?,
        ("", tmu) => number(Column::Tmu, tmu)? * TMU_S,
        _ => {
            return Err((
                Column::Seconds,
                "seconds and TMU are both given".into(),
                "keep one of them",
            ));
        }
    };
    let source = cell(Column::Source);
    if source.is_empty() {
        return Err((
            Column::Source,
            "a time without a source".into(),
            "write where it is from, as “own clock, 2026-05-04, five times”",
        ));
    }
    Ok(Entry {
        action,
        tool: folded(cell(Column::Tool)),
        per,
        way,
        category: cell(Column::Category).to_string(),
        seconds,
        source: source.to_string(),
        file: file.to_string(),
        line,
    })
}

fn action(text: &str) -> Result<Action, Fault> {
    let word = text.trim().to_lowercase();
    let word: StrDeserializer<'_, Error> = word.as_str().into_deserializer();
    Action::deserialize(word).map_err(|_| {
        let why = format!("“{}” is no action of a step", shown(text));
        (
            Column::Action,
            why,
            "write heat, pry, unclip, unscrew, peel, unplug, unsolder, cut, lift, pull, dissolve, any or tool change",
        )
    })
}

fn number(column: Column, text: &str) -> Result<f64, Fault> {
    match text.parse::<f64>() {
        Ok(x) if x.is_finite() && x >= 0.0 => Ok(x),
        _ => Err((
            column,
            format!("“{}” is no time", shown(text)),
            "write a number that is not below zero, with a point",
        )),
    }
}

fn shown(text: &str) -> String {
    text.chars().take(40).collect()
}
