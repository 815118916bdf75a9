//! Dossiers of a library under the hand: the latest revision of each, examined; what edits move in it.
//!
//! In: a library, catalogues; edits. Out: views that pages are made from, and what moved.
//! Not here: how edits merge (`library`); pages.

mod index;

pub use index::{Unindexed, indexed};
mod across;
mod as_of;
mod captions;
mod copy;
mod logs;
mod others;
mod past;
mod publish;
mod texts;

pub use across::{AcrossAsked, AcrossSeen, Holders, Over, Supplier};
pub use captions::SeenFilm;
pub use copy::DeskCopy;
pub use past::{Decision, PastPart, SeenPast};
pub use publish::{OutState, Publish, Stopper};

use crate::incoming::{self, Column, Incoming};
use crate::photographs::Kept;
use crate::{Problem, Unwatched, known, read};
use jiff::Timestamp;
use library::{
    Current, DossierId, Held, Library, PeersMark, Person, Saved, Submission, Taken, Which,
};
use methods::{Case, Finding, Findings, Known, Method, Moved, Others, Recorded, moved};
use record::{Dossier, Draft, Edit};
use std::collections::{BTreeSet, HashMap};
use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use store::Copies;

/// One revision of a dossier, read and examined.
pub struct View {
    /// The dossier.
    pub id: DossierId,
    /// Number of the revision.
    pub revision: u64,
    /// Its text.
    pub text: String,
    /// The files beside it.
    pub files: Held,
    /// As it was read.
    pub dossier: Dossier,
    /// What is found.
    pub findings: Findings,
    /// The parts that markings were held against.
    pub known: Arc<Known>,
    /// Its logs, as they were read.
    pub recorded: Recorded,
    /// What the library holds of other products.
    pub others: Arc<Others>,
    /// What changes with them.
    mark: Mutex<PeersMark>,
}

/// Dossiers that are made ready before anybody asks for them.
const WARMED: usize = 3;

/// A library with what is known beside it.
pub struct Desk {
    library: Library,
    catalogues: Vec<PathBuf>,
    /// The catalogue of the library, which parts of published texts are added to.
    own_parts: Option<PathBuf>,
    views: Mutex<HashMap<DossierId, Arc<View>>>,
    /// Known parts by the digests of the catalogue files that a dossier brings.
    known: Mutex<HashMap<Vec<String>, Arc<Known>>>,
    /// Logs that were read.
    logs: logs::Kept,
    /// Texts published before that were read.
    texts: texts::Kept,
    turns: Mutex<HashMap<DossierId, Arc<tokio::sync::Mutex<()>>>>,
    /// Dossiers that were changed and wait to be indexed.
    recent: Mutex<BTreeSet<DossierId>>,
    saved: tokio::sync::Notify,
    copies: Option<Copies>,
    /// Published pictures, kept for the next report.
    pictures: Arc<Kept>,
}

/// What came of edits.
pub struct Edited {
    /// What the library answers.
    pub taken: Taken,
    /// The dossier after it.
    pub view: Arc<View>,
    /// What the edits moved.
    pub moved: Moved,
}

impl Desk {
    /// Sits down at a library. `catalogues` are files of known parts besides those that dossiers bring.
    pub fn at(library: Library, catalogues: Vec<PathBuf>) -> Self {
        Self {
            library,
            catalogues,
            own_parts: None,
            views: Mutex::default(),
            known: Mutex::default(),
            logs: logs::Kept::default(),
            texts: texts::Kept::default(),
            turns: Mutex::default(),
            recent: Mutex::default(),
            saved: tokio::sync::Notify::new(),
            copies: Copies::of_user(),
            pictures: Arc::default(),
        }
    }

    /// Keeps parts that were taken from published texts in a catalogue there, which every product's markings are held
    /// against.
    #[must_use]
    pub fn keeping_parts_in(self, own_parts: Option<PathBuf>) -> Self {
        Self { own_parts, ..self }
    }

    /// Lays dossiers out as folders there instead of in the user's cache folder.
    #[must_use]
    pub fn copying_to(self, copies: Copies) -> Self {
        let copies = Some(copies);
        Self { copies, ..self }
    }

    /// The library.
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// Returns the latest revision of a dossier, read and examined.
    ///
    /// # Errors
    /// No such dossier; a library that cannot be reached; catalogue files that cannot be read.
    pub async fn view(&self, id: &DossierId) -> Result<Arc<View>, Problem> {
        let head = self.library.head(id).await?;
        let kept = lock(&self.views).get(id).cloned();
        if let Some(view) = kept.filter(|view| view.revision == head.revision) {
            return self.among(view).await;
        }
        Ok(self.kept(self.examined_now(id).await?))
    }

