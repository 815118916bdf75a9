//! One new measure from points marked on a photo.

use super::outcome::Outcome;
use super::{MeasureOptions, Measured, Pixels, points, snap_options};
use crate::free_id;
use crate::{Kind, Problem, Remedy};
use imaging::Light;
use imaging::geometry::{
    OutlinePoints, SnapError, SnapOptions, Snapped, snap_ends, snap_rim, snap_sides,
};
use quantity::{Dimension, Stated};
use record::{Dossier, MeasureSubject, Photo, PhotoMeasure, Place};

pub(super) fn run(
    options: &MeasureOptions,
    recorded: &Dossier,
    photo: &Photo,
    marked: &[[f64; 2]],
    pixels: &Pixels<'_>,
) -> Result<Measured, Problem> {
    let what = subject(options.what.as_deref().unwrap_or("distance"))?;
    check_count(what, marked.len())?;
    if let Some(item) = &options.item
        && recorded.item(item).is_none()
    {
        return Err(Problem {
            kind: Kind::Missing,
            place: Some(Place::dossier().at("items").into()),
            message: format!("there is no item with the id \"{item}\""),
            remedy: Remedy::NameItem,
        });
    }
    let points = if what.is_outline() {
        OutlinePoints::Sides
    } else {
        OutlinePoints::Corners
    };
    let settled = points::settled(options, photo, marked, points, pixels, |light| {
        snapped(light, what, marked, &snap_options(options))
    })?;
    let note = options.snap.then(|| {
        format!(
            "moved to the edges that the picture shows: {}",
            settled.moves.join("; ")
        )
    });
    let mut measure = new(options, recorded, photo, what, settled.at);
    measure.on_sides = options.snap && what.is_outline();
    measure.within = settled.within;
    measure.snapped = settled.snapped;
    measure.height = options.height.as_deref().map(height).transpose()?;
    measure.note = note;
    finish(recorded, photo, measure)
}

/// Starts a measure with an id of its own; it takes the place of an older one of the same thing.
pub(super) fn new(
    options: &MeasureOptions,
    dossier: &Dossier,
    photo: &Photo,
    what: MeasureSubject,
    at: Vec<[f64; 2]>,
) -> PhotoMeasure {
    let measure = PhotoMeasure {
        id: String::new(),
        photo: photo.id.clone(),
        item: options.item.clone(),
        region: None,
        what,
        at,
        on_sides: false,
        within: None,
        snapped: Vec::new(),
        steps: Vec::new(),
        height: None,
        replaces: None,
        note: None,
    };
    placed(measure, dossier)
}

/// Gives a measure its id and what it takes the place of, among what is recorded.
pub(super) fn placed(measure: PhotoMeasure, dossier: &Dossier) -> PhotoMeasure {
    let PhotoMeasure { item, what, .. } = &measure;
    let of = item.as_deref().unwrap_or(&measure.photo);
    let id = free_id(&format!("{of}-{}", what.word()), |id| {
        dossier.measure(id).is_some()
    });
    let replaces = dossier
        .current_measures()
        .find(|m| m.what == *what && m.item.is_some() && m.item == *item)
        .map(|m| m.id.clone());
    PhotoMeasure {
        id,
        replaces,
        ..measure
    }
}

/// Works a new measure out.
pub(super) fn finish(
    recorded: &Dossier,
    photo: &Photo,
    measure: PhotoMeasure,
) -> Result<Measured, Problem> {
    let mut with = recorded.clone();
    with.measures.push(measure.clone());
    // The measure is not recorded yet, the photo is.
    let result = Outcome::of(&with, photo, &measure)
        .map_err(|problem| problem.about(Place::photo(&photo.id)))?;
    Ok(Measured::Sizes {
        results: vec![result],
        failed: Vec::new(),
    })
}

pub(super) fn subject(word: &str) -> Result<MeasureSubject, Problem> {
    MeasureSubject::ALL
        .into_iter()
        .find(|s| s.word() == word)
        .ok_or_else(|| {
            let words: Vec<&str> = MeasureSubject::ALL.iter().map(|s| s.word()).collect();
            Problem {
                kind: Kind::Unfit(Vec::new()),
                place: None,
                message: format!("“{word}” is nothing that can be measured"),
                remedy: format!("choose one of: {}", words.join(", ")).into(),
            }
        })
}

fn check_count(what: MeasureSubject, found: usize) -> Result<(), Problem> {
    let (least, most) = what.points();
    if (least..=most).contains(&found) {
        return Ok(());
    }
    let wanted = if least == most {
        format!("exactly {least}")
    } else {
        format!("at least {least}")
    };
    Err(Problem {
        kind: Kind::Unfit(Vec::new()),
        place: None,
        message: format!("{found} points are given for {}", what.word()),
        remedy: format!("mark {wanted}").into(),
    })
}

fn snapped(
    light: &Light<'_>,
    what: MeasureSubject,
    marked: &[[f64; 2]],
    options: &SnapOptions,
) -> Result<Snapped, SnapError> {
    match (what, marked) {
        (MeasureSubject::Diameter, points) => snap_rim(light, points, options),
        (outline, corners) if outline.is_outline() => snap_sides(light, corners, options),
        (_, &[a, b]) => snap_ends(light, [a, b], options),
        _ => Err(SnapError::NotOne {
            what: "one straight line; mark these points by hand",
        }),
    }
}

/// Reads a height above the plane of the things of known size.
pub(super) fn height(text: &str) -> Result<Stated, Problem> {
    match Stated::parse(text) {
        Ok(stated) if stated.dimension() == Dimension::LENGTH => Ok(stated),
        Ok(stated) => Err(Problem {
            kind: Kind::Unfit(Vec::new()),
            place: None,
            message: format!("the height must be a length, found {stated}"),
            remedy: Remedy::WriteHeight,
        }),
        Err(why) => Err(Problem {
            kind: Kind::Unfit(Vec::new()),
            place: None,
            message: format!("the height “{text}”: {why}"),
            remedy: Remedy::WriteHeight,
        }),
    }
}
