//! Every measure that the dossier records.

use super::told::{self, Outcome};
use crate::arguments::MeasureArguments;
use crate::failure::Failure;
use crate::{progress, screen};
use record::{Dossier, Photo, PhotoMeasure};

pub(super) fn run(arguments: &MeasureArguments, dossier: &Dossier) -> Result<(), Failure> {
    if let Some(id) = &arguments.photo {
        super::photo(dossier, id)?;
    }
    let wanted = |m: &&PhotoMeasure| arguments.photo.as_ref().is_none_or(|id| *id == m.photo);
    let measures: Vec<&PhotoMeasure> = dossier.current_measures().filter(wanted).collect();
    if measures.is_empty() {
        return Err(Failure::Outside {
            message: "nothing is measured on these photographs yet".to_string(),
            remedy: "mark something of known size: underlid measure FOLDER --photo ID --known \
                     \"50 mm\" --at \"X,Y X,Y\" --save; then a thing: --what diameter --item ID \
                     --at \"X,Y X,Y X,Y\" --save"
                .to_string(),
        });
    }
    let (mut results, mut failed) = (Vec::new(), Vec::new());
    for (n, measure) in measures.iter().enumerate() {
        progress::step(&format!("measuring: {}", measure.id), n + 1, measures.len());
        let photo = super::photo(dossier, &measure.photo)?;
        match Outcome::of(dossier, photo, measure) {
            Ok(result) => results.push(result),
            Err(Failure::Outside { message, .. }) => failed.push(message),
            Err(other) => return Err(other),
        }
    }
    if let Some(folder) = &arguments.pictures {
        let photos: Vec<&Photo> = dossier
            .photos
            .iter()
            .filter(|p| measures.iter().any(|m| m.photo == p.id))
            .collect();
        told::draw(&arguments.folder, dossier, &photos, folder)?;
    }
    screen::print_as(
        arguments.format,
        &told::told(&results, &failed, arguments.format),
    )
}
