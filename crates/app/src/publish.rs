//! The report folder.
//!
//! In: a dossier's folder. Out: its report in every form, written whole, and what it was made from.
//! Not here: making each of its outputs (`prepared`).

mod edition;
mod film;
mod prepared;
mod withheld;

pub use edition::Dated;
pub use prepared::{Out, Prepared, Preparing, prepare};
pub use withheld::persons;
pub(crate) use withheld::without_persons;

use crate::photographs::PicturesKept;
use crate::{Problem, Watch};
use lettering::Typefaces;
use library::LeavingOut;
use methods::Findings;
use record::Dossier;
use report::Edition;
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
    /// Whether what a film needs stands beside it: narration, shot list, chapters, overlays.
    pub film: bool,
    /// Catalogues of known parts besides those in the folder.
    pub catalogues: Vec<PathBuf>,
    /// Folders with typefaces for what the packed ones lack; those of the system if not given.
    pub typefaces: Option<Vec<PathBuf>>,
    /// The day and the reason that a version of the report gives; none where it says no version.
    pub dated: Option<Dated>,
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
    /// Which version it is.
    pub edition: Option<Edition>,
    /// Photographs that are not shown, with the reason.
    pub left_out: BTreeMap<String, String>,
    /// Typefaces that were needed beyond the packed ones, and characters that none has.
    pub typefaces: Typefaces,
}

/// Examines a dossier and writes its report. Where the folder holds an earlier report, the new one says what was
/// corrected since.
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
    let earlier = options
        .dated
        .is_some()
        .then(|| edition::earlier(&into, watch));
    let preparing = Preparing {
        folder: folder.clone(),
        bundle: options.bundle,
        film: options.film,
        catalogues: options.catalogues.clone(),
        typefaces: options.typefaces.clone(),
        dated: options.dated.clone(),
        earlier: earlier.flatten(),
        leaving_out: LeavingOut::default(),
        kept: PicturesKept::default(),
        others: methods::Others::unknown(),
    };
    let mut prepared = prepare(&preparing, watch)?;
    let mut files = Vec::new();
    for out in Out::ALL {
        begin(out.stage(), watch)?;
        files.extend(prepared.make(out)?);
    }
    begin("writing the report", watch)?;
    REPORT.write(&into, &files)?;
    let fingerprint = prepared.fingerprint().map(str::to_string);
    let Prepared {
        dossier,
        findings,
        edition,
        photographs,
        ..
    } = prepared;
    Ok(Published {
        into,
        files,
        fingerprint,
        dossier,
        findings,
        edition,
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
