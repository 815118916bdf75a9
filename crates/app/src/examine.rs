//! A dossier weighed: record in, findings out.
//!
//! In: a folder and catalogues. Out: the dossier and its findings.

use crate::{Problem, Watch, dossier, known, recorded};
use methods::{Findings, Others, Progress};
use record::Dossier;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

/// What to examine.
#[derive(Debug, Clone, Default)]
pub struct ExamineOptions {
    /// The dossier's folder.
    pub folder: PathBuf,
    /// Catalogues of known parts besides those in the folder, later ones correcting earlier ones.
    pub catalogues: Vec<PathBuf>,
}

/// A dossier and what is found.
#[derive(Debug)]
pub struct Examined {
    /// As it was read.
    pub dossier: Dossier,
    /// What is found.
    pub findings: Findings,
}

/// Examines a dossier.
///
/// # Errors
/// Its mistakes; a catalogue that cannot be read; work that was stopped.
pub fn examine(options: &ExamineOptions, watch: &dyn Watch) -> Result<Examined, Problem> {
    let dossier = dossier::open(&options.folder, watch)?;
    let findings = findings(
        &options.folder,
        &dossier,
        &options.catalogues,
        &Others::unknown(),
        watch,
    )?;
    Ok(Examined { dossier, findings })
}

/// Examines a dossier that is read, telling each method as it begins. Its markings are held against the
/// catalogue files in its folder and then those named.
pub(crate) fn findings(
    folder: &Path,
    dossier: &Dossier,
    catalogues: &[PathBuf],
    others: &Others,
    watch: &dyn Watch,
) -> Result<Findings, Problem> {
    let known = known::load(Some(folder), catalogues, watch)?;
    let each = |at| {
        if let Progress::Begins { method, number, of } = at {
            watch.step(&format!("examining: {method}"), number, of);
        }
        if watch.goes_on() {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    };
    let recorded = recorded::load(folder, dossier, watch)?;
    Ok(methods::examine_among(
        dossier, &known, &recorded, others, &each,
    )?)
}
