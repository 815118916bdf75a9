//! A row of equal things between two points: the pitch of pins, or the ticks of a ruler.

use super::known::scaled;
use super::{MeasureOptions, Measured, Pixels, marks, points};
use crate::imaging_problem::Work;
use crate::{Kind, Problem};
use imaging::Grey;
use imaging::geometry::{DetectedRow, RowOptions, propose_row};
use quantity::{Dimension, Stated};
use record::{Dossier, MeasureSubject, Photo, Place, Reference, ReferenceShape};

/// How far around the line levels are looked at, pixels.
const AROUND_PX: f64 = 128.0;

pub(super) fn run(
    options: &MeasureOptions,
    dossier: &Dossier,
    photo: &Photo,
    marked: &[[f64; 2]],
    pixels: &Pixels<'_>,
) -> Result<Measured, Problem> {
    let &[from, to] = marked else {
        return Err(Problem {
            kind: Kind::Unfit(Vec::new()),
            place: None,
            message: format!("{} points are given for a row", marked.len()),
            remedy: "mark exactly 2, one at either end of the row".into(),
        });
    };
    let decoded = pixels()?;
    let bound = |i: usize, way: f64| {
        let end = if way < 0.0 {
            from[i].min(to[i])
        } else {
            from[i].max(to[i])
        };
        (end + way * AROUND_PX).max(0.0) as u32
    };
    let near = [bound(0, -1.0), bound(1, -1.0), bound(0, 1.0), bound(1, 1.0)];
    let picture = Grey::within(&decoded.picture, near);
    let [from, to] = [from, to].map(|p| [0, 1].map(|i| p[i] - f64::from(near[i])));
    let wanted = RowOptions {
        count: options.count,
        ..RowOptions::default()
    };
    let mut row = propose_row(&picture, from, to, &wanted)
        .map_err(|why| Problem::of_imaging(Work::FindRow, why, Place::photo(&photo.id).into()))?;
    for place in &mut row.places {
        place.at = [0, 1].map(|i| place.at[i] + f64::from(near[i]));
    }
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
        return scaled(photo, ruler, Some(note));
    }
    let mut measure = marks::new(options, dossier, photo, MeasureSubject::Pitch, at);
    measure.within = Some(within);
    measure.height = options.height.as_deref().map(marks::height).transpose()?;
    measure.note = Some(note);
    marks::finish(dossier, photo, measure)
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
