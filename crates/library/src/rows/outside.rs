//! What a dossier in its own folder keeps beside its revisions: texts that others wrote, and files as they lie there.

use super::engine::on;
use super::kept::{self, Deflated, json, micros, whole};
use super::{Rows, put_file, put_revision, statements, write_whole};
use crate::{ClientId, DossierId, FileEntry, Keeper as _, LibraryError, Revision};
use sqlx::Connection as _;

/// A text that another program wrote.
pub(crate) struct Outside {
    /// The revision that it is, one after the latest.
    pub(crate) revision: Revision,
    /// The text.
    pub(crate) text: String,
    /// Name and maker of the product, where it reads.
    pub(crate) product: Option<(String, String)>,
}

impl Rows {
    /// Returns the last revision that the text file was known to hold.
    pub(crate) async fn settled(&self, id: &DossierId) -> Result<Option<u64>, LibraryError> {
        let settled: Option<i64> = on!(&self.read, |pool| {
            sqlx::query_scalar(statements::SETTLED)
                .bind(id.as_str())
                .fetch_one(pool)
                .await?
        });
        settled.map(kept::unsigned).transpose()
    }

    /// Notes that the text file holds a revision.
    pub(crate) async fn settle(&self, id: &DossierId, number: u64) -> Result<(), LibraryError> {
        write_whole!(self, |all| {
            sqlx::query(statements::SETTLE)
                .bind(id.as_str())
                .bind(whole(number)?)
                .execute(&mut *all)
                .await?;
        })
    }

    /// Keeps what another program wrote; whether it was kept, and not another revision meanwhile.
    pub(crate) async fn append_outside(
        &self,
        id: &DossierId,
        outside: &Outside,
    ) -> Result<bool, LibraryError> {
        let number = whole(outside.revision.number)?;
        let Some(head) = self.head(id).await? else {
            return Err(LibraryError::NoDossier(id.clone()));
        };
        let (name, maker) = outside.product.clone().unwrap_or((head.name, head.maker));
        write_whole!(self, |all| {
            let held = sqlx::query(statements::ADVANCE)
                .bind(id.as_str())
                .bind(number - 1)
                .bind(number)
                .bind(name.as_str())
                .bind(maker.as_str())
                .bind(micros(outside.revision.at))
                .execute(&mut *all)
                .await?;
            if held.rows_affected() == 0 {
                return Ok(false);
            }
            put_revision!(all, id, &outside.revision, &outside.text);
            sqlx::query(statements::SETTLE)
                .bind(id.as_str())
                .bind(number)
                .execute(&mut *all)
                .await?;
            true
        })
    }

    /// Lists the files with when they were changed last, microseconds since 1970-01-01 UTC.
    pub(crate) async fn known_files(
        &self,
        id: &DossierId,
    ) -> Result<Vec<(FileEntry, Option<i64>)>, LibraryError> {
        let dates: Vec<(String, Option<i64>)> = on!(&self.read, |pool| {
            sqlx::query_as(statements::DATES)
                .bind(id.as_str())
                .fetch_all(pool)
                .await?
        });
        let files = self.files(id).await?;
        let date = |file: &FileEntry| {
            let found = dates.iter().find(|(path, _)| *path == file.path);
            found.and_then(|(_, modified)| *modified)
        };
        Ok(files
            .into_iter()
            .map(|file| (file.clone(), date(&file)))
            .collect())
    }

    /// Notes the files as they are now.
    pub(crate) async fn replace_files(
        &self,
        id: &DossierId,
        files: &[(FileEntry, Option<i64>)],
    ) -> Result<(), LibraryError> {
        write_whole!(self, |all| {
            sqlx::query(statements::FORGET_FILES)
                .bind(id.as_str())
                .execute(&mut *all)
                .await?;
            for (file, modified) in files {
                put_file!(all, id, file);
                sqlx::query(statements::DATE_FILE)
                    .bind(id.as_str())
                    .bind(file.path.as_str())
                    .bind(*modified)
                    .execute(&mut *all)
                    .await?;
            }
        })
    }
}
