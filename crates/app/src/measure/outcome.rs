//! What came out of measures, as data and as pictures of what was measured.

use crate::imaging_problem::Work;
use crate::picture::PICTURES;
use crate::picture::numbered::{PictureStyle, Pictures};
use crate::shown;
use crate::{Problem, Watch, typefaces};
use methods::photogrammetry::{Measurement, MeasurementSheet, PhotoPlane};
use quantity::{Figure, Sheet, Term};
use record::{Dossier, Photo, PhotoMeasure, Place};
use std::path::Path;

/// A measure worked out.
#[derive(Debug)]
pub struct Outcome {
    /// As it stands in the record.
    pub measure: PhotoMeasure,
    /// What the points give, with the working.
    pub figures: Vec<Figure>,
    /// What is assumed.
    pub notes: Vec<String>,
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
    ) -> Result<Self, Problem> {
        let fault = |why: String| {
            Problem::of_imaging(Work::Measure, why, Place::measure(&measure.id).into())
        };
        let photo_plane = PhotoPlane::of(photo).map_err(fault)?;
        let item = measure.item.as_deref().and_then(|id| dossier.item(id));
        let taken = Measurement::of(measure, item, &photo_plane).map_err(fault)?;
        let sheet = Sheet::new();
        let desk = MeasurementSheet::new(&sheet);
        let figures = desk
            .terms(&photo.id, &photo_plane, &taken)
            .and_then(|terms| {
                let figure = |term: &Term<'_>| sheet.figure(*term).map_err(|e| e.to_string());
                terms.iter().map(figure).collect::<Result<Vec<_>, _>>()
            })
            .map_err(|why| fault(format!("{}: {why}", Place::measure(&measure.id))))?;
        let mut notes = photo_plane.notes();
        notes.extend(photo_plane.height_notes(&taken.lift, item));
        Ok(Self {
            measure: measure.clone(),
            figures,
            notes,
        })
    }
}

/// Writes a picture of every photo with what was measured on it.
pub(super) fn draw(
    folder: &Path,
    dossier: &Dossier,
    photos: &[&Photo],
    into: &Path,
    watch: &dyn Watch,
) -> Result<(), Problem> {
    let pictures = Pictures::of(folder, dossier);
    let look = PictureStyle {
        typefaces: typefaces::for_dossier(
            dossier,
            &report::json(pictures.findings()),
            None,
            watch,
        )?,
        ..PictureStyle::default()
    };
    if let Some(warning) = look.typefaces.warning() {
        watch.note(&warning);
    }
    let mut files = Vec::new();
    for (n, photo) in photos.iter().enumerate() {
        watch.step(&format!("drawing {}", photo.id), n + 1, photos.len());
        files.extend(pictures.see(photo)?.files(&look)?);
    }
    PICTURES.write(into, &files)?;
    watch.stage(&format!("{} pictures in {}", files.len(), shown(into)));
    Ok(())
}
