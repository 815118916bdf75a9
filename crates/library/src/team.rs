//! A library of a team: rows in PostgreSQL, photographs in a store that speaks S3 (feature `team`).
//!
//! In: where both are, and what the store lets in with. Out: the [`Library`].
//! Not here: where secrets come from.
//!
//! The store is written `s3://BUCKET/PREFIX?endpoint=https://HOST&region=REGION`; prefix and region may be left out.

#[cfg(feature = "team")]
mod store;

use crate::{Library, LibraryError};
use std::fmt;
#[cfg(feature = "team")]
pub use store::store_at;

/// Whether this build opens libraries of a team.
pub const TEAM: bool = cfg!(feature = "team");

/// What a store lets in with.
#[derive(Clone)]
pub struct StoreKey {
    /// The name of the key.
    pub key: String,
    /// What requests are signed with; it is never sent.
    pub secret: String,
}

impl fmt::Debug for StoreKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("StoreKey")
    }
}

impl Library {
    /// Opens the library in a database of PostgreSQL, with its photographs in a store; what is not there is made.
    ///
    /// # Errors
    /// A database or a store that is not reached or does not let in; tables of a later version; a build without them.
    pub async fn team(database: &str, store: &str, key: &StoreKey) -> Result<Self, LibraryError> {
        opened(database, store, key).await
    }
}

#[cfg(not(feature = "team"))]
async fn opened(_: &str, _: &str, _: &StoreKey) -> Result<Library, LibraryError> {
    Err(LibraryError::NotBuilt)
}

#[cfg(feature = "team")]
async fn opened(database: &str, store: &str, key: &StoreKey) -> Result<Library, LibraryError> {
    use crate::open::OBJECTS;
    use object_store::path::Path;
    use object_store::{Error, ObjectStoreExt as _};
    let objects = store_at(store, key)?;
    // A store that does not let in says so at once, and not at the first photograph.
    match objects.head(&Path::from(format!("{OBJECTS}/none"))).await {
        Ok(_) | Err(Error::NotFound { .. }) => {}
        Err(error) => return Err(error.into()),
    }
    let rows = crate::Rows::postgres(database).await?;
    Ok(Library::of(std::sync::Arc::new(rows), objects))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_secret_is_not_shown() {
        let key = StoreKey {
            key: "bench".into(),
            secret: "unspoken".into(),
        };
        assert!(!format!("{key:?}").contains("unspoken"));
    }
}
