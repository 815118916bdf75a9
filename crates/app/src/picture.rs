//! Photographs fit to publish: with numbers and a legend, and as seen from straight above.
//!
//! In: a dossier's folder and which of its photographs. Out: a folder of pictures, written whole.

pub(crate) mod numbered;
mod rectified;

use crate::{Problem, Watch, dossier, finite, typefaces};
use lettering::Typefaces;
use numbered::{PictureStyle, Pictures};
use record::{Dossier, Photo, Place};
use std::path::{Path, PathBuf};
use store::{Output, OutputFile};

/// Names of pictures are the user's, so that only a marker tells a folder of them from one of his own.
pub(crate) const PICTURES: Output = Output {
    kind: "pictures",
    unmarked: &[],
};

/// Which pictures to write, and how.
#[derive(Debug, Clone)]
pub struct PictureOptions {
    /// The dossier's folder.
    pub folder: PathBuf,
    /// Photo ids; all if none is given.
    pub photos: Vec<String>,
    /// Folder for the pictures; `pictures` in the dossier's folder if not given.
    pub into: Option<PathBuf>,
    /// Whether, and how, each photo with something of known size is also shown from straight above.
    pub rectify: Option<Rectify>,
    /// Light lines for a dark page.
    pub dark: bool,
    /// Width of the column that the pictures are made for, mm.
    pub column_mm: f64,
    /// Folders with typefaces for what the packed ones lack; those of the system if not given.
    pub typefaces: Option<Vec<PathBuf>>,
}

impl PictureOptions {
    /// All photographs of a dossier with numbers, for a light page.
    pub fn of(folder: &Path) -> Self {
        let look = PictureStyle::default();
        Self {
            folder: folder.to_path_buf(),
            photos: Vec::new(),
            into: None,
            rectify: None,
            dark: look.dark,
            column_mm: look.column_mm,
            typefaces: None,
        }
    }
}

/// How rectified pictures are made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectify {
    /// Pixels per millimetre; about those of the photo if not given.
    pub per_mm: Option<f64>,
    /// How values between pixels are made.
    pub kernel: Kernel,
}

/// Interpolation of rectified pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kernel {
    /// From 2 × 2 pixels.
    Bilinear,
    /// From 4 × 4 pixels.
    Cubic,
    /// From 8 × 8 pixels.
    Lanczos,
}

/// Pictures that were written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pictured {
    /// Where they lie.
    pub into: PathBuf,
    /// Their files.
    pub files: Vec<OutputFile>,
    /// Scale and size of each rectified picture, in words.
    pub remarks: Vec<String>,
    /// Typefaces that were needed beyond the packed ones, and characters that none has.
    pub typefaces: Typefaces,
}

/// Writes pictures of a dossier's photographs.
///
/// # Errors
/// The dossier's mistakes; a photo that is not there or cannot be read; numbers that find no place; a folder
/// that may not be filled.
pub fn picture(options: &PictureOptions, watch: &dyn Watch) -> Result<Pictured, Problem> {
    let into = options
        .into
        .clone()
        .unwrap_or_else(|| options.folder.join("pictures"));
    finite::above_zero("the width of the column", Some(options.column_mm))?;
    let per_mm = options.rectify.and_then(|r| r.per_mm);
    finite::above_zero("the number of pixels per millimetre", per_mm)?;
    PICTURES.may_fill(&into)?;
    let dossier = dossier::open(&options.folder, watch)?;
    let photos = chosen(&dossier, &options.photos)?;
    let pictures = Pictures::of(&options.folder, &dossier);
    let look = PictureStyle {
        dark: options.dark,
        column_mm: options.column_mm,
        typefaces: typefaces::for_dossier(
            &dossier,
            &report::json(pictures.findings()),
            options.typefaces.as_deref(),
            watch,
        )?,
    };
    let (mut files, mut remarks) = (Vec::new(), Vec::new());
    for (n, photo) in photos.iter().enumerate() {
        if !watch.goes_on() {
            return Err(Problem::stopped());
        }
        watch.step(&format!("drawing {}", photo.id), n + 1, photos.len());
        let seen = pictures.see(photo)?;
        files.extend(seen.files(&look)?);
        if let Some(rectify) = options.rectify.as_ref().filter(|_| photo.has_reference()) {
            let flat = rectified::files(rectify, seen, &look, watch)?;
            remarks.push(flat.remark);
            files.extend(flat.files);
        }
    }
    PICTURES.write(&into, &files)?;
    Ok(Pictured {
        into,
        files,
        remarks,
        typefaces: look.typefaces,
    })
}

fn chosen<'d>(dossier: &'d Dossier, ids: &[String]) -> Result<Vec<&'d Photo>, Problem> {
    if let Some(id) = ids.iter().find(|id| dossier.photo(id).is_none()) {
        return Err(no_photo(dossier, id));
    }
    if dossier.photos.is_empty() {
        return Err(Problem::missing(
            "the dossier has no photographs",
            "put pictures in photos/ and add them under [[photos]]",
        )
        .about(Place::dossier().at("photos")));
    }
    let wanted = |p: &&Photo| ids.is_empty() || ids.contains(&p.id);
    Ok(dossier.photos.iter().filter(wanted).collect())
}

/// Tells that no photo has this id, and which there are.
pub(crate) fn no_photo(dossier: &Dossier, id: &str) -> Problem {
    let known: Vec<&str> = dossier.photos.iter().map(|p| p.id.as_str()).collect();
    Problem::missing(
        format!("there is no photo with the id \"{id}\""),
        format!("choose one of: {}", known.join(", ")),
    )
    .about(Place::dossier().at("photos"))
}
