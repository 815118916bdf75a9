//! What came out of measures: text for people, JSON for programs, pictures of what was measured.

use crate::arguments::Format;
use crate::commands::picture::PICTURES;
use crate::commands::picture::numbered::{Look, Pictures};
use crate::failure::Failure;
use crate::progress;
use crate::screen::shown;
use methods::sight::{Desk, Sight, Taken};
use quantity::{Figure, Sheet, Term};
use record::{Dossier, Photo, PhotoMeasure};
use std::fmt::Write as _;
use std::path::Path;

/// A measure worked out.
pub(super) struct Outcome {
    /// As it stands in the record.
    pub(super) measure: PhotoMeasure,
    figures: Vec<Figure>,
    notes: Vec<String>,
}

impl Outcome {
    /// Works out one measure with its working.
    ///
    /// # Errors
    /// Why it has no answer.
    pub(super) fn of(
        dossier: &Dossier,
        photo: &Photo,
        measure: &PhotoMeasure,
    ) -> Result<Self, Failure> {
        let fault = |message: String| Failure::Outside {
            message,
            remedy: "correct the points or the things of known size in this photo".to_string(),
        };
        let sight = Sight::of(photo).map_err(fault)?;
        let item = measure.item.as_deref().and_then(|id| dossier.item(id));
        let taken = Taken::of(measure, item, &sight).map_err(fault)?;
        let sheet = Sheet::new();
        let desk = Desk::new(&sheet);
        let figures = desk
            .terms(&photo.id, &sight, &taken)
            .and_then(|terms| {
                let figure = |term: &Term<'_>| sheet.figure(*term).map_err(|e| e.to_string());
                terms.iter().map(figure).collect::<Result<Vec<_>, _>>()
            })
            .map_err(|why| fault(format!("measures.{}: {why}", measure.id)))?;
        let mut notes = sight.notes();
        if let Some(height) = &measure.height {
            notes.extend(sight.height_note(height));
        }
        Ok(Self {
            measure: measure.clone(),
            figures,
            notes,
        })
    }
}

/// Most inputs that are told one by one.
const MOST_INPUTS: usize = 6;

/// Writes results, then what failed.
pub(super) fn told(results: &[Outcome], failed: &[String], format: Format) -> String {
    match format {
        Format::Json => {
            let measures: Vec<_> = results
                .iter()
                .map(|r| {
                    serde_json::json!({
                        "measure": r.measure, "figures": r.figures, "notes": r.notes,
                    })
                })
                .collect();
            format!(
                "{:#}\n",
                serde_json::json!({ "measures": measures, "failed": failed })
            )
        }
        Format::Text => {
            let mut out = String::new();
            let mut notes: Vec<&str> = Vec::new();
            for result in results {
                text(&mut out, result);
                for note in &result.notes {
                    if !notes.contains(&note.as_str()) {
                        notes.push(note);
                    }
                }
            }
            for line in failed {
                // Writing to a String cannot fail.
                let _ = writeln!(out, "No answer: {line}");
            }
            for note in notes {
                let _ = writeln!(out, "Assumed: {note}");
            }
            out
        }
    }
}

fn text(out: &mut String, result: &Outcome) {
    let measure = &result.measure;
    for figure in &result.figures {
        let _ = writeln!(out, "{}: {}", figure.name, figure.text);
        let _ = writeln!(
            out,
            "  measure {}, photograph {}, {} points",
            measure.id,
            measure.photo,
            measure.at.len()
        );
        let interval = figure.interval;
        let places = report::digits::decimals(figure.standard_uncertainty).unwrap_or(0);
        let _ = writeln!(
            out,
            "  {:.0} % interval: {:.places$} to {:.places$} {}",
            100.0 * interval.probability,
            interval.low,
            interval.high,
            figure.unit.symbol()
        );
        for line in &figure.working {
            let _ = writeln!(out, "  {line}");
        }
        for input in figure.inputs.iter().take(MOST_INPUTS) {
            let _ = writeln!(
                out,
                "  {:>5.1} % of the variance: {} = {}",
                100.0 * input.variance_share,
                input.name,
                input.text
            );
        }
        out.push('\n');
    }
    if let Some(old) = &measure.replaces {
        let _ = writeln!(
            out,
            "  takes the place of {old}, which stays in the record\n"
        );
    }
}

/// Writes a picture of every photo with what was measured on it.
pub(super) fn draw(
    folder: &Path,
    dossier: &Dossier,
    photos: &[&Photo],
    into: &Path,
) -> Result<(), Failure> {
    let pictures = Pictures::of(folder, dossier);
    let mut files = Vec::new();
    for (n, photo) in photos.iter().enumerate() {
        progress::step(&format!("drawing {}", photo.id), n + 1, photos.len());
        files.extend(pictures.see(photo)?.files(&Look::default())?);
    }
    PICTURES.write(into, &files)?;
    progress::stage(&format!("{} pictures in {}", files.len(), shown(into)));
    Ok(())
}