    /// Keeps a view for those who ask next.
    fn kept(&self, view: View) -> Arc<View> {
        let view = Arc::new(view);
        lock(&self.views).insert(view.id.clone(), Arc::clone(&view));
        view
    }

    /// Makes the dossiers that were changed last ready, and with them the known parts that markings are held against,
    /// so that the first page and the first key of a session are answered as soon as later ones. What fails here is
    /// told when it is asked for.
    pub async fn warm(&self) {
        let Ok(heads) = self.library.latest(Which::Present, WARMED).await else {
            return;
        };
        for head in &heads {
            let _ = self.view(&head.id).await;
        }
    }

    /// Looks at a dossier anew when it is asked for next: what is known beside its text changed.
    pub(crate) fn forget(&self, id: &DossierId) {
        lock(&self.views).remove(id);
        self.changed(id);
    }

    async fn examined_now(&self, id: &DossierId) -> Result<View, Problem> {
        let current = self.library.current(id).await?;
        self.seen_as(id, current, None).await
    }

    /// Examines a dossier; where it was read before, that is not done again.
    async fn seen_as(
        &self,
        id: &DossierId,
        current: Current,
        read: Option<Dossier>,
    ) -> Result<View, Problem> {
        let known = self.known(id, &current.files).await?;
        let (current, dossier) = match read {
            Some(dossier) => (current, dossier),
            None => {
                blocking(move || {
                    current
                        .dossier()
                        .map(|d| (current, d))
                        .map_err(Problem::from)
                })
                .await?
            }
        };
        let recorded = self.recorded(id, &current.files, &dossier).await?;
        let mark = self.library.peers_mark(id).await?;
        let others = self.others_again(id, &dossier, &mark).await?;
        let id = id.clone();
        blocking(move || {
            let findings = examined(&dossier, &known, &recorded, &others)?;
            Ok(View {
                others,
                mark: Mutex::new(mark),
                id,
                revision: current.revision,
                text: current.text,
                files: current.files,
                dossier,
                findings,
                known,
                recorded,
            })
        })
        .await
    }

    /// Takes lists of edits and tells what they moved.
    ///
    /// # Errors
    /// As [`Library::take`] and [`Desk::view`].
    pub async fn take(
        &self,
        id: &DossierId,
        submission: &Submission,
        by: &Person,
        at: Timestamp,
    ) -> Result<Edited, Problem> {
        let turn = Arc::clone(lock(&self.turns).entry(id.clone()).or_default());
        let _turn = turn.lock().await;
        let before = self.view(id).await?;
        let Saved { taken, after } = self.library.save(id, submission, by, at).await?;
        let view = match after {
            Some((current, dossier)) => {
                let view = self.seen_as(id, current, Some(dossier)).await;
                view.map(|view| self.kept(view))
            }
            None => self.view(id).await,
        };
        // Told after the view, so that the index takes it as it is instead of examining the same revision.
        self.changed(id);
        let view = view?;
        let moved = moved(&before.findings, &view.findings);
        Ok(Edited { taken, view, moved })
    }

    /// Tells what edits would move; nothing is written.
    ///
    /// # Errors
    /// Edits that cannot be made; mistakes that the dossier would have with them.
    pub async fn would(&self, id: &DossierId, edits: Vec<Edit>) -> Result<Moved, Problem> {
        let view = self.view(id).await?;
        let (_, findings) = self.with(id, edits).await?;
        Ok(moved(&view.findings, &findings))
    }

    /// Reads and examines a dossier with edits that are not written.
    ///
    /// # Errors
    /// As [`Desk::would`].
    pub async fn with(
        &self,
        id: &DossierId,
        edits: Vec<Edit>,
    ) -> Result<(Dossier, Findings), Problem> {
        let view = self.view(id).await?;
        let drawn = Arc::clone(&view);
        let dossier = blocking(move || drafted(&drawn, &edits)).await?;
        let recorded = self.recorded(id, &view.files, &dossier).await?;
        blocking(move || {
            let findings = examined(&dossier, &view.known, &recorded, &view.others)?;
            Ok((dossier, findings))
        })
        .await
    }

