//! `underlid captions`: captions proof-read against a dossier.

use crate::arguments::{CaptionArguments, Format};
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::{CaptionOptions, Film, ProofRead};
use record::visible;
use std::fmt::Write as _;

pub(crate) fn run(arguments: CaptionArguments, format: Format) -> Result<(), Failure> {
    let options = CaptionOptions {
        folder: folder::of(arguments.folder)?,
        into: arguments.into,
        catalogues: arguments.catalogues,
    };
    let read = app::captions(&options, &Terminal)?;
    let text = match format {
        Format::Json => {
            let answer = serde_json::json!({ "folder": read.into, "films": read.films });
            format!("{answer:#}\n")
        }
        Format::Text => text(&read),
    };
    screen::print_as(format, &text)
}

fn text(read: &ProofRead) -> String {
    let mut out = String::new();
    for film in &read.films {
        out += &told(film);
    }
    out += &format!("Written to {}\n", shown(&read.into));
    out
}

fn told(film: &Film) -> String {
    let applied = film.corrections.iter().filter(|c| c.applied).count();
    let mut out = format!(
        "{}: {} cues, {} words; {applied} corrected, {} proposed\n",
        visible(&film.file),
        film.cues,
        film.words,
        film.corrections.len() - applied
    );
    for correction in &film.corrections {
        let mark = if correction.applied { " " } else { "?" };
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "{mark} cue {}: {} → {} ({:.2}, {})",
            correction.cue,
            visible(&correction.before),
            visible(&correction.after),
            correction.probability,
            visible(&correction.place)
        );
    }
    for fault in &film.faults {
        let _ = writeln!(out, "! {}", visible(fault));
    }
    let untold = film.fault_count - film.faults.len();
    if untold > 0 {
        let _ = writeln!(out, "! and {untold} more");
    }
    out
}
