//! A keeper whose rows lie in tables: in one file of SQLite, or in PostgreSQL (feature `team`).
//!
//! In: a file, or an address. Out: [`Rows`], a [`Keeper`].
//! Not here: what edits do (`take`); photographs (the object store).
//!
//! Statements stand once, in `statements`, and every database takes the same ones; `engine` says how each is opened.
//! The tables are made and brought forward by `migrations/`, which are never edited once a library was made with them.

mod engine;
mod filled;
mod find;
mod kept;
mod outside;
mod people;
#[cfg(feature = "team")]
mod postgres;
mod publications;
mod statements;

use crate::keeper::{Appended, Head, Keeper, NewDossier, Outcome, Which};
use crate::memory::revision;
use crate::{
    ClientId, DossierId, FileEntry, LeavingOut, LibraryError, ListAnswer, ListState, Person,
    Publication, Revision, Untaken,
};
use async_trait::async_trait;
use engine::{Db, on};
use jiff::Timestamp;
use kept::{Deflated, FileRow, HeadRow, RevisionRow, TextRow, UntakenRow, json, micros, whole};
pub(crate) use outside::Outside;
use sqlx::Connection as _;
use sqlx::migrate::{MigrateError, Migrator};
use std::path::Path;

static MIGRATIONS: Migrator = sqlx::migrate!("./migrations");

/// Rows in tables.
#[derive(Debug, Clone)]
pub struct Rows {
    read: Db,
    write: Db,
}

/// Does several statements whole or not at all, durable when it returns. A body that returns early writes nothing.
///
/// A connection on which a statement failed is not used again: SQLite ends a transaction by itself where a disk is
/// full, and the connection would take the next one for a part of it.
macro_rules! write_whole {
    ($self:expr, |$all:ident| $body:block) => {
        on!(&$self.write, |pool| {
            let mut connection = pool.acquire().await?;
            let done = async {
                let mut $all = connection.begin_with($self.write.begin()).await?;
                let value = $body;
                $all.commit().await?;
                Ok::<_, LibraryError>(value)
            }
            .await;
            if done.is_err() {
                connection.close_on_drop();
            }
            done
        })
    };
}

/// Keeps a revision within a transaction.
macro_rules! put_revision {
    ($transaction:expr, $id:expr, $revision:expr, $text:expr) => {{
        let revision: &Revision = $revision;
        let kept = Deflated::of($text);
        sqlx::query(statements::NEW_REVISION)
            .bind($id.as_str())
            .bind(whole(revision.number)?)
            .bind(micros(revision.at))
            .bind(revision.by.as_str())
            .bind(revision.client.as_ref().map(ClientId::as_str))
            .bind(revision.group.as_deref())
            .bind(revision.undoes.map(whole).transpose()?)
            .bind(json(&revision.edits)?)
            .bind(json(&revision.inverse)?)
            .bind(kept.body)
            .bind(kept.sha256)
            .bind(kept::origin(revision.origin))
            .execute(&mut *$transaction)
            .await?
    }};
}

/// Notes a file within a transaction; nothing where its path is noted already.
macro_rules! put_file {
    ($transaction:expr, $id:expr, $file:expr) => {{
        let file: &FileEntry = $file;
        let (width, height) = file.size.unzip();
        sqlx::query(statements::NEW_FILE)
            .bind($id.as_str())
            .bind(file.path.as_str())
            .bind(file.sha256.as_str())
            .bind(whole(file.bytes)?)
            .bind(width.map(i64::from))
            .bind(height.map(i64::from))
            .bind(file.picture)
            .execute(&mut *$transaction)
            .await?
    }};
}

/// Keeps a publication by a connection or within a transaction.
macro_rules! put_publication {
    ($to:expr, $id:expr, $publication:expr) => {{
        let new: &Publication = $publication;
        sqlx::query(statements::NEW_PUBLICATION)
            .bind($id.as_str())
            .bind(whole(new.version)?)
            .bind(whole(new.revision)?)
            .bind(micros(new.at))
            .bind(new.by.as_str())
            .bind(new.reason.as_deref())
            .bind(new.fingerprint.as_deref())
            .bind(json(&new.files)?)
            .execute($to)
            .await?
            .rows_affected()
    }};
}

