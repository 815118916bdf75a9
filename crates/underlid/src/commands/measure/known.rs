//! A thing of known size that is marked on a photo.

use super::row::length;
use super::{points, refused, save};
use crate::arguments::{Format, MeasureArguments};
use crate::failure::Failure;
use crate::screen;
use imaging::geometry::{ObjectShape, SnapOptions, objects, snap_ends, snap_sides};
use methods::sight::Sight;
use quantity::Stated;
use record::{Photo, Reference, ReferenceShape};

pub(super) fn run(
    arguments: &MeasureArguments,
    photo: &Photo,
    size: &str,
    marked: &[[f64; 2]],
) -> Result<(), Failure> {
    let thing = Thing::of(size)?;
    let needed = if thing.width.is_some() { 4 } else { 2 };
    if marked.len() != needed {
        return Err(Failure::Outside {
            message: format!("{} points are given for {}", marked.len(), thing.name),
            remedy: format!(
                "mark exactly {needed}{}",
                if needed == 4 {
                    ": its corners one after the other, the first side being the length"
                } else {
                    ""
                }
            ),
        });
    }
    let (at, within) = points::settled(arguments, photo, marked, |picture| {
        let options = SnapOptions::default();
        match marked {
            &[a, b] => snap_ends(picture, [a, b], &options).map(|ends| ends.to_vec()),
            corners => snap_sides(picture, corners, &options),
        }
    })?;
    let reference = Reference {
        name: arguments.name.clone().unwrap_or(thing.name),
        shape: if thing.width.is_some() {
            ReferenceShape::Rectangle
        } else {
            ReferenceShape::Distance
        },
        on_sides: thing.width.is_some() && arguments.snap,
        at,
        length: Some(thing.length),
        width: thing.width,
        marks: Vec::new(),
        pitch: None,
        columns: None,
        within,
    };
    keep(arguments, photo, reference, thing.source)
}

/// Tells what a photo's scale is with one more thing of known size, and keeps it if asked to.
pub(super) fn keep(
    arguments: &MeasureArguments,
    photo: &Photo,
    reference: Reference,
    note: Option<String>,
) -> Result<(), Failure> {
    let mut with = photo.clone();
    with.references.push(reference.clone());
    let sight = Sight::of(&with).map_err(|why| Failure::Outside {
        message: why,
        remedy: "mark its points again, as far apart as the picture allows".to_string(),
    })?;
    if arguments.save {
        save(&arguments.folder, |draft, _| {
            draft.add_reference(&photo.id, &reference).map_err(refused)
        })?;
    }
    let middle = reference.at.iter().fold([0.0; 2], |sum, p| {
        [0, 1].map(|i: usize| sum[i] + p[i] / reference.at.len() as f64)
    });
    let mm_per_px = sight.plane.mm_per_px(middle).unwrap_or(f64::NAN);
    let notes = sight.notes();
    screen::print_as(
        arguments.format,
        &match arguments.format {
            Format::Json => format!(
                "{:#}\n",
                serde_json::json!({
                    "photo": photo.id,
                    "reference": reference,
                    "mm-per-pixel": mm_per_px,
                    "notes": notes,
                    "found": note,
                })
            ),
            Format::Text => {
                let mut text = format!(
                    "{} in photograph {}: {:.5} mm per pixel there\n",
                    reference.name, photo.id, mm_per_px
                );
                for line in note.iter().chain(&notes) {
                    text += &format!("  {line}\n");
                }
                text
            }
        },
    )
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
    fn of(text: &str) -> Result<Self, Failure> {
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
            Failure::Outside {
                message: format!("“{text}” is neither a size nor a thing of known size"),
                remedy: format!(
                    "write \"50 mm\", \"40 x 30 mm\" or one of: {}",
                    names.join(", ")
                ),
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
