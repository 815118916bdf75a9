//! A thing of known size that is marked on a photo.

use super::row::length;
use super::{MeasureOptions, Measured, points, snap_options};
use crate::imaging_problem::Work;
use crate::{Kind, Problem, Watch, dossier};
use imaging::geometry::{ObjectShape, OutlinePoints, objects, snap_ends, snap_sides};
use methods::photogrammetry::PhotoPlane;
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

pub(super) fn run(
    options: &MeasureOptions,
    photo: &Photo,
    size: &str,
    marked: &[[f64; 2]],
    watch: &dyn Watch,
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
    let settled = points::settled(options, photo, marked, points, watch, |light| {
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
    keep(options, photo, reference, found, watch)
}

/// Tells what a photo's scale is with one more thing of known size, and keeps it if asked to.
pub(super) fn keep(
    options: &MeasureOptions,
    photo: &Photo,
    reference: Reference,
    found: Option<String>,
    watch: &dyn Watch,
) -> Result<Measured, Problem> {
    let mut with = photo.clone();
    with.references.push(reference.clone());
    let photo_plane = PhotoPlane::of(&with)
        .map_err(|why| Problem::of_imaging(Work::AddKnown, why, Place::photo(&photo.id).into()))?;
    if options.save {
        dossier::edit(
            &options.folder,
            |draft, _| Ok(draft.add(&Place::photo(&photo.id).at("references"), &reference)?),
            watch,
        )?;
    }
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
struct Thing {
    name: String,
    length: Stated,
    width: Option<Stated>,
    source: Option<String>,
}

impl Thing {
    /// Reads a size, or finds a common thing by its name.
    fn of(text: &str) -> Result<Self, Problem> {
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
        let parts: Vec<&str> = text.split(['x', '×']).map(str::trim).collect();
        let thing = match parts.as_slice() {
            [one] => length(one).map(|length| (length, None)),
            // "40 x 30 mm": the unit stands once, behind both.
            [first, second] => length(second).and_then(|width| {
                let unit = second.trim_start_matches(|c: char| !c.is_alphabetic());
                let first = if first.ends_with(char::is_alphabetic) {
                    (*first).to_string()
                } else {
                    format!("{first} {unit}")
                };
                Ok((length(&first)?, Some(width)))
            }),
            _ => length(text).map(|length| (length, None)),
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
            name: if width.is_some() {
                format!("rectangle of {text}")
            } else {
                format!("length of {text}")
            },
            length,
            width,
            source: None,
        })
    }
}

/// Rounds a half-width to two significant digits.
fn tidy(value: f64) -> f64 {
    format!("{value:.1e}").parse().unwrap_or(value)
}