/// Keeps a new dossier, whose first and last revisions these are, within a transaction.
macro_rules! put_dossier {
    ($all:ident, $new:expr, $first:expr, $last:expr) => {{
        let new: &NewDossier = $new;
        sqlx::query(statements::NEW_DOSSIER)
            .bind(new.id.as_str())
            .bind(new.name.as_str())
            .bind(new.maker.as_str())
            .bind(whole($last.number)?)
            .bind(micros($first.at))
            .bind(micros(new.at))
            .bind(false)
            .execute(&mut *$all)
            .await?;
        for (revision, text) in &new.history {
            put_revision!($all, new.id, revision, text);
        }
        for file in &new.files {
            put_file!($all, new.id, file);
        }
        for publication in &new.publications {
            put_publication!(&mut *$all, new.id, publication);
        }
    }};
}

use {put_dossier, put_file, put_publication, put_revision, write_whole};

impl Rows {
    /// Opens the rows in a SQLite file, which is made where there is none, and brings its tables forward.
    ///
    /// # Errors
    /// A file that cannot be opened or written, that is no database, or that a later version wrote.
    pub async fn sqlite(file: &Path) -> Result<Self, LibraryError> {
        let write = engine::writer(file).await?;
        for steps in [&MIGRATIONS, &find::migrations()] {
            let mut tried = steps.run(&write).await;
            // Who loses a step to another program that brings the same file forward finds it made; so no more can be
            // lost than there are steps.
            for _ in steps.iter() {
                if tried.is_ok() {
                    break;
                }
                tried = steps.run(&write).await;
            }
            tried.map_err(unmigrated)?;
        }
        let read = engine::readers(file).await?;
        Ok(Self {
            read: Db::Lite(read),
            write: Db::Lite(write),
        })
    }

    /// Says that there is no such dossier, if there is none.
    async fn must_be(&self, id: &DossierId) -> Result<(), LibraryError> {
        let found: i64 = on!(&self.read, |pool| {
            sqlx::query_scalar(statements::IS_THERE)
                .bind(id.as_str())
                .fetch_one(pool)
                .await?
        });
        match found {
            0 => Err(LibraryError::NoDossier(id.clone())),
            _ => Ok(()),
        }
    }
}

fn unmigrated(error: MigrateError) -> LibraryError {
    match error {
        MigrateError::VersionMissing(version) | MigrateError::VersionTooNew(version, _) => {
            LibraryError::Later(version)
        }
        MigrateError::VersionMismatch(version) => {
            LibraryError::Damaged(format!("its tables were made by another step {version}"))
        }
        MigrateError::Execute(error) | MigrateError::ExecuteMigration(error, _) => error.into(),
        other => LibraryError::Unreachable(other.to_string()),
    }
}

#[async_trait]
impl Keeper for Rows {
    async fn create(&self, new: &NewDossier) -> Result<(), LibraryError> {
        let (first, last) = new.ends()?;
        write_whole!(self, |all| {
            put_dossier!(all, new, first, last);
        })
    }

    async fn heads(&self, which: Which, most: usize) -> Result<Vec<Head>, LibraryError> {
        let rows: Vec<HeadRow> = on!(&self.read, |pool| {
            sqlx::query_as(statements::HEADS)
                .bind(which == Which::Withdrawn)
                .bind(i64::try_from(most).unwrap_or(i64::MAX))
                .fetch_all(pool)
                .await?
        });
        rows.into_iter().map(HeadRow::read).collect()
    }

    async fn count(&self, which: Which) -> Result<usize, LibraryError> {
        let count: i64 = on!(&self.read, |pool| {
            sqlx::query_scalar(statements::COUNT)
                .bind(which == Which::Withdrawn)
                .fetch_one(pool)
                .await?
        });
        usize::try_from(count).map_err(kept::damaged)
    }

    async fn head(&self, id: &DossierId) -> Result<Option<Head>, LibraryError> {
        let row: Option<HeadRow> = on!(&self.read, |pool| {
            sqlx::query_as(statements::HEAD)
                .bind(id.as_str())
                .fetch_optional(pool)
                .await?
        });
        row.map(HeadRow::read).transpose()
    }

