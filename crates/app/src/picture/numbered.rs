//! A photograph with numbers at its margins, a scale bar and a legend, as PNG and SVG.

use crate::imaging_problem::Work;
use crate::photographs;
use crate::{At, Problem};
use callout::{self, Options, PngStyle, Region, Source, Surroundings, SvgStyle, plan, png, svg};
use imaging::Picture;
use imaging::pixels::{self, Encoding, encode};
use lettering::Typefaces;
use methods::photogrammetry::pixels_per_mm;
use methods::{Case, Findings, Known, geometry};
use record::{Dossier, Photo, Place};
use report::named;
use std::path::Path;
use store::OutputFile;

/// How numbered pictures look.
#[derive(Debug, Clone)]
pub(crate) struct PictureStyle {
    /// For dark pages.
    pub(crate) dark: bool,
    /// Width of the column, mm.
    pub(crate) column_mm: f64,
    /// Typefaces for what the packed ones lack.
    pub(crate) typefaces: Typefaces,
}

impl Default for PictureStyle {
    fn default() -> Self {
        Self {
            dark: false,
            column_mm: 150.0,
            typefaces: Typefaces::default(),
        }
    }
}

impl PictureStyle {
    fn surroundings(&self) -> Surroundings {
        if self.dark {
            Surroundings::Dark
        } else {
            Surroundings::Light
        }
    }
}

/// JPEG quality of the photograph inside a drawing: colours at half resolution, as cameras keep them. The plain
/// rectified file is the one without loss.
const QUALITY: u8 = 89;

/// The pictures of a dossier: what was measured on its photographs is worked out once for all.
pub(crate) struct Pictures<'d> {
    folder: &'d Path,
    dossier: &'d Dossier,
    findings: Findings,
}

/// A photograph read, with what is numbered in it.
pub(crate) struct Seen<'d> {
    pub(super) photo: &'d Photo,
    pub(super) decoded: pixels::Photo,
    pub(super) regions: Vec<Region>,
}

impl<'d> Pictures<'d> {
    /// Makes ready what all of them need.
    pub(crate) fn of(folder: &'d Path, dossier: &'d Dossier) -> Self {
        let known = Known::default();
        let measured = geometry::examine(&Case::new(dossier, &known));
        Self {
            folder,
            dossier,
            findings: Findings {
                format: methods::FINDINGS_FORMAT,
                product: dossier.product.name.clone(),
                findings: measured.expect("nobody watches a new case, so nobody stops the work"),
            },
        }
    }

    /// Returns what was found out about the photographs.
    pub(crate) fn findings(&self) -> &Findings {
        &self.findings
    }

    /// Reads a photo and lists its regions and what was measured on it.
    ///
    /// # Errors
    /// A picture that cannot be read.
    pub(crate) fn see<'p>(&self, photo: &'p Photo) -> Result<Seen<'p>, Problem> {
        let regions = named(self.dossier, &self.findings, photo)
            .into_iter()
            .map(|named| Region {
                id: named.place.to_string(),
                rect: named.rect.map(f64::from),
                caption: named.words,
                element_id: None,
                traces: named.traces,
            })
            .collect();
        let mut decoded = photographs::upright(self.folder, &photo.file)?;
        let masks = photographs::published::private(self.dossier, &photo.file);
        callout::withhold(&mut decoded.picture, &masks);
        Ok(Seen {
            photo,
            decoded,
            regions,
        })
    }
}

impl Seen<'_> {
    /// Draws the photograph as it was taken.
    ///
    /// # Errors
    /// Numbers that find no place; a picture that cannot be written.
    pub(crate) fn files(&self, look: &PictureStyle) -> Result<Vec<OutputFile>, Problem> {
        let photo = self.photo;
        let per_mm = pixels_per_mm(photo);
        draw(
            &photo.id,
            photo,
            (&self.decoded.picture, self.decoded.profile.as_deref()),
            per_mm,
            &self.regions,
            look,
        )
    }
}

/// Draws a picture, given with its colour profile, with numbers as `NAME.png` and `NAME.svg`.
///
/// # Errors
/// Numbers that find no place; a picture that cannot be written.
pub(super) fn draw(
    name: &str,
    photo: &Photo,
    (picture, profile): (&Picture, Option<&[u8]>),
    pixels_per_mm: Option<f64>,
    regions: &[Region],
    look: &PictureStyle,
) -> Result<Vec<OutputFile>, Problem> {
    let place = || At::Record(Place::photo(&photo.id));
    let size = callout::Photo {
        width: picture.width,
        height: picture.height,
        pixels_per_mm,
    };
    let options = Options {
        column_mm: look.column_mm,
        typefaces: look.typefaces.clone(),
        ..Options::default()
    };
    let plan = plan(&size, regions, &options)
        .map_err(|why| Problem::of_imaging(Work::Number(name), why, place()))?;
    let unwritten = |why: String| Problem::of_imaging(Work::Draw(name), why, place());
    let surroundings = look.surroundings();
    let style = PngStyle {
        surroundings,
        pixels_per_mm: None,
        profile,
    };
    let drawn = png(&plan, picture, &style).map_err(|e| unwritten(e.to_string()))?;
    let jpeg = encode(picture, Encoding::Jpeg(QUALITY), None, profile)
        .map_err(|e| unwritten(e.to_string()))?;
    let source = Source::Embedded {
        media_type: "image/jpeg",
        bytes: &jpeg,
    };
    let style = SvgStyle {
        surroundings,
        follows_reader: false,
        ground: true,
        alternative: &photo.caption,
    };
    Ok(vec![
        OutputFile {
            path: format!("{name}.png"),
            bytes: drawn,
        },
        OutputFile {
            path: format!("{name}.svg"),
            bytes: svg(&plan, &source, &style).into_bytes(),
        },
    ])
}