    /// As [`Desk::with`], asking one method alone.
    ///
    /// # Errors
    /// As [`Desk::would`].
    pub async fn answered(
        &self,
        id: &DossierId,
        edits: Vec<Edit>,
        method: Method,
    ) -> Result<(Dossier, Vec<Finding>), Problem> {
        let view = self.view(id).await?;
        let dossier = match edits.is_empty() {
            true => view.dossier.clone(),
            false => {
                let drawn = Arc::clone(&view);
                blocking(move || drafted(&drawn, &edits)).await?
            }
        };
        let recorded = self.recorded(id, &view.files, &dossier).await?;
        blocking(move || {
            let case = Case::new(&dossier, &view.known)
                .with_logs(&recorded)
                .among(&view.others);
            let findings = (method.entry().examine)(&case)?;
            Ok((dossier, findings))
        })
        .await
    }

    /// Reads a table as it would be taken; nothing is written.
    ///
    /// # Errors
    /// As [`incoming::incoming`] and [`Desk::view`].
    pub async fn incoming(
        &self,
        id: &DossierId,
        bytes: Vec<u8>,
        file: &str,
        map: Option<Vec<Option<Column>>>,
    ) -> Result<Incoming, Problem> {
        let view = self.view(id).await?;
        let file = file.to_string();
        blocking(move || incoming::incoming(&bytes, &file, map.as_deref(), &view.dossier)).await
    }

    /// Tells what moved from one revision of a dossier to another.
    ///
    /// # Errors
    /// No such dossier or revision.
    pub async fn between(&self, id: &DossierId, from: u64, to: u64) -> Result<Moved, Problem> {
        let files = Held(self.library.files(id).await?);
        let known = self.known(id, &files).await?;
        // What the library holds today, for both: only what changed here is told.
        let others = Arc::clone(&self.view(id).await?.others);
        let (_, before) = self.library.revision(id, from).await?;
        let (_, after) = self.library.revision(id, to).await?;
        let mut sides = Vec::new();
        for text in [before, after] {
            let held = Held(files.0.clone());
            let read = move || Ok(record::read_text(&text, store::TEXT, &held)?);
            let dossier = blocking(read).await?;
            let recorded = self.recorded(id, &files, &dossier).await?;
            let (known, others) = (Arc::clone(&known), Arc::clone(&others));
            sides.push(blocking(move || examined(&dossier, &known, &recorded, &others)).await?);
        }
        let [before, after] = sides.as_slice() else {
            return Err(Problem::internal("two revisions are compared"));
        };
        Ok(moved(before, after))
    }

    /// Returns the known parts for a dossier: those of the files it brings, then those of the desk.
    async fn known(&self, id: &DossierId, files: &Held) -> Result<Arc<Known>, Problem> {
        let brought = files
            .0
            .iter()
            .filter(|file| known::is_catalogue(&file.path));
        let brought: Vec<_> = brought.cloned().collect();
        let key: Vec<String> = brought.iter().map(|file| file.sha256.clone()).collect();
        if let Some(known) = lock(&self.known).get(&key) {
            return Ok(Arc::clone(known));
        }
        let mut files = Vec::new();
        for file in &brought {
            let bytes = self.library.bytes(id, &file.path).await?;
            files.push((file.path.clone(), bytes.to_vec()));
        }
        let mut catalogues = self.catalogues.clone();
        // It is there from the first part on.
        if let Some(own) = &self.own_parts
            && store::opener::kind(own)?.is_some()
        {
            catalogues.insert(0, own.clone());
        }
        let known = blocking(move || known::load_brought(files, &catalogues, &Unwatched)).await?;
        let known = Arc::new(known);
        lock(&self.known).insert(key, Arc::clone(&known));
        let ready = Arc::clone(&known);
        tokio::task::spawn_blocking(move || read::warm(&ready));
        Ok(known)
    }
}

/// Makes edits on the text of a view and reads it.
fn drafted(view: &View, edits: &[Edit]) -> Result<Dossier, Problem> {
    let mut draft = Draft::parse(&view.text, store::TEXT)?;
    for edit in edits {
        draft.apply(edit)?;
    }
    Ok(draft.check(&view.files)?)
}

fn examined(
    dossier: &Dossier,
    known: &Known,
    recorded: &Recorded,
    others: &Others,
) -> Result<Findings, Problem> {
    let goes_on = |_| ControlFlow::Continue(());
    Ok(methods::examine_among(
        dossier, known, recorded, others, &goes_on,
    )?)
}

/// Does work of the processor beside those who wait.
pub(crate) async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Problem> + Send + 'static,
) -> Result<T, Problem> {
    let done = tokio::task::spawn_blocking(work).await;
    done.map_err(|fault| Problem::internal(&fault.to_string()))?
}

/// What is locked here is changed in single steps, so what a panic left behind is whole.
pub(crate) fn lock<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}
