//! A thing of known size that is marked on a photo.

use super::row::length;
use super::{MeasureOptions, Measured, Pixels, points, snap_options};
use crate::imaging_problem::Work;
use crate::{Kind, Problem, free_id};
use imaging::geometry::{Model, ObjectShape, OutlinePoints, objects, snap_ends, snap_sides};
use methods::photogrammetry::{Measurement, PhotoPlane};
use quantity::Stated;
use record::{Photo, Place, Reference, ReferenceShape};

/// A thing of known size on a photo, and the scale there.
#[derive(Debug)]
pub struct NewReference {
    /// Id of the photo.
    pub photo: String,
    /// As it stands in the record, or would.
    pub reference: Reference,
    /// Millimetres per pixel in its middle; not a number where the view gives none.
    pub mm_per_px: f64,
    /// What is assumed.
    pub notes: Vec<String>,
    /// How it was found, or where its size is from.
    pub found: Option<String>,
}

/// Standard uncertainties in half a 95 % interval.
const HALF_95: f64 = 1.96;

pub(super) fn run(
    options: &MeasureOptions,
    photo: &Photo,
    size: &str,
    marked: &[[f64; 2]],
    pixels: &Pixels<'_>,
) -> Result<Measured, Problem> {
    let thing = Thing::of(size)?;
    let needed = if thing.width.is_some() { 4 } else { 2 };
    if marked.len() != needed {
        return Err(Problem {
            kind: Kind::Unfit(Vec::new()),
            place: None,
            message: format!("{} points are given for {}", marked.len(), thing.name),
            remedy: format!(
                "mark exactly {needed}{}",
                if needed == 4 {
                    ": its corners one after the other, the first side being the length"
                } else {
                    ""
                }
            )
            .into(),
        });
    }
    let points = if thing.width.is_some() {
        OutlinePoints::Sides
    } else {
        OutlinePoints::Corners
    };
    let settled = points::settled(options, photo, marked, points, pixels, |light| {
        let options = snap_options(options);
        match marked {
            &[a, b] => snap_ends(light, [a, b], &options),
            corners => snap_sides(light, corners, &options),
        }
    })?;
    let reference = Reference {
        name: options.name.clone().unwrap_or(thing.name),
        shape: if thing.width.is_some() {
            ReferenceShape::Rectangle
        } else {
            ReferenceShape::Distance
        },
        on_sides: thing.width.is_some() && options.snap,
        at: settled.at,
        length: Some(thing.length),
        width: thing.width,
        marks: Vec::new(),
        pitch: None,
        columns: None,
        within: settled.within,
        snapped: settled.snapped,
    };
    let found = thing.source.into_iter().chain(settled.moves);
    let found = found.collect::<Vec<String>>().join("; ");
    let found = Some(found).filter(|f| !f.is_empty());
    scaled(photo, reference, found)
}

/// Tells what a photo's scale is with one more thing of known size.
pub(super) fn scaled(
    photo: &Photo,
    mut reference: Reference,
    found: Option<String>,
) -> Result<Measured, Problem> {
    reference.name = free_id(&reference.name, |name| {
        photo.references.iter().any(|other| other.name == name)
    });
    let mut with = photo.clone();
    with.references.push(reference.clone());
    let photo_plane = PhotoPlane::of(&with)
        .map_err(|why| Problem::of_imaging(Work::AddKnown, why, Place::photo(&photo.id).into()))?;
    let middle = reference.at.iter().fold([0.0; 2], |sum, p| {
        [0, 1].map(|i: usize| sum[i] + p[i] / reference.at.len() as f64)
    });
    let mm_per_px = photo_plane.plane.mm_per_px(middle).unwrap_or(f64::NAN);
    let notes = photo_plane.notes();
    Ok(Measured::Scale(Box::new(NewReference {
        photo: photo.id.clone(),
        reference,
        mm_per_px,
        notes,
        found,
    })))
}

/// What of known size was named.
pub(super) struct Thing {
    name: String,
    length: Stated,
    pub(super) width: Option<Stated>,
    source: Option<String>,
}

