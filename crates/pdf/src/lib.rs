//! The report as a PDF: A4, contents, bookmarks, numbered tables and figures, tagged.
//!
//! In: a [`Document`]. Out: the bytes of the file; the same document gives the same bytes.
//! Not here: what is said and in which order (`compose`); reading photographs.
//!
//! Typesetting is done by Typst in this process. The template is fixed (`report.typ`) and receives
//! the document as a data file, so no text of a dossier is ever read as markup. Nothing of the
//! machine is seen by the template: no disk, no clock, no network. Characters that the typefaces shipped here lack come
//! from those that the document carries.

mod cards;
mod columns;
mod data;
mod finding;
mod head;
mod link;
mod overlay;
mod pictures;
mod references;
mod sheet;
mod world;

pub use link::{LinkPicture, link_picture};
pub use overlay::{OVERLAY_HEIGHT, OVERLAY_WIDTH, OverlayPicture, overlay_pictures};

use data::Part;
use references::References;
use report::Document;
use std::collections::BTreeMap;
use typst::diag::SourceDiagnostic;
use typst::foundations::Smart;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};
use world::Template;

/// Results of earlier reports kept in the typesetter's cache; older ones are dropped, so that a
/// long-running process does not grow.
const REPORTS_REMEMBERED: usize = 2;

/// Why no PDF was made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PdfError {
    /// The pages could not be laid out.
    #[error("the pages could not be laid out: {0}")]
    Layout(String),
    /// The pages could not be written as PDF.
    #[error("the PDF could not be written: {0}")]
    Write(String),
}

/// Returns the report as a PDF file.
///
/// Pictures that cannot be decoded are replaced by a note in their place. The file follows
/// PDF/UA-1 (accessible PDF) where the content allows it; otherwise, for example with characters
/// that none of the embedded typefaces has, it is still tagged.
///
/// # Errors
/// [`PdfError`] when the typesetter refuses, with its own words.
pub fn pdf(document: &Document) -> Result<Vec<u8>, PdfError> {
    set(document, Part::Report, &References::none(document)).map(|(bytes, _)| bytes)
}

/// Returns the working behind the report as a PDF file: every finding, the record, the sources.
///
/// # Errors
/// As [`pdf`].
pub fn working(document: &Document) -> Result<Vec<u8>, PdfError> {
    set(document, Part::Working, &References::none(document)).map(|(bytes, _)| bytes)
}

/// The report on paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Papers {
    /// What every reader reads; leads into `working`, which lies beside it as `working.pdf`.
    pub report: Vec<u8>,
    /// Every finding, the record, the sources.
    pub working: Vec<u8>,
    /// The product on one page.
    pub sheet: Vec<u8>,
}

/// Returns all files on paper. The working comes first, so that the report knows its pages.
///
/// # Errors
/// As [`pdf`].
pub fn papers(document: &Document) -> Result<Papers, PdfError> {
    let (working, pages) = set(document, Part::Working, &References::none(document))?;
    let references = References::with_pages(document, &pages);
    let (report, _) = set(document, Part::Report, &references)?;
    Ok(Papers {
        report,
        working,
        sheet: sheet(document)?,
    })
}

/// Returns the product on exactly one page: where it does not fit, lists are shortened, what holds first.
///
/// # Errors
/// As [`pdf`].
pub fn sheet(document: &Document) -> Result<Vec<u8>, PdfError> {
    for cut in 0..sheet::CUTS {
        let pages = compile(document, Template::Sheet, sheet::data(document, cut))?;
        if pages.pages().len() == 1 || cut + 1 == sheet::CUTS {
            return write(&pages);
        }
    }
    Err(PdfError::Layout("the sheet has no form".into()))
}

/// Returns a file and where its findings lie.
fn set(
    document: &Document,
    part: Part,
    references: &References,
) -> Result<(Vec<u8>, BTreeMap<String, usize>), PdfError> {
    let data = data::data(document, part, references);
    let pages = compile(document, Template::Report, data)?;
    Ok((write(&pages)?, references::pages(&pages)))
}

fn compile(
    document: &Document,
    template: Template,
    data: data::Data,
) -> Result<PagedDocument, PdfError> {
    let world = world::ReportWorld::new(template, data, &document.typefaces);
    let result = typst::compile::<PagedDocument>(&world)
        .output
        .map_err(|errors| PdfError::Layout(words(&errors)));
    comemo::evict(REPORTS_REMEMBERED);
    result
}

/// Writes the pages, strictly accessible if possible.
fn write(pages: &PagedDocument) -> Result<Vec<u8>, PdfError> {
    let options = |standards| PdfOptions {
        standards,
        creator: Smart::Custom(Some(format!("Underlid {}", env!("CARGO_PKG_VERSION")))),
        ..PdfOptions::default()
    };
    if let Ok(accessible) = PdfStandards::new(&[PdfStandard::Ua_1])
        && let Ok(bytes) = typst_pdf::pdf(pages, &options(accessible))
    {
        return Ok(bytes);
    }
    typst_pdf::pdf(pages, &options(PdfStandards::default()))
        .map_err(|errors| PdfError::Write(words(&errors)))
}

/// Joins the typesetter's messages.
fn words(errors: &[SourceDiagnostic]) -> String {
    errors
        .iter()
        .map(|e| e.message.as_str())
        .collect::<Vec<_>>()
        .join("; ")
}
