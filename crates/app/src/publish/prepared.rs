//! A report before it is written: examined and composed once, then made output by output.
//!
//! In: a dossier's folder, what to leave out, the version before. Out: the files of each output, so that one that
//! cannot be made leaves the others.
//! Not here: where they go (`publish`, `desk`).

use super::edition::{Dated, edition};
use super::{begin, withheld};
use crate::imaging_problem::Work;
use crate::photographs::PicturesKept;
use crate::{At, Problem, Watch, bundle, dossier, examine, photographs, typefaces};
use bundle::Bundle;
use imaging::pixels::{self, Encoding};
use library::LeavingOut;
use methods::{Findings, Others};
use record::Dossier;
use report::{Document, Edition, Photographs};
use std::path::PathBuf;
use store::OutputFile;

/// What to prepare.
#[derive(Debug, Clone, Default)]
pub struct Preparing {
    /// The dossier's folder.
    pub folder: PathBuf,
    /// Whether a bundle stands beside the report.
    pub bundle: bool,
    /// Whether what a film needs stands beside it.
    pub film: bool,
    /// Catalogues of known parts besides those in the folder.
    pub catalogues: Vec<PathBuf>,
    /// Folders with typefaces; those of the system if not given.
    pub typefaces: Option<Vec<PathBuf>>,
    /// The day and the reason; none where it says no version.
    pub dated: Option<Dated>,
    /// The version before, with what it found.
    pub earlier: Option<(Findings, Edition)>,
    /// What is left out.
    pub leaving_out: LeavingOut,
    /// Pictures kept from earlier reports.
    pub kept: PicturesKept,
    /// What a library holds of other products that may be named.
    pub others: Others,
}

/// One output of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Out {
    /// The page and the photographs beside it.
    Page,
    /// The papers.
    Papers,
    /// The product on one page.
    Sheet,
    /// The article and its pictures.
    Article,
    /// The picture for links.
    Link,
    /// The spreadsheet and the list of parts.
    Workbook,
    /// What a film needs: narration, shot list, chapters, overlays.
    Film,
    /// The findings as data.
    Findings,
    /// What a reader needs to work it out again.
    Bundle,
}

impl Out {
    /// All of them, in the order in which they are made.
    pub const ALL: [Self; 9] = [
        Self::Page,
        Self::Papers,
        Self::Sheet,
        Self::Article,
        Self::Link,
        Self::Workbook,
        Self::Film,
        Self::Findings,
        Self::Bundle,
    ];

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Page => "report.html",
            Self::Papers => "report.pdf, working.pdf and sheet.pdf",
            Self::Sheet => "sheet.html",
            Self::Article => "article.md",
            Self::Link => "link.jpg",
            Self::Workbook => "workbook.xlsx and parts.csv",
            Self::Film => "film",
            Self::Findings => "findings.json",
            Self::Bundle => "bundle",
        }
    }

    /// What is told while it is made.
    pub fn stage(self) -> &'static str {
        match self {
            Self::Page => "setting HTML",
            Self::Papers => "setting PDF",
            Self::Sheet => "setting the sheet",
            Self::Article => "writing the article",
            Self::Link => "drawing the picture for links",
            Self::Workbook => "filling the spreadsheet",
            Self::Film => "writing what a film needs",
            Self::Findings => "writing the findings",
            Self::Bundle => "adding the bundle",
        }
    }
}

/// A report before it is written.
pub struct Prepared {
    /// The dossier that it tells of, private text withheld.
    pub dossier: Dossier,
    /// What it tells.
    pub findings: Findings,
    /// Which version it is.
    pub edition: Option<Edition>,
    /// The photographs as they are shown.
    pub photographs: Photographs,
    /// The report.
    pub document: Document,
    bundle: Result<Option<Bundle>, Problem>,
    film: bool,
}

