//! Bar codes and matrix codes in a photograph, and what their texts may say.

use super::rows::Rows;
use super::text::readings;
use crate::arguments::Format;
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen;
use app::read::Reader;
use codes::barcode::Barcode;
use record::visible;
use report::{Marked, Tone};
use std::path::Path;

pub(super) fn run(path: &Path, format: Format, reader: &Reader, all: bool) -> Result<(), Failure> {
    let found = reader.photo(path, &Terminal)?;
    match format {
        Format::Json => {
            let json = serde_json::json!({ "codes": found });
            screen::print_json(&json)?;
        }
        Format::Text => screen::print_marked(&text(&found, all))?,
    }
    if found.is_empty() {
        return Err(Failure::NoAnswer);
    }
    Ok(())
}

fn text(found: &[Barcode], all: bool) -> Marked {
    let mut rows = Rows::new(screen::breaking_width());
    if found.is_empty() {
        rows.sentence(
            Tone::Plain,
            "No bar code or matrix code was found; photograph it straight on, sharp, in even light.",
        );
    }
    for code in found {
        let place = code
            .points
            .first()
            .map(|(x, y)| format!(" at pixel {x:.0}, {y:.0}"))
            .unwrap_or_default();
        let content = visible(&code.text);
        rows.sentence(
            Tone::Bold,
            &format!("{}{place}: “{content}”", code.symbology),
        );
        readings(&mut rows, &code.readings, all);
    }
    rows.finish()
}
