//! Where the bytes of files lie: in an object store under their digests, or in the folder of a dossier under their paths.

use crate::files::key;
use crate::open::OBJECTS;
use crate::{FileEntry, LibraryError};
use async_trait::async_trait;
use bytes::Bytes;
use futures::TryStreamExt as _;
use object_store::path::Path as Key;
use object_store::{ObjectStore, ObjectStoreExt, PutMode, PutOptions, PutPayload};
use std::sync::Arc;

/// Holds bytes. What is returned may be other bytes than were put; the library compares.
#[async_trait]
pub(crate) trait Objects: Send + Sync + 'static {
    /// Puts bytes that are not there yet; whether they were put.
    async fn put_new(&self, entry: &FileEntry, bytes: &Bytes) -> Result<bool, LibraryError>;

    /// Puts bytes in the place of damaged ones.
    async fn put_over(&self, entry: &FileEntry, bytes: &Bytes) -> Result<(), LibraryError>;

    /// Returns the bytes of a digest; `None` where there are none.
    async fn get(&self, digest: &str) -> Result<Option<Bytes>, LibraryError>;

    /// Lists the digests of all bytes.
    async fn digests(&self) -> Result<Vec<String>, LibraryError>;

    /// Where bytes go that are no file of a dossier, if not here.
    fn aside(&self) -> Option<&dyn Objects> {
        None
    }
}

/// Bytes in an object store.
pub(crate) struct Stored(pub(crate) Arc<dyn ObjectStore>);

impl Stored {
    async fn put(
        &self,
        entry: &FileEntry,
        bytes: &Bytes,
        mode: PutMode,
    ) -> Result<(), object_store::Error> {
        let payload = PutPayload::from_bytes(bytes.clone());
        let key = entry.key();
        let put = self.0.put_opts(&key, payload, PutOptions::from(mode));
        put.await.map(|_| ())
    }
}

#[async_trait]
impl Objects for Stored {
    async fn put_new(&self, entry: &FileEntry, bytes: &Bytes) -> Result<bool, LibraryError> {
        match self.put(entry, bytes, PutMode::Create).await {
            Ok(()) => Ok(true),
            Err(object_store::Error::AlreadyExists { .. }) => Ok(false),
            Err(error) => Err(error.into()),
        }
    }

    async fn put_over(&self, entry: &FileEntry, bytes: &Bytes) -> Result<(), LibraryError> {
        Ok(self.put(entry, bytes, PutMode::Overwrite).await?)
    }

    async fn get(&self, digest: &str) -> Result<Option<Bytes>, LibraryError> {
        match self.0.get(&key(digest)).await {
            Ok(found) => Ok(Some(found.bytes().await?)),
            Err(object_store::Error::NotFound { .. }) => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    async fn digests(&self) -> Result<Vec<String>, LibraryError> {
        let listed = self.0.list(Some(&Key::from(OBJECTS)));
        let names = listed.map_ok(|object| object.location.filename().map(str::to_string));
        let names: Vec<Option<String>> = names.try_collect().await?;
        Ok(names.into_iter().flatten().collect())
    }
}
