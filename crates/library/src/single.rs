//! A dossier that stays in its own folder, as a library of one.
//!
//! In: a folder with `dossier.toml`. Out: a [`Library`] with the same edits, histories and files as any other.
//! Not here: what edits do (`take`).
//!
//! The text file is the truth: another program may change it at any time, and what it wrote becomes a revision "edited
//! outside" as soon as the library is asked for anything. Photographs lie where they always lay; their digests are taken
//! again where size or time of change differ. The history lies in `.revisions/history.sqlite`.
//!
//! A save writes the revision first and the file second, both under the lock of the folder. Whether the file followed is
//! kept with the rows (`settled`): after a crash between the two, the file still holds the text before, and is brought
//! forward. Had another program changed it meanwhile, its text is one revision more, and nothing is written over.

mod people;

use crate::keeper::{Appended, Head, Keeper, NewDossier, Outcome, Which};
use crate::library::FILE;
use crate::objects::{Objects, Stored};
use crate::open::objects_in;
use crate::rows::{Outside, Rows};
use crate::search::{
    Across, AcrossAnswer, Beside, Find, Found, Holding, Index, Indexed, Peers, PeersMark,
};
use crate::{
    ClientId, DossierId, FileEntry, LeavingOut, Library, LibraryError, ListAnswer, Origin,
    PathFault, Person, Publication, Revision, Untaken,
};
use async_trait::async_trait;
use bytes::Bytes;
use jiff::Timestamp;
use record::{LARGEST, read_text, text_of};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;
use store::opener::{self, FoundFile};
use store::{OutputFile, REVISIONS, StoreError, limits};

/// Name of the file of rows, in the folder of earlier texts.
const HISTORY: &str = "history.sqlite";

/// Tries to note what another program wrote, while others write.
const TRIES: usize = 20;

/// A folder and its history.
#[derive(Clone)]
struct Single {
    folder: Arc<PathBuf>,
    /// What was published; it is no part of the dossier and lies with its history.
    aside: Arc<Stored>,
    rows: Rows,
    id: DossierId,
}

/// Opens the folder of a dossier.
///
/// # Errors
/// A text with mistakes, where there is no history yet; a folder that cannot be written.
pub(crate) async fn opened(folder: &Path) -> Result<Library, LibraryError> {
    let kept = folder.join(REVISIONS);
    store::make_own_folder(&kept)?;
    let rows = Rows::sqlite(&kept.join(HISTORY)).await?;
    let mut heads = rows.heads(Which::Present, usize::MAX).await?;
    heads.extend(rows.heads(Which::Withdrawn, usize::MAX).await?);
    let folder = Arc::new(folder.to_path_buf());
    let id = match heads.as_slice() {
        [] => begun(&folder, &rows).await?,
        [one] => one.id.clone(),
        _ => {
            return Err(LibraryError::Damaged(
                "its history tells of two dossiers".into(),
            ));
        }
    };
    let aside = Arc::new(Stored(Arc::new(objects_in(&kept)?)));
    let single = Single {
        folder,
        aside,
        rows,
        id,
    };
    single.noticed().await?;
    Ok(Library::of_one(Arc::new(single.clone()), Arc::new(single)))
}

/// Begins the history of a folder with the text that lies there.
async fn begun(folder: &Arc<PathBuf>, rows: &Rows) -> Result<DossierId, LibraryError> {
    let (text, at) = text_in(Arc::clone(folder)).await?;
    let files = digested(Arc::clone(folder), Vec::new()).await?;
    let files: Vec<FileEntry> = files.into_iter().map(|(entry, _)| entry).collect();
    let dossier = read_text(&text, FILE, &crate::Held(files))?;
    let first = Revision {
        origin: Origin::Outside,
        ..Revision::first(outside(), at)
    };
    let id = DossierId::random().map_err(|e| LibraryError::Unreachable(e.to_string()))?;
    let new = NewDossier {
        id: id.clone(),
        history: vec![(first, text)],
        name: dossier.product.name,
        maker: dossier.product.maker,
        at,
        files: Vec::new(),
        publications: Vec::new(),
    };
    rows.create(&new).await?;
    rows.settle(&id, 1).await?;
    Ok(id)
}

/// Who edited the text in another program: nobody here knows.
fn outside() -> Person {
    Person::from("another program")
}

