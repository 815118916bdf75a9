//! A row of equal things between two points: the pitch of pins, or the ticks of a ruler.

use super::known::keep;
use super::{MeasureOptions, Measured, grey, marks, points};
use crate::imaging_problem::Work;
use crate::{Kind, Problem, Watch};
use imaging::geometry::{RowOptions, propose_row};
use quantity::{Dimension, Stated};
use record::{Dossier, MeasureSubject, Photo, Place, Reference, ReferenceShape};

pub(super) fn run(
    options: &MeasureOptions,
    dossier: &Dossier,
    photo: &Photo,
    marked: &[[f64; 2]],
    watch: &dyn Watch,
) -> Result<Measured, Problem> {
    let &[from, to] = marked else {
        return Err(Problem {
            kind: Kind::Refused,
            place: None,
            message: format!("{} points are given for a row", marked.len()),
            remedy: "mark exactly 2, one at either end of the row".into(),
        });
    };
    let picture = grey(&options.folder, photo, watch)?;
    let row = propose_row(&picture, from, to, &RowOptions::default())
        .map_err(|why| Problem::of_imaging(Work::FindRow, why, Place::photo(&photo.id).into()))?;
    let (at, within) = points::recorded(&row.places);
    let note = format!(
        "{} {} things found by their spacing of {:.2} pixels, clearness {:.2}",
        row.places.len(),
        if row.dark { "dark" } else { "bright" },
        row.pitch_px,
        row.clearness
    );
    if let Some(every) = &options.every {
        let pitch = length(every)?;
        let ruler = Reference {
            name: options.name.clone().unwrap_or_else(|| "ruler".to_string()),
            shape: ReferenceShape::Ruler,
            at,
            on_sides: false,
            length: None,
            width: None,
            marks: Vec::new(),
            pitch: Some(pitch),
            columns: None,
            within: Some(within),
            snapped: Vec::new(),
        };
        return keep(options, photo, ruler, Some(note), watch);
    }
    let mut measure = marks::new(options, dossier, photo, MeasureSubject::Pitch, at);
    measure.within = Some(within);
    measure.note = Some(note);
    marks::finish(options, dossier, photo, measure, watch)
}

/// Reads a length.
pub(super) fn length(text: &str) -> Result<Stated, Problem> {
    Stated::parse(text)
        .ok()
        .filter(|s| s.dimension() == Dimension::LENGTH && s.si() > 0.0)
        .ok_or_else(|| Problem {
            kind: Kind::Refused,
            place: None,
            message: format!("“{text}” is not a length"),
            remedy: "write it with its unit, such as \"1 mm\"".into(),
        })
}