    async fn current(&self, id: &DossierId) -> Result<Option<(u64, String)>, LibraryError> {
        let row: Option<TextRow> = on!(&self.read, |pool| {
            sqlx::query_as(statements::CURRENT)
                .bind(id.as_str())
                .fetch_optional(pool)
                .await?
        });
        row.as_ref().map(TextRow::read).transpose()
    }

    async fn revision(
        &self,
        id: &DossierId,
        number: u64,
    ) -> Result<Option<(Revision, String)>, LibraryError> {
        self.must_be(id).await?;
        let Ok(number) = whole(number) else {
            return Ok(None);
        };
        let (row, text): (Option<RevisionRow>, Option<TextRow>) = on!(&self.read, |pool| {
            let row = sqlx::query_as(statements::REVISION)
                .bind(id.as_str())
                .bind(number)
                .fetch_optional(pool)
                .await?;
            let text = sqlx::query_as(statements::TEXT)
                .bind(id.as_str())
                .bind(number)
                .fetch_optional(pool)
                .await?;
            (row, text)
        });
        match (row, text) {
            (Some(row), Some(text)) => Ok(Some((row.read()?, text.read()?.1))),
            _ => Ok(None),
        }
    }

    async fn history(
        &self,
        id: &DossierId,
        before: Option<u64>,
        most: usize,
    ) -> Result<Vec<Revision>, LibraryError> {
        self.must_be(id).await?;
        let before = before.map_or(i64::MAX, |before| i64::try_from(before).unwrap_or(i64::MAX));
        let most = i64::try_from(most).unwrap_or(i64::MAX);
        let rows: Vec<RevisionRow> = on!(&self.read, |pool| {
            sqlx::query_as(statements::HISTORY)
                .bind(id.as_str())
                .bind(before)
                .bind(most)
                .fetch_all(pool)
                .await?
        });
        rows.into_iter().map(RevisionRow::read).collect()
    }

    async fn untaken(&self, id: &DossierId) -> Result<Vec<Untaken>, LibraryError> {
        self.must_be(id).await?;
        let rows: Vec<UntakenRow> = on!(&self.read, |pool| {
            sqlx::query_as(statements::UNTAKEN)
                .bind(id.as_str())
                .fetch_all(pool)
                .await?
        });
        rows.into_iter().map(UntakenRow::read).collect()
    }

    async fn last_seq(
        &self,
        id: &DossierId,
        client: &ClientId,
    ) -> Result<Option<u64>, LibraryError> {
        self.must_be(id).await?;
        let last: Option<i64> = on!(&self.read, |pool| {
            sqlx::query_scalar(statements::LAST_SEQ)
                .bind(id.as_str())
                .bind(client.as_str())
                .fetch_one(pool)
                .await?
        });
        last.map(kept::unsigned).transpose()
    }

    async fn answered(
        &self,
        id: &DossierId,
        client: &ClientId,
        seq: u64,
    ) -> Result<Option<ListAnswer>, LibraryError> {
        self.must_be(id).await?;
        let answer: Option<String> = on!(&self.read, |pool| {
            sqlx::query_scalar(statements::ANSWER)
                .bind(id.as_str())
                .bind(client.as_str())
                .bind(whole(seq)?)
                .fetch_optional(pool)
                .await?
        });
        answer.as_deref().map(kept::from_json).transpose()
    }

    async fn append(
        &self,
        id: &DossierId,
        after: u64,
        outcome: &Outcome,
    ) -> Result<Appended, LibraryError> {
        let after = whole(after)?;
        let kept = write_whole!(self, |all| {
            let held = match &outcome.revision {
                Some(new) => {
                    sqlx::query(statements::ADVANCE)
                        .bind(id.as_str())
                        .bind(after)
                        .bind(whole(new.number)?)
                        .bind(new.name.as_str())
                        .bind(new.maker.as_str())
                        .bind(micros(outcome.at))
                        .execute(&mut *all)
                        .await?
                }
                None => {
                    sqlx::query(statements::HOLD)
                        .bind(id.as_str())
                        .bind(after)
                        .execute(&mut *all)
                        .await?
                }
            };
            if held.rows_affected() == 0 {
                return Ok(false);
            }
            if let Some(new) = &outcome.revision {
                put_revision!(all, id, &revision(outcome, new), &new.text);
            }
            sqlx::query(statements::NEW_ANSWER)
                .bind(id.as_str())
                .bind(outcome.client.as_str())
                .bind(whole(outcome.list.seq)?)
                .bind(json(&outcome.answer)?)
                .execute(&mut *all)
                .await?;
            if let ListState::Refused { why } = &outcome.answer.state {
                sqlx::query(statements::NEW_UNTAKEN)
                    .bind(id.as_str())
                    .bind(micros(outcome.at))
                    .bind(outcome.by.as_str())
                    .bind(outcome.client.as_str())
                    .bind(json(&outcome.list)?)
                    .bind(json(why)?)
                    .execute(&mut *all)
                    .await?;
            }
            true
        })?;
        if kept {
            return Ok(Appended::Kept);
        }
        self.must_be(id).await?;
        Ok(Appended::Behind)
    }

