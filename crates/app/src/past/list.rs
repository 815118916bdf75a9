//! The list in which a person writes what is accepted.
//!
//! In: products with proposals; a list that was filled. Out: a table with one row a proposal; decisions.
//! Not here: what becomes of a decision (`take`).

use super::PastProduct;
use crate::desk::Decision;
use crate::{Problem, shown};
use ::past::Quote;
use std::path::Path;
use store::limits;

/// The columns; the first one is filled by a person, who may also correct maker and role.
const COLUMNS: [&str; 9] = [
    "accept",
    "part",
    "maker",
    "role",
    "probability",
    "product",
    "file",
    "line",
    "sentence",
];

/// A row with what was decided.
#[derive(Debug, Clone, PartialEq)]
pub struct Listed {
    /// Name of the file it is from.
    pub file: String,
    /// What was decided.
    pub decision: Decision,
}

/// Writes the list anew.
///
/// # Errors
/// A file that is there already: decisions may stand in it.
pub fn write_list(path: &Path, products: &[PastProduct]) -> Result<(), Problem> {
    let text = written(products)?;
    let mut is_new = true;
    store::revise(path, limits::TABLE, |bytes| {
        is_new = bytes.is_none();
        Ok::<_, Problem>(is_new.then(|| text.into_bytes()))
    })?;
    match is_new {
        true => Ok(()),
        false => {
            let message = format!("{} is there already, and may hold decisions", shown(path));
            Err(Problem::refused(
                message,
                "name another file, or take in what it decides first",
            )
            .at(path))
        }
    }
}

fn written(products: &[PastProduct]) -> Result<String, Problem> {
    let failed = |e: &dyn std::fmt::Display| Problem::internal(&e.to_string());
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record(COLUMNS).map_err(|e| failed(&e))?;
    for product in products {
        for text in &product.texts {
            for proposal in &text.found.parts {
                let empty = Quote {
                    line: 0,
                    sentence: String::new(),
                    marks: Vec::new(),
                };
                let quote = proposal.quotes.first().unwrap_or(&empty);
                let cells = [
                    "",
                    &proposal.part,
                    proposal.maker.as_deref().unwrap_or_default(),
                    proposal.role.as_deref().unwrap_or_default(),
                    &format!("{:.2}", proposal.probability),
                    &product.product,
                    &text.file,
                    &quote.line.to_string(),
                    &quote.sentence,
                ];
                let cells = cells.map(|cell| catalogue::escaped_formula(cell).into_owned());
                table.write_record(cells).map_err(|e| failed(&e))?;
            }
        }
    }
    let bytes = table.into_inner().map_err(|e| failed(&e))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// Reads what was decided; rows with an empty first column wait.
///
/// # Errors
/// A file that is no such list; a word that is neither yes nor no.
pub fn read_list(path: &Path) -> Result<Vec<Listed>, Problem> {
    let bytes = store::opener::read(path, limits::TABLE)?;
    let unfit =
        |message: String, remedy: &str| Problem::unfit(message, remedy.to_string()).at(path);
    let mut table = csv::ReaderBuilder::new()
        .flexible(true)
        .from_reader(bytes.as_slice());
    let headings = table
        .headers()
        .map_err(|e| {
            unfit(
                format!("the list cannot be read: {e}"),
                "save it as CSV in UTF-8",
            )
        })?
        .clone();
    let column = |name: &str| {
        headings
            .iter()
            .position(|heading| heading.trim_start_matches('\u{feff}').trim() == name)
    };
    let places: Vec<Option<usize>> = ["accept", "part", "file", "maker", "role"]
        .map(column)
        .into();
    let [Some(accept), Some(part), Some(file), maker, role] = places[..] else {
        return Err(unfit(
            "the list has no columns accept, part and file".into(),
            "fill in the list of proposals that was written before",
        ));
    };
    let mut found = Vec::new();
    for row in table.records() {
        let row = row.map_err(|e| {
            unfit(
                format!("the list cannot be read: {e}"),
                "save it as CSV in UTF-8",
            )
        })?;
        let cell = |at: usize| {
            catalogue::unescaped_formula(row.get(at).unwrap_or_default().trim()).to_string()
        };
        let accepted = match cell(accept).to_lowercase().as_str() {
            "" => continue,
            "yes" | "y" | "x" | "1" | "true" => true,
            "no" | "n" | "0" | "false" => false,
            other => {
                let line = row.position().map_or(0, csv::Position::line);
                return Err(unfit(
                    format!(
                        "line {line}: “{}” is neither yes nor no",
                        record::visible(other)
                    ),
                    "write yes or no, or leave the cell empty",
                ));
            }
        };
        let told = |at: Option<usize>| at.map(cell).filter(|text| !text.is_empty());
        found.push(Listed {
            file: cell(file),
            decision: Decision {
                part: cell(part),
                accepted,
                maker: told(maker),
                role: told(role),
            },
        });
    }
    Ok(found)
}
