//! The report folder.
//!
//! In: a dossier's folder. Out: its report in every form, written whole, and what it was made from.

use crate::imaging_problem::Work;
use crate::{At, Problem, Watch, bundle, dossier, examine, photographs, typefaces};
use imaging::pixels::{self, Encoding};
use lettering::Typefaces;
use methods::Findings;
use record::Dossier;
use std::collections::BTreeMap;
use std::path::PathBuf;
use store::{Output, OutputFile};

const REPORT: Output = Output {
    kind: "report",
    unmarked: &[
        "report.html",
        "report.pdf",
        "workbook.xlsx",
        "parts.csv",
        "findings.json",
    ],
};

/// What to publish, and where.
#[derive(Debug, Clone, Default)]
pub struct PublishOptions {
    /// The dossier's folder.
    pub folder: PathBuf,
    /// Folder for the report; `report` in the dossier's folder if not given.
    pub into: Option<PathBuf>,
    /// Whether a bundle stands beside the report, from which a reader can work it out again.
    pub bundle: bool,
    /// Catalogues of known parts besides those in the folder.
    pub catalogues: Vec<PathBuf>,
    /// Folders with typefaces for what the packed ones lack; those of the system if not given.
    pub typefaces: Option<Vec<PathBuf>>,
}

/// A report that was written.
#[derive(Debug)]
pub struct Published {
    /// Where it lies.
    pub into: PathBuf,
    /// Its files.
    pub files: Vec<OutputFile>,
    /// Sum over the bundle, if there is one.
    pub fingerprint: Option<String>,
    /// The dossier that it tells of, private text withheld.
    pub dossier: Dossier,
    /// What it tells.
    pub findings: Findings,
    /// Photographs that are not shown, with the reason.
    pub left_out: BTreeMap<String, String>,
    /// Typefaces that were needed beyond the packed ones, and characters that none has.
    pub typefaces: Typefaces,
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

/// Examines a dossier and writes its report.
///
/// # Errors
/// The dossier's mistakes; a folder that may not be filled; what cannot be set.
pub fn publish(options: &PublishOptions, watch: &dyn Watch) -> Result<Published, Problem> {
    let folder = &options.folder;
    let into = options
        .into
        .clone()
        .unwrap_or_else(|| folder.join("report"));
    REPORT.may_fill(&into)?;
    // All that follows is made from what may be published.
    let dossier = dossier::open(folder, watch)?.published();
    let mut photographs = photographs::for_publication(folder, &dossier, watch);
    let findings = examine::findings(folder, &dossier, &options.catalogues, watch)?;
    photographs.typefaces = typefaces::for_dossier(
        &dossier,
        &report::json(&findings),
        options.typefaces.as_deref(),
        watch,
    )?;

    let mut bundle = None;
    if options.bundle {
        begin("making the bundle", watch)?;
        let made = bundle::make(folder, &dossier, &findings, &options.catalogues, watch)?;
        bundle = Some(made);
    }
    let fingerprint = bundle.as_ref().map(|b| b.fingerprint.clone());
    begin("composing the report", watch)?;
    let mut document = report::compose(&dossier, &findings, &photographs);
    if let Some(fingerprint) = &fingerprint {
        report::name_bundle(&mut document, fingerprint);
    }
    let mut files = set(&document, &dossier, &findings, watch)?;
    files.extend(photographs.files.values().map(|shown| OutputFile {
        path: shown.path.clone(),
        bytes: shown.full.bytes.to_vec(),
    }));
    let inside = bundle.into_iter().flat_map(|b| b.files);
    files.extend(inside.map(|file| OutputFile {
        path: format!("bundle/{}", file.path),
        ..file
    }));
    begin("writing the report", watch)?;
    REPORT.write(&into, &files)?;
    Ok(Published {
        into,
        files,
        fingerprint,
        dossier,
        findings,
        left_out: photographs.left_out,
        typefaces: photographs.typefaces,
    })
}

/// Begins a stage, if whoever waits wants to go on.
fn begin(stage: &str, watch: &dyn Watch) -> Result<(), Problem> {
    if !watch.goes_on() {
        return Err(Problem::stopped());
    }
    watch.stage(stage);
    Ok(())
}

/// Sets a report in each of its forms.
fn set(
    document: &report::Document,
    dossier: &Dossier,
    findings: &Findings,
    watch: &dyn Watch,
) -> Result<Vec<OutputFile>, Problem> {
    begin("setting HTML", watch)?;
    let html = report::html(document).into_bytes();
    let sheet = report::sheet_html(document).into_bytes();
    begin("setting PDF", watch)?;
    let papers = pdf::papers(document)?;
    begin("drawing the picture for links", watch)?;
    let link = link(document)?;
    begin("filling the spreadsheet", watch)?;
    let workbook = report::xlsx(dossier, findings)?;
    let article = report::article(document);
    let file = |path: &str, bytes| OutputFile {
        path: path.to_string(),
        bytes,
    };
    let mut files = vec![
        file("report.html", html),
        file("report.pdf", papers.report),
        file("working.pdf", papers.working),
        file("sheet.html", sheet),
        file("sheet.pdf", papers.sheet),
        file("article.md", article.text.into_bytes()),
        file("link.jpg", link),
        file("workbook.xlsx", workbook),
        file("parts.csv", report::parts_csv(findings).into_bytes()),
        file("findings.json", report::json(findings).into_bytes()),
    ];
    let pictures = article.pictures.into_iter();
    files.extend(pictures.map(|(path, picture)| file(&path, picture.bytes.to_vec())));
    Ok(files)
}