    async fn withdraw(
        &self,
        id: &DossierId,
        withdrawn: bool,
        at: Timestamp,
    ) -> Result<(), LibraryError> {
        let done = write_whole!(self, |all| {
            sqlx::query(statements::WITHDRAW)
                .bind(id.as_str())
                .bind(withdrawn)
                .bind(micros(at))
                .execute(&mut *all)
                .await?
                .rows_affected()
        })?;
        match done {
            0 => Err(LibraryError::NoDossier(id.clone())),
            _ => Ok(()),
        }
    }

    async fn add_file(&self, id: &DossierId, file: &FileEntry) -> Result<(), LibraryError> {
        let there: Option<String> = write_whole!(self, |all| {
            let held = sqlx::query(statements::TOUCH)
                .bind(id.as_str())
                .execute(&mut *all)
                .await?;
            if held.rows_affected() == 0 {
                return Err(LibraryError::NoDossier(id.clone()));
            }
            put_file!(all, id, file);
            sqlx::query_scalar(statements::FILE_DIGEST)
                .bind(id.as_str())
                .bind(file.path.as_str())
                .fetch_optional(&mut *all)
                .await?
        })?;
        if there.as_ref() == Some(&file.sha256) {
            return Ok(());
        }
        Err(LibraryError::Taken {
            dossier: id.clone(),
            path: file.path.clone(),
        })
    }

    async fn files(&self, id: &DossierId) -> Result<Vec<FileEntry>, LibraryError> {
        self.must_be(id).await?;
        let rows: Vec<FileRow> = on!(&self.read, |pool| {
            sqlx::query_as(statements::FILES)
                .bind(id.as_str())
                .fetch_all(pool)
                .await?
        });
        rows.into_iter().map(FileRow::read).collect()
    }

    async fn publish(&self, id: &DossierId, new: &Publication) -> Result<bool, LibraryError> {
        self.put_publication(id, new).await
    }

    async fn publications(&self, id: &DossierId) -> Result<Vec<Publication>, LibraryError> {
        self.all_publications(id).await
    }

    async fn leave_out(
        &self,
        id: &DossierId,
        what: &LeavingOut,
        by: &Person,
        at: Timestamp,
    ) -> Result<(), LibraryError> {
        self.put_leaving_out(id, what, by, at).await
    }

    async fn leaving_out(&self, id: &DossierId) -> Result<Option<LeavingOut>, LibraryError> {
        self.kept_leaving_out(id).await
    }

    async fn answers(&self, id: &DossierId) -> Result<Vec<ListAnswer>, LibraryError> {
        self.must_be(id).await?;
        let rows: Vec<String> = on!(&self.read, |pool| {
            sqlx::query_scalar(statements::ANSWERS)
                .bind(id.as_str())
                .fetch_all(pool)
                .await?
        });
        rows.iter().map(|text| kept::from_json(text)).collect()
    }

    async fn damage(&self) -> Result<Vec<String>, LibraryError> {
        match &self.read {
            Db::Lite(pool) => engine::damage(pool).await,
            #[cfg(feature = "team")]
            Db::Team(pool) => postgres::damage(pool).await,
        }
    }

    async fn copy_rows(&self, file: &Path) -> Result<(), LibraryError> {
        match &self.read {
            Db::Lite(pool) => engine::copy(pool, file).await,
            #[cfg(feature = "team")]
            Db::Team(pool) => postgres::copy(pool, file).await,
        }
    }

    async fn close(&self) {
        on!(&self.read, |pool| pool.close().await);
        on!(&self.write, |pool| pool.close().await);
    }
}
