//! `underlid check`: every mistake in a dossier's text.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::screen::{self, shown};
use std::path::Path;

pub(crate) fn run(folder: &Path, format: Format) -> Result<(), Failure> {
    let outcome = app::check(folder);
    match (outcome, format) {
        (Ok(dossier), Format::Text) => screen::print(&format!(
            "{}: no mistakes. {} claims, {} items, {} readings, {} steps, {} photographs.",
            shown(folder.join("dossier.toml")),
            dossier.claims.len(),
            dossier.items.len(),
            dossier.readings.len(),
            dossier.steps.len(),
            dossier.photos.len(),
        )),
        (Err(problems), Format::Text) => Err(app::Problem::from(problems).into()),
        (Ok(_), Format::Json) => screen::print_as(format, "{\n  \"problems\": []\n}"),
        (Err(problems), Format::Json) => {
            let list: Vec<serde_json::Value> = problems
                .0
                .iter()
                .map(|p| {
                    serde_json::json!({
                        "file": p.file, "line": p.line, "column": p.column,
                        "text": p.text, "message": p.message, "remedy": p.remedy,
                    })
                })
                .collect();
            screen::print_as(
                format,
                &format!("{:#}", serde_json::json!({ "problems": list })),
            )?;
            Err(Failure::Answered)
        }
    }
}
