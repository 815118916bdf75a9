//! A row of equal things between two points: the pitch of pins, or the ticks of a ruler.

use super::known::keep;
use super::{grey, marks, points};
use crate::arguments::MeasureArguments;
use crate::failure::Failure;
use imaging::geometry::{RowOptions, propose_row};
use quantity::{Dimension, Stated};
use record::{Dossier, MeasureSubject, Photo, Reference, ReferenceShape};

pub(super) fn run(
    arguments: &MeasureArguments,
    dossier: &Dossier,
    photo: &Photo,
    marked: &[[f64; 2]],
) -> Result<(), Failure> {
    let &[from, to] = marked else {
        return Err(Failure::Outside {
            message: format!("{} points are given for a row", marked.len()),
            remedy: "mark exactly 2, one at either end of the row".to_string(),
        });
    };
    let picture = grey(&arguments.folder, photo)?;
    let row = propose_row(&picture, from, to, &RowOptions::default()).map_err(|why| {
        Failure::Outside {
            message: format!("no row of equal things is found there: {why}"),
            remedy: "mark the line across the middle of the things, from the first to the last"
                .to_string(),
        }
    })?;
    let (at, within) = points::recorded(&row.places);
    let note = format!(
        "{} {} things found by their spacing of {:.2} pixels, clearness {:.2}",
        row.places.len(),
        if row.dark { "dark" } else { "bright" },
        row.pitch_px,
        row.clearness
    );
    if let Some(every) = &arguments.every {
        let pitch = length(every)?;
        let ruler = Reference {
            name: arguments
                .name
                .clone()
                .unwrap_or_else(|| "ruler".to_string()),
            shape: ReferenceShape::Ruler,
            at,
            on_sides: false,
            length: None,
            width: None,
            marks: Vec::new(),
            pitch: Some(pitch),
            columns: None,
            within: Some(within),
        };
        return keep(arguments, photo, ruler, Some(note));
    }
    let mut measure = marks::new(arguments, dossier, photo, MeasureSubject::Pitch, at);
    measure.within = Some(within);
    measure.note = Some(note);
    marks::finish(arguments, dossier, photo, measure)
}

/// Reads a length from the command line.
pub(super) fn length(text: &str) -> Result<Stated, Failure> {
    Stated::parse(text)
        .ok()
        .filter(|s| s.dimension() == Dimension::LENGTH && s.si() > 0.0)
        .ok_or_else(|| Failure::Outside {
            message: format!("“{text}” is not a length"),
            remedy: "write it with its unit, such as \"1 mm\"".to_string(),
        })
}
