//! A photograph with numbers at its margins, a scale bar and a legend, as PNG and SVG.

use crate::failure::Failure;
use crate::output::OutputFile;
use crate::photographs;
use imaging::Picture;
use imaging::callout::{
    self, Options, PngStyle, Region, Source, Surroundings, SvgStyle, plan, png, svg,
};
use imaging::pixels::{Encoding, encode};
use methods::Findings;
use record::{Dossier, Photo};
use report::named;
use std::path::Path;

/// How numbered pictures look.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    /// For dark pages.
    pub(crate) dark: bool,
    /// Width of the column, mm.
    pub(crate) column_mm: f64,
}

impl Default for Look {
    fn default() -> Self {
        Self {
            dark: false,
            column_mm: 150.0,
        }
    }
}

impl Look {
    fn surroundings(&self) -> Surroundings {
        if self.dark {
            Surroundings::Dark
        } else {
            Surroundings::Light
        }
    }
}

/// JPEG quality of the photograph inside a drawing.
const QUALITY: u8 = 90;

/// Draws a photo of the dossier.
///
/// # Errors
/// A picture that cannot be read, or in which the numbers find no place.
pub(crate) fn files(
    folder: &Path,
    dossier: &Dossier,
    photo: &Photo,
    look: &Look,
) -> Result<Vec<OutputFile>, Failure> {
    let path = folder.join("photos").join(&photo.file);
    let picture = photographs::upright(&path)?.picture;
    let per_mm = photo.scale.as_ref().and_then(report::pixels_per_mm);
    draw(
        &photo.id,
        &photo.caption,
        &picture,
        per_mm,
        &regions(dossier, photo),
        look,
    )
}

/// Lists what is numbered in a photo: its regions and what was measured on it.
pub(super) fn regions(dossier: &Dossier, photo: &Photo) -> Vec<Region> {
    let findings = Findings {
        format: 1,
        product: dossier.product.name.clone(),
        findings: methods::geometry::examine(dossier),
    };
    named(dossier, &findings, photo)
        .into_iter()
        .map(|named| Region {
            id: named.evidence,
            rect: named.rect.map(f64::from),
            caption: named.words,
            element_id: None,
            traces: named.traces,
        })
        .collect()
}

/// Draws a picture with numbers as `NAME.png` and `NAME.svg`.
///
/// # Errors
/// Numbers that find no place; a picture that cannot be written.
pub(super) fn draw(
    name: &str,
    caption: &str,
    picture: &Picture,
    pixels_per_mm: Option<f64>,
    regions: &[Region],
    look: &Look,
) -> Result<Vec<OutputFile>, Failure> {
    let photo = callout::Photo {
        width: picture.width,
        height: picture.height,
        pixels_per_mm,
    };
    let options = Options {
        column_mm: look.column_mm,
        ..Options::default()
    };
    let plan = plan(&photo, regions, &options).map_err(|why| Failure::Outside {
        message: format!("photograph {name} cannot be numbered: {why}"),
        remedy: "choose a wider column with --column, or fewer regions".to_string(),
    })?;
    let unwritten = |why: String| Failure::Outside {
        message: format!("photograph {name} cannot be drawn: {why}"),
        remedy: "choose a narrower column with --column".to_string(),
    };
    let surroundings = look.surroundings();
    let style = PngStyle {
        surroundings,
        pixels_per_mm: None,
    };
    let drawn = png(&plan, picture, &style).map_err(|e| unwritten(e.to_string()))?;
    let jpeg = encode(picture, Encoding::Jpeg(QUALITY), None, None)
        .map_err(|e| unwritten(e.to_string()))?;
    let source = Source::Embedded {
        media_type: "image/jpeg",
        bytes: &jpeg,
    };
    let style = SvgStyle {
        surroundings,
        follows_reader: false,
        ground: true,
        alternative: caption,
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
