//! Servers for tests of libraries of a team: PostgreSQL from the system's own binaries, and a store in this process.
//!
//! In: nothing. Out: a [`Cluster`], a [`Bucket`], and libraries in them, new for every test; all gone with the program.
//! Not here: what is tested (`tests`).
//!
//! Depending on this crate, or testing the whole workspace, builds `library` with its feature `team`; the command is
//! built without it.

mod bucket;
mod cluster;

pub use bucket::{Bucket, KEY, SECRET};
pub use cluster::Cluster;

use library::{Library, StoreKey};

/// What the stores of tests let in with.
pub fn store_key() -> StoreKey {
    StoreKey {
        key: KEY.to_string(),
        secret: SECRET.to_string(),
    }
}

/// Makes an empty library in the servers that the tests of this program share, and tells its database; nothing where
/// PostgreSQL is not installed.
///
/// # Panics
/// Where it is not and nothing may be skipped; where it cannot be started.
pub async fn team() -> Option<(String, Library)> {
    let database = Cluster::shared()?.database();
    let store = Bucket::shared().address();
    let opened = Library::team(&database, &store, &store_key()).await;
    Some((database, opened.expect("both run")))
}
