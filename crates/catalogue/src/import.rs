//! Parts from somebody's own table, whose headings are theirs.
//!
//! In: a [`Table`] and a [`Mapping`] from its headings to the columns of a catalogue. Out: the
//! rows, a preview of them, and a remark on every row refused.
//!
//! Liberties that a catalogue file does not have: items of a list may be parted by commas,
//! semicolons or line breaks, and `-`, `n/a` and their like mean "not known" and clear nothing. The codes of
//! a row with one package stand on that package.

mod mapping;
mod synonyms;

pub use mapping::{Mapping, MappingError};

use crate::read::{self, Read, Row};
use crate::table_cell::Lists;
use crate::{Part, Remark, Table, same_part};

/// One row of a table as it would be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Preview {
    /// Its line.
    pub line: u64,
    /// The part, or what is wrong with the row.
    pub part: Result<Part, Vec<Remark>>,
}

/// Reads the first rows of a table under a mapping.
pub fn preview(table: &Table, mapping: &Mapping, rows: usize) -> Vec<Preview> {
    (0..table.rows.len().min(rows))
        .map(|at| Preview {
            line: table.rows[at].line,
            part: row(table, mapping, at),
        })
        .collect()
}

/// Reads every row of a table under a mapping.
///
/// ```
/// use catalogue::{Mapping, Table, import};
/// let table = Table::from_bytes(b"Part No;Mfr;Case\nNHF2104;Nordhafen;QFN-16\n", "bom.csv")?;
/// let mapping = Mapping::guess(table.heading());
/// let read = import(&table, &mapping);
/// assert_eq!(read.rows[0].part.packages, ["QFN-16"]);
/// # Ok::<(), catalogue::Remark>(())
/// ```
pub fn import(table: &Table, mapping: &Mapping) -> Read {
    let mut read = Read {
        rows: Vec::new(),
        remarks: table.remarks.clone(),
    };
    if mapping.heading_of("name").is_none() {
        let headings: Vec<&str> = table.heading.iter().map(String::as_str).collect();
        read.remarks.push(Remark {
            line: table.heading_line,
            ..Remark::file(
                &table.file,
                "no column is known to hold the part number",
                format!(
                    "say which, as name=HEADING; there are: {}",
                    headings.join(", ")
                ),
            )
        });
        return read;
    }
    for at in 0..table.rows.len() {
        match row(table, mapping, at) {
            Ok(part) => read.rows.push(Row {
                file: table.file.clone(),
                line: table.rows[at].line,
                part,
                cleared: Vec::new(),
                own: Vec::new(),
            }),
            Err(remarks) => read.remarks.extend(remarks),
        }
    }
    read.remarks.sort_by_key(|remark| remark.line);
    read
}

fn row(table: &Table, mapping: &Mapping, at: usize) -> Result<Part, Vec<Remark>> {
    let row = &table.rows[at];
    let cells = mapping
        .places()
        .filter_map(|(column, at)| Some((column, row.cells.get(at)?)));
    let (mut part, _) = read::part(cells, Lists::Any).map_err(|faults| {
        let remark = |(column, fault): (&'static str, crate::table_cell::Fault)| {
            let heading = mapping.heading_of(column).unwrap_or(column);
            Remark::row(&table.file, row.line, fault.why, fault.remedy).at(heading)
        };
        faults.into_iter().map(remark).collect::<Vec<_>>()
    })?;
    same_part::place_codes(&mut part);
    if part.known_from.is_empty() {
        // Without the line, so that a row that moved is still the same row.
        part.known_from.clone_from(&table.file);
    }
    Ok(part)
}