/// Does what waits for a disk on a thread of its own.
async fn waiting<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, LibraryError> + Send + 'static,
) -> Result<T, LibraryError> {
    let done = tokio::task::spawn_blocking(work).await;
    done.map_err(|fault| LibraryError::Unreachable(fault.to_string()))?
}

fn micros(at: Option<SystemTime>) -> Timestamp {
    let at = at
        .and_then(|at| Timestamp::try_from(at).ok())
        .unwrap_or(Timestamp::UNIX_EPOCH);
    crate::library::whole_micros(at)
}

/// Reads the text and when it was changed.
async fn text_in(folder: Arc<PathBuf>) -> Result<(String, Timestamp), LibraryError> {
    waiting(move || {
        let bytes = opener::read_inside(&folder, store::TEXT, limits::DOSSIER)?;
        let at = opener::modified_inside(&folder, store::TEXT)?;
        Ok((text_of(&bytes, FILE)?, micros(at)))
    })
    .await
}

/// Describes the files of a folder; those that are known and were not changed since are not read again.
async fn digested(
    folder: Arc<PathBuf>,
    known: Vec<(FileEntry, Option<i64>)>,
) -> Result<Vec<(FileEntry, Option<i64>)>, LibraryError> {
    waiting(move || {
        let mut all = Vec::new();
        for name in store::FILE_FOLDERS {
            for found in opener::files_below(&folder, name)? {
                all.push(described(&folder, found, &known)?);
            }
        }
        all.sort_by(|(a, _), (b, _)| a.path.cmp(&b.path));
        Ok(all)
    })
    .await
}

fn described(
    folder: &Path,
    found: FoundFile,
    known: &[(FileEntry, Option<i64>)],
) -> Result<(FileEntry, Option<i64>), LibraryError> {
    let modified = Some(micros(found.modified).as_microsecond());
    let same = known.iter().find(|(entry, at)| {
        entry.path == found.path && entry.bytes == found.bytes && *at == modified
    });
    if let Some((entry, _)) = same {
        return Ok((entry.clone(), modified));
    }
    let bytes = opener::read_inside(folder, &found.path, limits::PHOTOGRAPH)?;
    Ok((FileEntry::of(&found.path, &bytes), modified))
}

impl Single {
    fn is_it(&self, id: &DossierId) -> Result<(), LibraryError> {
        match *id == self.id {
            true => Ok(()),
            false => Err(LibraryError::NoDossier(id.clone())),
        }
    }

    /// Brings history and file together, whoever wrote last.
    async fn noticed(&self) -> Result<(), LibraryError> {
        for _ in 0..TRIES {
            let (text, at) = text_in(Arc::clone(&self.folder)).await?;
            let (number, last) = self.latest().await?;
            let settled = self.rows.settled(&self.id).await?;
            if text == last {
                if settled != Some(number) {
                    self.rows.settle(&self.id, number).await?;
                }
                return Ok(());
            }
            if let Some(settled) = settled.filter(|settled| *settled < number) {
                let before = self.rows.revision(&self.id, settled).await?;
                if before.is_some_and(|(_, before)| before == text) {
                    // A save was broken off before its file was written; where it was not, this waits for it.
                    self.replaced(text, last).await?;
                    continue;
                }
            }
            let files = crate::Held(self.rows.files(&self.id).await?);
            let product = read_text(&text, FILE, &files)
                .ok()
                .map(|dossier| dossier.product);
            let outside = Outside {
                revision: Revision {
                    number: number + 1,
                    origin: Origin::Outside,
                    ..Revision::first(outside(), at)
                },
                text,
                product: product.map(|product| (product.name, product.maker)),
            };
            if self.rows.append_outside(&self.id, &outside).await? {
                return Ok(());
            }
        }
        Err(LibraryError::Busy(self.id.clone()))
    }

    async fn latest(&self) -> Result<(u64, String), LibraryError> {
        let latest = self.rows.current(&self.id).await?;
        latest.ok_or_else(|| LibraryError::Damaged("its history has no revision".into()))
    }

    /// Writes a text in the place of the one that is expected; another one stays.
    async fn replaced(&self, expected: String, new: String) -> Result<(), LibraryError> {
        let path = self.folder.join(store::TEXT);
        waiting(move || {
            store::replace(&path, LARGEST, |before| {
                let before = text_of(before.unwrap_or_default(), FILE)?;
                Ok::<_, LibraryError>((before == expected).then(|| new.into_bytes()))
            })?;
            Ok(())
        })
        .await
    }