impl Thing {
    /// Reads a size, in front of which may stand what it is that of; or finds a common thing by its name.
    pub(super) fn of(text: &str) -> Result<Self, Problem> {
        if let Some(object) = objects().iter().find(|o| o.name.eq_ignore_ascii_case(text)) {
            let stated = |m: imaging::geometry::Measured| {
                length(&format!(
                    "{} ± {} mm",
                    m.value,
                    tidy(m.uncertainty * 3f64.sqrt())
                ))
            };
            let (length, width) = match object.shape {
                ObjectShape::Rectangle(l, w) => (stated(l)?, Some(stated(w)?)),
                ObjectShape::Diameter(d) | ObjectShape::Pitch(d) => (stated(d)?, None),
            };
            return Ok(Self {
                name: object.name.to_string(),
                length,
                width,
                source: Some(format!("size: {} ({})", object.source, object.status)),
            });
        }
        // What is a size as it stands is one; else words in front of the first digit may name the thing.
        let (called, thing) = match sides(text) {
            Ok(sides) => ("", Ok(sides)),
            Err(why) => match text.find(|c: char| c.is_ascii_digit()) {
                Some(at) if text[..at].contains(char::is_alphabetic) => {
                    let (called, size) = text.split_at(at);
                    (called.trim(), sides(size))
                }
                _ => ("", Err(why)),
            },
        };
        let (length, width) = thing.map_err(|_| {
            let names: Vec<&str> = objects().iter().map(|o| o.name).collect();
            Problem {
                kind: Kind::Unfit(Vec::new()),
                place: None,
                message: format!("“{text}” is neither a size nor a thing of known size"),
                remedy: format!(
                    "write \"50 mm\", \"40 x 30 mm\" or one of: {}",
                    names.join(", ")
                )
                .into(),
            }
        })?;
        Ok(Self {
            name: match (called, &width) {
                ("", Some(_)) => format!("rectangle of {text}"),
                ("", None) => format!("length of {text}"),
                (called, _) => called.to_string(),
            },
            length,
            width,
            source: None,
        })
    }
}

/// Reads a length, or a length and a width.
fn sides(size: &str) -> Result<(Stated, Option<Stated>), Problem> {
    let parts: Vec<&str> = size.split(['x', '×']).map(str::trim).collect();
    match parts.as_slice() {
        // "40 x 30 mm": the unit stands once, behind both.
        [first, second] => {
            let width = length(second)?;
            let unit = second.trim_start_matches(|c: char| !c.is_alphabetic());
            let first = match first.ends_with(char::is_alphabetic) {
                true => (*first).to_string(),
                false => format!("{first} {unit}"),
            };
            Ok((length(&first)?, Some(width)))
        }
        _ => Ok((length(size)?, None)),
    }
}

/// Rounds a half-width to two significant digits.
fn tidy(value: f64) -> f64 {
    format!("{value:.1e}").parse().unwrap_or(value)
}

/// How well a photograph says how large things are on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale {
    /// Pixels of a millimetre in the middle, and half the width of their 95 % interval.
    pub(crate) px_per_mm: [f64; 2],
    /// How far the view is off straight down, degrees; none where what is of known size does not tell.
    pub(crate) tilt_deg: Option<f64>,
}

/// Returns the scale in the middle of a photograph; none where nothing of known size gives one.
pub(crate) fn scale(photo: &Photo, pixels: [u32; 2]) -> Option<Scale> {
    let plane = PhotoPlane::of(photo).ok()?;
    let middle = pixels.map(|v| f64::from(v) / 2.0);
    let half = f64::from(pixels[0].min(pixels[1])) / 4.0;
    let flat = serde_json::json!({
        "id": "scale", "photo": photo.id, "what": "distance", "height": "0 mm", "within": 0.001,
        "at": [[middle[0] - half, middle[1]], [middle[0] + half, middle[1]]],
    });
    let flat = serde_json::from_value(flat).expect("a measure needs an id, a photo, points");
    let taken = Measurement::of(&flat, None, &plane).ok()?;
    let found = &taken.sides.first()?.found;
    let px_per_mm = 2.0 * half / found.value;
    let share = HALF_95 * found.uncertainty / found.value;
    let [least, most] = plane.plane.stretch(middle)?;
    let is_seen = plane.plane.model() == Model::Projective;
    Some(Scale {
        px_per_mm: [px_per_mm, px_per_mm * share],
        // A circle on a tilted plane is seen shortened by the cosine of the tilt.
        tilt_deg: is_seen.then(|| (least / most).min(1.0).acos().to_degrees()),
    })
}
