//! `underlid picture`: photographs fit to publish.

pub(super) mod numbered;
mod rectified;

use crate::arguments::{Format, PictureArguments};
use crate::failure::Failure;
use crate::screen::shown;
use crate::{progress, screen};
use numbered::{Look, Pictures};
use record::{Dossier, Photo};
use std::fmt::Write as _;
use store::{Output, OutputFile};

/// Names of pictures are the user's, so that only a marker tells a folder of them from one of his own.
pub(super) const PICTURES: Output = Output {
    kind: "pictures",
    unmarked: &[],
};

pub(crate) fn run(arguments: &PictureArguments) -> Result<(), Failure> {
    let default = arguments.folder.join("pictures");
    let into = arguments.into.as_deref().unwrap_or(&default);
    PICTURES.may_fill(into)?;
    let dossier = super::open(&arguments.folder)?;
    let photos = chosen(&dossier, &arguments.photos)?;
    let look = Look {
        dark: arguments.dark,
        column_mm: arguments.column,
    };
    let pictures = Pictures::of(&arguments.folder, &dossier);
    let (mut files, mut remarks) = (Vec::new(), Vec::new());
    for (n, photo) in photos.iter().enumerate() {
        progress::step(&format!("drawing {}", photo.id), n + 1, photos.len());
        let seen = pictures.see(photo)?;
        files.extend(seen.files(&look)?);
        if arguments.rectified && photo.has_reference() {
            let flat = rectified::files(arguments, &seen, &look)?;
            remarks.push(flat.remark);
            files.extend(flat.files);
        }
    }
    PICTURES.write(into, &files)?;
    screen::print_as(
        arguments.format,
        &match arguments.format {
            Format::Json => {
                let names: Vec<&str> = files.iter().map(|f| f.path.as_str()).collect();
                format!(
                    "{:#}\n",
                    serde_json::json!({ "folder": into, "files": names, "rectified": remarks })
                )
            }
            Format::Text => text(into, &files, &remarks),
        },
    )
}

fn chosen<'d>(dossier: &'d Dossier, ids: &[String]) -> Result<Vec<&'d Photo>, Failure> {
    let known: Vec<&str> = dossier.photos.iter().map(|p| p.id.as_str()).collect();
    if let Some(id) = ids.iter().find(|id| !known.contains(&id.as_str())) {
        return Err(Failure::Outside {
            message: format!("there is no photo with the id \"{id}\""),
            remedy: format!("choose one of: {}", known.join(", ")),
        });
    }
    if known.is_empty() {
        return Err(Failure::Outside {
            message: "the dossier has no photographs".to_string(),
            remedy: "put pictures in photos/ and add them under [[photos]]".to_string(),
        });
    }
    let wanted = |p: &&Photo| ids.is_empty() || ids.contains(&p.id);
    Ok(dossier.photos.iter().filter(wanted).collect())
}

fn text(into: &std::path::Path, files: &[OutputFile], remarks: &[String]) -> String {
    let mut out = format!("Pictures in {}:\n", shown(into));
    for file in files {
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "  {:<32} {:>7} kB",
            file.path,
            file.bytes.len().div_ceil(1000)
        );
    }
    for remark in remarks {
        let _ = writeln!(out, "{remark}");
    }
    out
}
