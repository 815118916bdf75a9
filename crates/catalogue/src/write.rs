//! A catalogue as CSV text: UTF-8, commas, every column, then the user's own, sorted by name and maker.
//!
//! In: a [`Catalogue`]. Out: text that [`read`](crate::read) gives back as the same parts. Equal
//! catalogues give equal text, and a changed part changes one line. No cell is a live formula in a spreadsheet
//! program.

use crate::columns::COLUMNS;
use crate::escaped_formula;
use crate::{Catalogue, Part};

/// Writes a catalogue.
///
/// ```
/// let parts = catalogue::Catalogue::from_iter([catalogue::Part {
///     name: "NHF2104".to_string(),
///     codes: vec![catalogue::TopCode::on("4A7", "SOT-23-5"), "4A8".into()],
///     ..Default::default()
/// }]);
/// let text = catalogue::write(&parts);
/// assert!(text.ends_with("\nNHF2104,,,4A7 @ SOT-23-5 | 4A8,,,,,,,,,,,,,\n"));
/// let again = catalogue::read(text.as_bytes(), "own.csv");
/// assert_eq!(again.rows[0].part, parts.parts()[0]);
/// ```
pub fn write(catalogue: &Catalogue) -> String {
    let mut parts: Vec<_> = catalogue.parts().iter().enumerate().collect();
    parts.sort_by(|(_, a), (_, b)| (&a.name, &a.maker).cmp(&(&b.name, &b.maker)));
    let mut text = String::new();
    let columns = COLUMNS.iter().map(|c| c.name.to_string());
    let own = catalogue.own_headings().iter().cloned();
    line(&mut text, columns.chain(own));
    for (at, part) in parts {
        let own = catalogue.own_cells(at).map(str::to_string);
        line(&mut text, part.cells().into_iter().chain(own));
    }
    text
}

/// Writes parts in the order in which they come, without columns of the user's own: where two parts are equally
/// likely, the earlier one is told first.
pub fn write_in_order<'a>(parts: impl IntoIterator<Item = &'a Part>) -> String {
    let mut text = String::new();
    line(&mut text, COLUMNS.iter().map(|c| c.name.to_string()));
    for part in parts {
        line(&mut text, part.cells().into_iter());
    }
    text
}

/// Writes one row.
pub(crate) fn line(text: &mut String, cells: impl Iterator<Item = String>) {
    for (at, cell) in cells.enumerate() {
        let cell = escaped_formula(&cell);
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
