//! Accounts and sessions of a dossier in its own folder: beside its history.

use super::Single;
use crate::LibraryError;
use crate::people::{Account, Enrolled, People};
use async_trait::async_trait;
use jiff::Timestamp;

#[async_trait]
impl People for Single {
    async fn people(&self) -> Result<Vec<Enrolled>, LibraryError> {
        self.rows.people().await
    }

    async fn enrol(&self, new: &Enrolled) -> Result<bool, LibraryError> {
        self.rows.enrol(new).await
    }

    async fn rehash(&self, folded: &str, hash: &str) -> Result<bool, LibraryError> {
        self.rows.rehash(folded, hash).await
    }

    async fn strike(&self, folded: &str) -> Result<bool, LibraryError> {
        self.rows.strike(folded).await
    }

    async fn begin(
        &self,
        digest: &str,
        folded: &str,
        until: Timestamp,
        now: Timestamp,
    ) -> Result<(), LibraryError> {
        self.rows.begin(digest, folded, until, now).await
    }

    async fn whose(&self, digest: &str, now: Timestamp) -> Result<Option<Account>, LibraryError> {
        self.rows.whose(digest, now).await
    }

    async fn end(&self, digest: &str) -> Result<(), LibraryError> {
        self.rows.end(digest).await
    }
}
