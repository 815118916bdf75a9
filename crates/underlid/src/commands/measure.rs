//! `underlid measure`: sizes on a dossier's photographs.

mod all;
mod known;
mod marks;
mod points;
mod row;
mod told;

use crate::arguments::MeasureArguments;
use crate::failure::Failure;
use crate::{photographs, progress};
use imaging::Grey;
use record::{Applied, Dossier, Draft, EditError, Photo};
use std::path::Path;

pub(crate) fn run(arguments: &MeasureArguments) -> Result<(), Failure> {
    let dossier = super::open(&arguments.folder)?;
    let (Some(at), Some(id)) = (&arguments.at, &arguments.photo) else {
        return all::run(arguments, &dossier);
    };
    let photo = photo(&dossier, id)?;
    let points = points::read(at)?;
    if arguments.row {
        row::run(arguments, &dossier, photo, &points)
    } else if let Some(size) = &arguments.known {
        known::run(arguments, photo, size, &points)
    } else {
        marks::run(arguments, &dossier, photo, &points)
    }
}

fn photo<'d>(dossier: &'d Dossier, id: &str) -> Result<&'d Photo, Failure> {
    dossier.photo(id).ok_or_else(|| {
        let known: Vec<&str> = dossier.photos.iter().map(|p| p.id.as_str()).collect();
        Failure::Outside {
            message: format!("there is no photo with the id \"{id}\""),
            remedy: format!("choose one of: {}", known.join(", ")),
        }
    })
}

/// Reads a photo's pixels in grey.
fn grey(folder: &Path, photo: &Photo) -> Result<Grey, Failure> {
    let path = folder.join("photos").join(&photo.file);
    progress::stage(&format!("looking at {}", path.display()));
    Ok(Grey::of(&photographs::upright(&path)?.picture))
}

/// Changes the text of a dossier: `edit` is told the draft, which is then checked and saved.
fn save(
    folder: &Path,
    edit: impl FnOnce(&mut Draft) -> Result<Applied, EditError>,
) -> Result<(), Failure> {
    let mistakes = |problems: record::Problems| Failure::Dossier(problems.to_string());
    let mut draft = record::open_draft(folder).map_err(mistakes)?;
    edit(&mut draft).map_err(|error| Failure::Outside {
        message: format!(
            "cannot edit {}: {error}",
            folder.join("dossier.toml").display()
        ),
        remedy: "open the dossier again, and edit the text by hand if it stays so".to_string(),
    })?;
    record::save(folder, &draft).map_err(mistakes)?;
    progress::stage(&format!(
        "saved in {}",
        folder.join("dossier.toml").display()
    ));
    Ok(())
}

/// Returns an id that is not taken: the wanted one, or with a number.
fn free_id(wanted: &str, is_taken: impl Fn(&str) -> bool) -> String {
    if !is_taken(wanted) {
        return wanted.to_string();
    }
    (2..)
        .map(|n| format!("{wanted}-{n}"))
        .find(|id| !is_taken(id))
        .unwrap_or_else(|| wanted.to_string())
}
