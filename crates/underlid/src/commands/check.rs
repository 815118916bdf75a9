//! `underlid check`: every mistake in a dossier's text, and what looks like a slip.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::{Problem, Spot, Warning};
use methods::words::counted;
use record::visible;
use serde_json::{Value as Json, json};
use std::path::PathBuf;

pub(crate) fn run(named: Option<PathBuf>, format: Format) -> Result<(), Failure> {
    let folder = folder::of(named)?;
    let dossier = app::check(&folder, &Terminal).map_err(Problem::from)?;
    let warnings = app::warnings(&folder, &dossier)?;
    if format == Format::Json {
        let list: Vec<Json> = warnings.iter().map(warning_json).collect();
        return screen::print_json(&json!({ "warnings": list }));
    }
    let mut text = format!(
        "{}: no mistakes. {}, {}, {}, {}, {}.\n",
        shown(folder.join(store::TEXT)),
        counted(dossier.claims.len(), "claim", "claims"),
        counted(dossier.items.len(), "item", "items"),
        counted(dossier.readings.len(), "reading", "readings"),
        counted(dossier.steps.len(), "step", "steps"),
        counted(dossier.photos.len(), "photograph", "photographs"),
    );
    for warning in &warnings {
        text += &warning_text(warning);
    }
    screen::print(&text)
}

/// Writes a warning for programs.
pub(super) fn warning_json(warning: &Warning) -> Json {
    let spot = |spot: &Spot| json!({ "place": spot.place, "line": spot.line });
    let against: Vec<Json> = warning.against.iter().map(spot).collect();
    json!({
        "at": spot(&warning.at), "against": against,
        "message": warning.message, "remedy": warning.remedy,
    })
}

/// Writes a warning for people, the places with their lines.
pub(super) fn warning_text(warning: &Warning) -> String {
    let spot = |spot: &Spot| match spot.line {
        Some(line) => format!("{} in line {line}", spot.place),
        None => spot.place.to_string(),
    };
    let against: Vec<String> = warning.against.iter().map(spot).collect();
    let against = match against.as_slice() {
        [] => String::new(),
        some => format!(" against {}", some.join(", ")),
    };
    format!(
        "warning: {}\n  see {}{}\n  {}\n",
        visible(&warning.message),
        visible(&spot(&warning.at)),
        visible(&against),
        visible(&warning.remedy)
    )
}
