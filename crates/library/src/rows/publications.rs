//! Publications in their tables.

use super::engine::on;
use super::kept::{from_json, json, micros, time, unsigned, whole};
use super::{Rows, put_publication, statements};
use crate::{DossierId, LeavingOut, LibraryError, Person, Publication};
use jiff::Timestamp;
use sqlx::FromRow;

#[derive(FromRow)]
struct PublicationRow {
    version: i64,
    revision: i64,
    made: i64,
    author: String,
    reason: Option<String>,
    fingerprint: Option<String>,
    files: String,
}

impl PublicationRow {
    fn read(self) -> Result<Publication, LibraryError> {
        Ok(Publication {
            version: unsigned(self.version)?,
            revision: unsigned(self.revision)?,
            at: time(self.made)?,
            by: Person::from(self.author),
            reason: self.reason,
            fingerprint: self.fingerprint,
            files: from_json(&self.files)?,
        })
    }
}

impl Rows {
    pub(super) async fn put_publication(
        &self,
        id: &DossierId,
        new: &Publication,
    ) -> Result<bool, LibraryError> {
        let done = on!(&self.write, |pool| { put_publication!(pool, id, new) });
        if done == 0 {
            self.must_be(id).await?;
        }
        Ok(done > 0)
    }

    pub(super) async fn all_publications(
        &self,
        id: &DossierId,
    ) -> Result<Vec<Publication>, LibraryError> {
        self.must_be(id).await?;
        let rows: Vec<PublicationRow> = on!(&self.read, |pool| {
            sqlx::query_as(statements::PUBLICATIONS)
                .bind(id.as_str())
                .fetch_all(pool)
                .await?
        });
        rows.into_iter().map(PublicationRow::read).collect()
    }

    pub(super) async fn put_leaving_out(
        &self,
        id: &DossierId,
        what: &LeavingOut,
        by: &Person,
        at: Timestamp,
    ) -> Result<(), LibraryError> {
        self.must_be(id).await?;
        on!(&self.write, |pool| {
            sqlx::query(statements::LEAVE_OUT)
                .bind(id.as_str())
                .bind(micros(at))
                .bind(by.as_str())
                .bind(json(what)?)
                .execute(pool)
                .await?;
        });
        Ok(())
    }

    pub(super) async fn kept_leaving_out(
        &self,
        id: &DossierId,
    ) -> Result<Option<LeavingOut>, LibraryError> {
        self.must_be(id).await?;
        let what: Option<String> = on!(&self.read, |pool| {
            sqlx::query_scalar(statements::LEAVING_OUT)
                .bind(id.as_str())
                .fetch_optional(pool)
                .await?
        });
        what.map(|text| from_json(&text)).transpose()
    }
}