    /// Notes files that came, went or were changed.
    async fn synced(&self) -> Result<(), LibraryError> {
        let known = self.rows.known_files(&self.id).await?;
        let now = digested(Arc::clone(&self.folder), known.clone()).await?;
        if now != known {
            self.rows.replace_files(&self.id, &now).await?;
        }
        Ok(())
    }
}

#[async_trait]
impl Keeper for Single {
    async fn create(&self, _: &NewDossier) -> Result<(), LibraryError> {
        Err(LibraryError::OneOnly)
    }

    async fn heads(&self, which: Which, most: usize) -> Result<Vec<Head>, LibraryError> {
        self.noticed().await?;
        self.rows.heads(which, most).await
    }

    async fn count(&self, which: Which) -> Result<usize, LibraryError> {
        self.rows.count(which).await
    }

    async fn head(&self, id: &DossierId) -> Result<Option<Head>, LibraryError> {
        self.noticed().await?;
        self.rows.head(id).await
    }

    async fn current(&self, id: &DossierId) -> Result<Option<(u64, String)>, LibraryError> {
        self.noticed().await?;
        self.rows.current(id).await
    }

    async fn revision(
        &self,
        id: &DossierId,
        number: u64,
    ) -> Result<Option<(Revision, String)>, LibraryError> {
        self.rows.revision(id, number).await
    }

    async fn history(
        &self,
        id: &DossierId,
        before: Option<u64>,
        most: usize,
    ) -> Result<Vec<Revision>, LibraryError> {
        self.noticed().await?;
        self.rows.history(id, before, most).await
    }

    async fn untaken(&self, id: &DossierId) -> Result<Vec<Untaken>, LibraryError> {
        self.rows.untaken(id).await
    }

    async fn last_seq(
        &self,
        id: &DossierId,
        client: &ClientId,
    ) -> Result<Option<u64>, LibraryError> {
        self.rows.last_seq(id, client).await
    }

    async fn answered(
        &self,
        id: &DossierId,
        client: &ClientId,
        seq: u64,
    ) -> Result<Option<ListAnswer>, LibraryError> {
        self.rows.answered(id, client, seq).await
    }

    async fn append(
        &self,
        id: &DossierId,
        after: u64,
        outcome: &Outcome,
    ) -> Result<Appended, LibraryError> {
        self.is_it(id)?;
        let Some(new) = &outcome.revision else {
            return self.rows.append(id, after, outcome).await;
        };
        let Some((_, expected)) = self.rows.revision(id, after).await? else {
            return Ok(Appended::Behind);
        };
        let (single, outcome, text) = (self.clone(), outcome.clone(), new.text.clone());
        let number = new.number;
        let runtime = tokio::runtime::Handle::current();
        let appended = waiting(move || {
            let path = single.folder.join(store::TEXT);
            let mut appended = Appended::Behind;
            store::replace(&path, LARGEST, |before| {
                let before = text_of(before.unwrap_or_default(), FILE)?;
                if before == expected {
                    let kept = single.rows.append(&single.id, after, &outcome);
                    appended = runtime.block_on(kept)?;
                }
                let new = (appended == Appended::Kept).then(|| text.into_bytes());
                Ok::<_, LibraryError>(new)
            })?;
            Ok(appended)
        })
        .await?;
        if appended == Appended::Kept {
            self.rows.settle(id, number).await?;
        }
        Ok(appended)
    }

    async fn withdraw(
        &self,
        id: &DossierId,
        withdrawn: bool,
        at: Timestamp,
    ) -> Result<(), LibraryError> {
        self.rows.withdraw(id, withdrawn, at).await
    }

    async fn add_file(&self, id: &DossierId, file: &FileEntry) -> Result<(), LibraryError> {
        self.rows.add_file(id, file).await
    }

    async fn files(&self, id: &DossierId) -> Result<Vec<FileEntry>, LibraryError> {
        self.is_it(id)?;
        self.synced().await?;
        self.rows.files(id).await
    }

    async fn publish(&self, id: &DossierId, new: &Publication) -> Result<bool, LibraryError> {
        self.rows.publish(id, new).await
    }

