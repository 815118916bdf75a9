//! Every measure that the dossier records.

use super::outcome::{self, Outcome};
use super::{MeasureOptions, Measured};
use crate::{Problem, Remedy, Watch};
use record::{Dossier, Photo, PhotoMeasure, Place};

pub(super) fn run(
    options: &MeasureOptions,
    dossier: &Dossier,
    watch: &dyn Watch,
) -> Result<Measured, Problem> {
    if let Some(id) = &options.photo {
        super::photo(dossier, id)?;
    }
    let wanted = |m: &&PhotoMeasure| options.photo.as_ref().is_none_or(|id| *id == m.photo);
    let measures: Vec<&PhotoMeasure> = dossier.current_measures().filter(wanted).collect();
    if measures.is_empty() {
        return Err(Problem::missing(
            "nothing is measured on these photographs yet",
            Remedy::MarkFirst,
        )
        .about(match &options.photo {
            Some(id) => Place::photo(id),
            None => Place::dossier().at("measures"),
        }));
    }
    let (mut results, mut failed) = (Vec::new(), Vec::new());
    for (n, measure) in measures.iter().enumerate() {
        if !watch.goes_on() {
            return Err(Problem::stopped());
        }
        watch.step(&format!("measuring: {}", measure.id), n + 1, measures.len());
        let photo = super::photo(dossier, &measure.photo)?;
        match Outcome::of(dossier, photo, measure) {
            Ok(result) => results.push(result),
            Err(problem) => failed.push(problem.message),
        }
    }
    if let Some(folder) = &options.pictures {
        let photos: Vec<&Photo> = dossier
            .photos
            .iter()
            .filter(|p| measures.iter().any(|m| m.photo == p.id))
            .collect();
        outcome::draw(&options.folder, dossier, &photos, folder, watch)?;
    }
    Ok(Measured::Sizes { results, failed })
}
