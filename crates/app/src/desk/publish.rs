//! A revision of a library's dossier published, output by output.
//!
//! In: a dossier, a revision, who publishes it and why. Out: files kept in the library with the publication; the
//! report as it would be; what was corrected since the last publication.
//! Not here: making outputs (`publish`), rows (`library`).

use super::{Desk, blocking};
use crate::photographs::PicturesKept;
use crate::{Dated, Out, Prepared, Preparing, Problem, Watch, prepare};
use library::{DossierId, FileEntry, LeavingOut, Person, Publication};
use methods::Findings;
use report::Edition;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use store::OutputFile;

/// What is to be published.
#[derive(Debug, Clone)]
pub struct Publish {
    /// The revision.
    pub revision: u64,
    /// Who publishes it.
    pub by: Person,
    /// When.
    pub at: jiff::Timestamp,
    /// Why it is corrected.
    pub reason: Option<String>,
}

/// How far an output is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OutState {
    /// It is being made.
    Working,
    /// Its files are kept.
    Made(Vec<FileEntry>),
    /// It cannot be made: the cause, and what to do.
    Failed(String, String),
}

/// Asks long work to end. Clones ask the same work.
#[derive(Debug, Clone, Default)]
pub struct Stopper(Arc<AtomicBool>);

impl Stopper {
    /// Asks the work to end.
    pub fn stop(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether it was asked.
    pub fn is_stopped(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

impl Watch for Stopper {
    fn stage(&self, _: &str) {}
    fn step(&self, _: &str, _: usize, _: usize) {}
    fn goes_on(&self) -> bool {
        !self.is_stopped()
    }
}

impl Desk {
    /// Publishes a revision as the next version. An output that cannot be made is told and the others go on.
    ///
    /// # Errors
    /// Mistakes of the dossier; no output that could be made; work that was stopped, of which nothing is published.
    pub async fn publish(
        &self,
        id: &DossierId,
        what: Publish,
        stopper: &Stopper,
        told: impl Fn(Out, OutState),
    ) -> Result<Publication, Problem> {
        let dated = Dated {
            day: Some(jiff::ZonedDateTime::now().date()),
            reason: what.reason.clone().filter(|r| !r.trim().is_empty()),
            always_next: true,
        };
        let earlier = self.published_last(id).await?;
        let leaving_out = self.library.leaving_out(id).await?;
        let (mut prepared, _copy) = self
            .prepared(
                id,
                what.revision,
                Some(dated),
                earlier,
                leaving_out,
                stopper,
            )
            .await?;
        let mut files: Vec<FileEntry> = Vec::new();
        for out in Out::ALL {
            if stopper.is_stopped() {
                return Err(Problem::stopped());
            }
            told(out, OutState::Working);
            let made;
            (prepared, made) = blocking(move || {
                let made = prepared.make(out);
                Ok((prepared, made))
            })
            .await?;
            let kept = match made {
                Ok(made) => self.keep_all(made).await,
                Err(problem) => Err(problem),
            };
            match kept {
                Ok(kept) => {
                    files.extend(kept.iter().cloned());
                    told(out, OutState::Made(kept));
                }
                Err(e) => told(out, OutState::Failed(e.message, e.remedy.to_string())),
            }
        }
        if stopper.is_stopped() {
            return Err(Problem::stopped());
        }
        if files.is_empty() {
            return Err(Problem::refused(
                "no output could be made",
                "look at the cause beside each output",
            ));
        }
        let publication = Publication {
            version: prepared.edition.as_ref().map_or(1, |e| e.version),
            revision: what.revision,
            at: what.at,
            by: what.by,
            reason: what.reason,
            fingerprint: prepared.fingerprint().map(str::to_string),
            files,
        };
        self.library.publish(id, publication.clone()).await?;
        Ok(publication)
    }

    /// Returns the page of the report as it would be published now and the photographs beside it, by path.
    ///
    /// # Errors
    /// As [`Desk::publish`].
    pub async fn preview(
        &self,
        id: &DossierId,
        revision: u64,
        leaving_out: LeavingOut,
    ) -> Result<Vec<(String, Vec<u8>)>, Problem> {
        let stopper = Stopper::default();
        let (mut prepared, _copy) = self
            .prepared(id, revision, None, None, leaving_out, &stopper)
            .await?;
        blocking(move || {
            let files = prepared.make(Out::Page)?.into_iter();
            Ok(files.map(|file| (file.path, file.bytes)).collect())
        })
        .await
    }

    /// Returns what was published last: its findings and its version.
    ///
    /// # Errors
    /// A library that cannot be read; findings that another version of the program wrote.
    pub async fn published_last(
        &self,
        id: &DossierId,
    ) -> Result<Option<(Findings, Edition)>, Problem> {
        let publications = self.library.publications(id).await?;
        let Some(last) = publications.last() else {
            return Ok(None);
        };
        let first = || Edition {
            version: last.version,
            ..Edition::first(None)
        };
        let findings = last.files.iter().find(|f| f.path == "findings.json");
        let Some(findings) = findings else {
            // That output had failed: what the revision says now is the nearest.
            let view = self.at_revision(id, last.revision).await?;
            return Ok(Some((view, first())));
        };
        let bytes = self.library.object(&findings.sha256).await?;
        let text = String::from_utf8_lossy(&bytes);
        match report::read_published(&text) {
            Ok((findings, edition)) => Ok(Some((findings, edition.unwrap_or_else(first)))),
            // An older form of findings: what the revision says now is the nearest.
            Err(_) => Ok(Some((self.at_revision(id, last.revision).await?, first()))),
        }
    }

    /// Returns what the next version would correct, without a day and a reason: the last version against what may be
    /// published now. `None` where nothing was published yet.
    ///
    /// # Errors
    /// As [`Desk::published_last`] and [`Desk::view`].
    pub async fn next_edition(&self, id: &DossierId) -> Result<Option<Edition>, Problem> {
        let Some((before, last)) = self.published_last(id).await? else {
            return Ok(None);
        };
        let view = self.view(id).await?;
        let persons = self.library.leaving_out(id).await?.persons;
        let dossier = crate::publish::without_persons(view.dossier.published(), &persons);
        let others = self.published_others(id, &dossier).await?;
        blocking(move || {
            let now = super::examined(&dossier, &view.known, &view.recorded, &others)?;
            Ok(Some(last.next(&before, &now, None, None)))
        })
        .await
    }

    async fn at_revision(&self, id: &DossierId, revision: u64) -> Result<Findings, Problem> {
        let copy = self.copy(id, revision).await?;
        blocking(move || {
            let options = crate::ExamineOptions {
                folder: copy.path().to_path_buf(),
                catalogues: copy.catalogues.clone(),
            };
            Ok(crate::examine(&options, &crate::Unwatched)?.findings)
        })
        .await
    }

    async fn prepared(
        &self,
        id: &DossierId,
        revision: u64,
        dated: Option<Dated>,
        earlier: Option<(Findings, Edition)>,
        leaving_out: LeavingOut,
        stopper: &Stopper,
    ) -> Result<(Prepared, super::DeskCopy), Problem> {
        let copy = self.copy(id, revision).await?;
        let (_, text) = self.library.revision(id, revision).await?;
        let held = library::Held(self.library.files(id).await?);
        let dossier =
            blocking(move || Ok(record::read_text(&text, store::TEXT, &held)?.published())).await?;
        let preparing = Preparing {
            folder: copy.path().to_path_buf(),
            bundle: dated.is_some(),
            film: dated.is_some(),
            catalogues: copy.catalogues.clone(),
            typefaces: None,
            dated,
            earlier,
            leaving_out,
            kept: self.kept_for(id).await?,
            others: self.published_others(id, &dossier).await?,
        };
        let stopper = stopper.clone();
        blocking(move || Ok((prepare(&preparing, &stopper)?, copy))).await
    }

    /// Returns the pictures kept, with the digests of the files of a dossier.
    async fn kept_for(&self, id: &DossierId) -> Result<PicturesKept, Problem> {
        let files = self.library.files(id).await?.into_iter();
        Ok(PicturesKept {
            pictures: Arc::clone(&self.pictures),
            digests: files.map(|file| (file.path, file.sha256)).collect(),
        })
    }

    async fn keep_all(&self, files: Vec<OutputFile>) -> Result<Vec<FileEntry>, Problem> {
        let mut kept = Vec::new();
        for file in files {
            kept.push(
                self.library
                    .keep_published(&file.path, file.bytes.into())
                    .await?,
            );
        }
        Ok(kept)
    }

    /// Returns the files of a publication whose paths begin so, as one archive.
    ///
    /// # Errors
    /// Files that are missing or damaged.
    pub async fn archive(
        &self,
        publication: &Publication,
        begin: &str,
    ) -> Result<Vec<u8>, Problem> {
        let mut files = Vec::new();
        for file in publication
            .files
            .iter()
            .filter(|f| f.path.starts_with(begin))
        {
            let bytes = self.library.object(&file.sha256).await?;
            files.push((file.path.clone(), bytes));
        }
        blocking(move || {
            use std::io::Write as _;
            let failed = |e: &dyn std::fmt::Display| Problem::internal(&e.to_string());
            let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
            let options = zip::write::SimpleFileOptions::default();
            for (path, bytes) in files {
                archive.start_file(path, options).map_err(|e| failed(&e))?;
                archive.write_all(&bytes).map_err(|e| failed(&e))?;
            }
            Ok(archive.finish().map_err(|e| failed(&e))?.into_inner())
        })
        .await
    }
}