    async fn publications(&self, id: &DossierId) -> Result<Vec<Publication>, LibraryError> {
        self.rows.publications(id).await
    }

    async fn leave_out(
        &self,
        id: &DossierId,
        what: &LeavingOut,
        by: &Person,
        at: Timestamp,
    ) -> Result<(), LibraryError> {
        self.rows.leave_out(id, what, by, at).await
    }

    async fn leaving_out(&self, id: &DossierId) -> Result<Option<LeavingOut>, LibraryError> {
        self.rows.leaving_out(id).await
    }

    async fn answers(&self, id: &DossierId) -> Result<Vec<ListAnswer>, LibraryError> {
        self.rows.answers(id).await
    }

    async fn damage(&self) -> Result<Vec<String>, LibraryError> {
        self.rows.damage().await
    }

    async fn copy_rows(&self, file: &Path) -> Result<(), LibraryError> {
        self.synced().await?;
        self.rows.copy_rows(file).await
    }

    async fn close(&self) {
        self.rows.close().await;
    }
}

#[async_trait]
impl Index for Single {
    async fn index(&self, id: &DossierId, indexed: &Indexed) -> Result<(), LibraryError> {
        self.rows.index(id, indexed).await
    }

    async fn find(&self, find: &Find) -> Result<Found, LibraryError> {
        self.rows.find(find).await
    }

    async fn behind(&self) -> Result<Vec<DossierId>, LibraryError> {
        self.noticed().await?;
        self.rows.behind().await
    }

    async fn holding(&self, held: &Holding, most: usize) -> Result<Found, LibraryError> {
        self.rows.holding(held, most).await
    }

    async fn peers(&self, beside: &Beside) -> Result<Peers, LibraryError> {
        self.rows.peers(beside).await
    }

    async fn peers_mark(&self, id: &DossierId) -> Result<PeersMark, LibraryError> {
        self.rows.peers_mark(id).await
    }

    async fn across(&self, asked: &Across) -> Result<AcrossAnswer, LibraryError> {
        self.rows.across(asked).await
    }

    async fn touched_by(&self, names: &[String]) -> Result<Vec<DossierId>, LibraryError> {
        self.rows.touched_by(names).await
    }
}

#[async_trait]
impl Objects for Single {
    async fn put_new(&self, entry: &FileEntry, bytes: &Bytes) -> Result<bool, LibraryError> {
        let path = entry.path.clone();
        if !store::FILE_FOLDERS
            .iter()
            .any(|name| path.starts_with(&format!("{name}/")))
        {
            let why = "a dossier in its own folder has files in photos, logs, recordings, captions, catalogue and past only";
            return Err(PathFault::Unfit { path, why }.into());
        }
        let (folder, id) = (Arc::clone(&self.folder), self.id.clone());
        let file = OutputFile {
            path,
            bytes: bytes.to_vec(),
        };
        waiting(move || match store::add_file(&folder, &file) {
            Ok(new) => Ok(new),
            Err(StoreError::Taken { .. }) => Err(LibraryError::Taken {
                dossier: id,
                path: file.path,
            }),
            Err(error) => Err(error.into()),
        })
        .await
    }

    /// A file in the folder is what it is; there is nothing that it could be damaged from.
    async fn put_over(&self, _: &FileEntry, _: &Bytes) -> Result<(), LibraryError> {
        Ok(())
    }

    async fn get(&self, digest: &str) -> Result<Option<Bytes>, LibraryError> {
        self.synced().await?;
        let files = self.rows.files(&self.id).await?;
        let Some(file) = files.into_iter().find(|file| file.sha256 == digest) else {
            return self.aside.get(digest).await;
        };
        let folder = Arc::clone(&self.folder);
        waiting(move || {
            let bytes = opener::read_inside(&folder, &file.path, limits::PHOTOGRAPH)?;
            Ok(Some(bytes.into()))
        })
        .await
    }

    async fn digests(&self) -> Result<Vec<String>, LibraryError> {
        let files = self.rows.files(&self.id).await?;
        let mut all = self.aside.digests().await?;
        all.extend(files.into_iter().map(|file| file.sha256));
        Ok(all)
    }

    fn aside(&self) -> Option<&dyn Objects> {
        Some(&*self.aside)
    }
}
