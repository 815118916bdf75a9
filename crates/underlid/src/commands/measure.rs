//! `underlid measure`: sizes on a dossier's photographs.

mod all;
mod known;
mod marks;
mod points;
mod row;
mod told;

use super::picture::PICTURES;
use crate::arguments::MeasureArguments;
use crate::failure::Failure;
use crate::screen::shown;
use crate::{photographs, progress};
use imaging::Grey;
use record::{Dossier, Draft, EditError, Photo};
use std::path::Path;

pub(crate) fn run(arguments: &MeasureArguments) -> Result<(), Failure> {
    if let Some(folder) = &arguments.pictures {
        PICTURES.may_fill(folder)?;
    }
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
    let path = folder.join(photographs::inside(&photo.file));
    progress::stage(&format!("looking at {}", shown(&path)));
    Ok(Grey::of(
        &photographs::upright(folder, &photo.file)?.picture,
    ))
}

/// Changes the text of a dossier: `edit` is told what is recorded now, which other runs may have added to, and
/// changes it; then it is checked and saved.
fn save<T>(
    folder: &Path,
    edit: impl FnOnce(&mut Draft, &Dossier) -> Result<T, Failure>,
) -> Result<T, Failure> {
    let answer = store::edit(folder, edit)?;
    progress::stage(&format!("saved in {}", shown(folder.join("dossier.toml"))));
    Ok(answer)
}

/// An edit that no longer fits what is recorded now.
fn refused(error: EditError) -> Failure {
    Failure::Outside {
        message: format!("the edit was not made: {error}"),
        remedy: "another run may have changed the dossier meanwhile; repeat the command"
            .to_string(),
    }
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
