//! Bar codes and matrix codes in a photograph, and what their texts may say.

use super::text::readings;
use crate::arguments::Format;
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen;
use app::read::Reader;
use codes::barcode::Barcode;
use record::visible;
use std::fmt::Write as _;
use std::path::Path;

pub(super) fn run(path: &Path, format: Format, reader: &Reader) -> Result<(), Failure> {
    let found = reader.photo(path, &Terminal)?;
    screen::print_as(
        format,
        &match format {
            Format::Json => format!("{:#}\n", serde_json::json!({ "codes": found })),
            Format::Text => text(&found),
        },
    )?;
    if found.is_empty() {
        return Err(Failure::NoAnswer);
    }
    Ok(())
}

fn text(found: &[Barcode]) -> String {
    if found.is_empty() {
        return "No bar code or matrix code was found; photograph it straight on, sharp, in even light.\n"
            .to_string();
    }
    let mut out = String::new();
    for code in found {
        let place = code
            .points
            .first()
            .map(|(x, y)| format!(" at pixel {x:.0}, {y:.0}"))
            .unwrap_or_default();
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{}{place}: “{}”", code.symbology, visible(&code.text));
        readings(&mut out, &code.readings);
    }
    out
}
