//! A catalogue as CSV text: UTF-8, commas, every column, sorted by name and maker.
//!
//! In: a [`Catalogue`]. Out: text that [`read`](crate::read) gives back as the same parts. Equal
//! catalogues give equal text, and a changed part changes one line. No cell is a live formula in a spreadsheet
//! program.

use crate::columns::COLUMNS;
use crate::{Catalogue, Part, disarmed};

/// Writes a catalogue.
///
/// ```
/// let parts = catalogue::Catalogue::from_iter([catalogue::Part {
///     name: "NHF2104".to_string(),
///     codes: vec!["4A7".to_string(), "4A8".to_string()],
///     ..Default::default()
/// }]);
/// let text = catalogue::write(&parts);
/// assert!(text.ends_with("\nNHF2104,,,4A7 | 4A8,,,,,,,,,,,,,\n"));
/// let again = catalogue::read(text.as_bytes(), "own.csv");
/// assert_eq!(again.rows[0].part, parts.parts()[0]);
/// ```
pub fn write(catalogue: &Catalogue) -> String {
    let mut parts: Vec<&Part> = catalogue.parts().iter().collect();
    parts.sort_by(|a, b| (&a.name, &a.maker).cmp(&(&b.name, &b.maker)));
    let mut text = String::new();
    line(&mut text, COLUMNS.iter().map(|c| c.name.to_string()));
    for part in parts {
        line(&mut text, part.cells().into_iter());
    }
    text
}

fn line(text: &mut String, cells: impl Iterator<Item = String>) {
    for (at, cell) in cells.enumerate() {
        let cell = disarmed(&cell);
        if at > 0 {
            text.push(',');
        }
        if cell.contains(['"', ',', ';', '\t', '\n', '\r']) {
            text.push('"');
            text.push_str(&cell.replace('"', "\"\""));
            text.push('"');
        } else {
            text.push_str(&cell);
        }
    }
    text.push('\n');
}
