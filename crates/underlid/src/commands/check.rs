//! `underlid check`: every mistake in a dossier's text, and what looks like a slip.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::folder;
use crate::screen::{self, shown};
use app::{Kind, Problem, Spot, Warning};
use methods::words::counted;
use record::visible;
use serde_json::{Value as Json, json};
use std::path::PathBuf;

pub(crate) fn run(named: Option<PathBuf>, format: Format) -> Result<(), Failure> {
    let folder = folder::of(named)?;
    let dossier = match app::check(&folder) {
        Ok(dossier) => dossier,
        Err(problems) => {
            let problem = Problem::from(problems);
            return match (&problem.kind, format) {
                (Kind::Mistakes(problems), Format::Json) => {
                    let list: Vec<Json> = problems.0.iter().map(mistake_json).collect();
                    screen::print_as(format, &format!("{:#}", json!({ "problems": list })))?;
                    Err(Failure::Answered)
                }
                _ => Err(problem.into()),
            };
        }
    };
    let warnings = app::warnings(&folder, &dossier)?;
    if format == Format::Json {
        let list: Vec<Json> = warnings.iter().map(warning_json).collect();
        let none: [Json; 0] = [];
        let answer = json!({ "problems": none, "warnings": list });
        return screen::print_as(format, &format!("{answer:#}"));
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

fn mistake_json(p: &record::Problem) -> Json {
    json!({
        "file": p.file, "line": p.line, "column": p.column,
        "text": p.text, "message": p.message, "remedy": p.remedy,
    })
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

/// Writes a warning for people, both places with their lines.
pub(super) fn warning_text(warning: &Warning) -> String {
    let spot = |spot: &Spot| match spot.line {
        Some(line) => format!("{} in line {line}", spot.place),
        None => spot.place.to_string(),
    };
    let against: Vec<String> = warning.against.iter().map(spot).collect();
    format!(
        "warning: {}\n  see {} against {}\n  {}\n",
        visible(&warning.message),
        visible(&spot(&warning.at)),
        visible(&against.join(", ")),
        visible(&warning.remedy)
    )
}
