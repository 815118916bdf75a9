//! A row of equal things between two points: the pitch of pins, or the ticks of a ruler.

use super::known::keep;
use super::{MeasureOptions, Measured, grey, marks, points};
use crate::imaging_problem::Work;
use crate::{Kind, Problem, Watch};
use imaging::geometry::{DetectedRow, RowOptions, propose_row};
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
            kind: Kind::Unfit(Vec::new()),
            place: None,
            message: format!("{} points are given for a row", marked.len()),
            remedy: "mark exactly 2, one at either end of the row".into(),
        });
    };
    let picture = grey(&options.folder, photo, watch)?;
    let wanted = RowOptions {
        count: options.count,
        ..RowOptions::default()
    };
    let row = propose_row(&picture, from, to, &wanted)
        .map_err(|why| Problem::of_imaging(Work::FindRow, why, Place::photo(&photo.id).into()))?;
    let (at, within) = points::recorded(&row.places);
    let note = note(&row);
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
    measure.height = options.height.as_deref().map(marks::height).transpose()?;
    measure.note = Some(note);
    marks::finish(options, dossier, photo, measure, watch)
}

/// Says what was counted, so that things are not taken for the gaps between them.
fn note(row: &DetectedRow) -> String {
    let (counted, between) = if row.dark {
        ("dark", "bright")
    } else {
        ("bright", "dark")
    };
    let what = match row.narrow {
        Some(true) => format!("{counted} things, narrower than the {between} gaps between them"),
        Some(false) => format!("{counted} gaps, wider than the {between} things between them"),
        None => {
            format!(
                "{counted} bands, about as wide as the {between} ones: say whether dark or bright is meant"
            )
        }
    };
    format!(
        "counted {} {what}; spacing {:.2} pixels, clearness {:.2}",
        row.places.len(),
        row.pitch_px,
        row.clearness
    )
}

/// Reads a length.
pub(super) fn length(text: &str) -> Result<Stated, Problem> {
    Stated::parse(text)
        .ok()
        .filter(|s| s.dimension() == Dimension::LENGTH && s.si() > 0.0)
        .ok_or_else(|| Problem {
            kind: Kind::Unfit(Vec::new()),
            place: None,
            message: format!("“{text}” is not a length"),
            remedy: "write it with its unit, such as \"1 mm\"".into(),
        })
}