/// Examines a dossier and composes its report.
///
/// # Errors
/// The dossier's mistakes; a catalogue that cannot be read; work that was stopped.
pub fn prepare(options: &Preparing, watch: &dyn Watch) -> Result<Prepared, Problem> {
    let folder = &options.folder;
    let leaving_out = &options.leaving_out;
    // All that follows is made from what may be published.
    let kept = dossier::open(folder, watch)?;
    let (dossier, private) = (kept.published(), kept.private());
    let dossier = withheld::without_persons(dossier, &leaving_out.persons);
    let findings = examine::findings(
        folder,
        &dossier,
        &options.catalogues,
        &options.others,
        watch,
    )?;
    let left_out = &leaving_out.photographs;
    let mut photographs =
        photographs::for_publication(folder, &dossier, left_out, &options.kept, watch);
    photographs.typefaces = typefaces::for_dossier(
        &dossier,
        &report::json(&findings),
        options.typefaces.as_deref(),
        watch,
    )?;
    let dated = options.dated.as_ref();
    let edition = dated.map(|dated| edition(dated, options.earlier.as_ref(), &findings));
    let bundle = match options.bundle {
        true => bundle::make(
            folder,
            (&dossier, &private),
            &findings,
            left_out,
            (&options.catalogues, &options.others),
            watch,
        )
        .map(Some),
        false => Ok(None),
    };
    begin("composing the report", watch)?;
    let mut document = report::compose(&dossier, &findings, &photographs);
    report::leave_out(&mut document, &leaving_out.sections);
    if let Some(edition) = &edition {
        report::mark_edition(&mut document, edition);
    }
    if let Ok(Some(bundle)) = &bundle {
        report::name_bundle(&mut document, &bundle.fingerprint);
    }
    Ok(Prepared {
        dossier,
        findings,
        edition,
        photographs,
        document,
        bundle,
        film: options.film,
    })
}

impl Prepared {
    /// Sum over the bundle, if there is one.
    pub fn fingerprint(&self) -> Option<&str> {
        let bundle = self.bundle.as_ref().ok()?.as_ref()?;
        Some(&bundle.fingerprint)
    }

    /// Makes the files of an output; none where it was not asked for. The files of the bundle are given once.
    ///
    /// # Errors
    /// What cannot be set, drawn or worked out again.
    pub fn make(&mut self, out: Out) -> Result<Vec<OutputFile>, Problem> {
        let document = &self.document;
        Ok(match out {
            Out::Page => {
                let mut files = vec![file("report.html", report::html(document).into_bytes())];
                let shown = self.photographs.files.values();
                files.extend(shown.map(|shown| file(&shown.path, shown.full.bytes.to_vec())));
                files
            }
            Out::Papers => {
                let papers = pdf::papers(document)?;
                vec![
                    file("report.pdf", papers.report),
                    file("working.pdf", papers.working),
                    file("sheet.pdf", papers.sheet),
                ]
            }
            Out::Sheet => vec![file(
                "sheet.html",
                report::sheet_html(document).into_bytes(),
            )],
            Out::Article => {
                let article = report::article(document);
                let mut files = vec![file("article.md", article.text.into_bytes())];
                let pictures = article.pictures.iter();
                files.extend(pictures.map(|(path, picture)| file(path, picture.bytes.to_vec())));
                files
            }
            Out::Link => vec![file("link.jpg", link(document)?)],
            Out::Workbook => {
                let workbook = report::xlsx(&self.dossier, &self.findings)?;
                vec![
                    file("workbook.xlsx", workbook),
                    file("parts.csv", report::parts_csv(&self.findings).into_bytes()),
                ]
            }
            Out::Film if self.film => {
                super::film::files(&self.dossier, &self.findings, self.edition.as_ref())?
            }
            Out::Film => Vec::new(),
            Out::Findings => {
                let text = report::published_json(&self.findings, self.edition.as_ref());
                vec![file("findings.json", text.into_bytes())]
            }
            Out::Bundle => {
                let bundle = std::mem::replace(&mut self.bundle, Ok(None))?;
                // What it is known by stays known.
                let Some(Bundle { files, fingerprint }) = bundle else {
                    return Ok(Vec::new());
                };
                self.bundle = Ok(Some(Bundle {
                    files: Vec::new(),
                    fingerprint,
                }));
                let inside = |f: OutputFile| file(&format!("bundle/{}", f.path), f.bytes);
                files.into_iter().map(inside).collect()
            }
        })
    }
}

pub(super) fn file(path: &str, bytes: Vec<u8>) -> OutputFile {
    OutputFile {
        path: path.to_string(),
        bytes,
    }
}

/// Qualities of the picture for links, tried one after the other until it is small enough.
const LINK_QUALITIES: [u8; 4] = [88, 80, 70, 55];
/// Most bytes of it: more is not fetched by every reader of links.
const LINK_BYTES: usize = 200_000;

/// Draws the picture for links.
fn link(document: &report::Document) -> Result<Vec<u8>, Problem> {
    let drawn = pdf::link_picture(document)?;
    let picture = imaging::Picture {
        width: drawn.width,
        height: drawn.height,
        rgb: drawn.rgb,
    };
    let mut bytes = Vec::new();
    for quality in LINK_QUALITIES {
        bytes = pixels::encode(&picture, Encoding::Jpeg(quality), None, None).map_err(|e| {
            Problem::of_imaging(Work::Draw("link.jpg"), &e, At::Path("link.jpg".into()))
        })?;
        if bytes.len() <= LINK_BYTES {
            break;
        }
    }
    Ok(bytes)
}
