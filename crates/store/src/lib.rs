//! Everything that touches a disk: one bounded opener for every read, one locked store for every write.
//!
//! In: paths. Out: bytes that are known to be a regular file of bearable size; files and folders that appear
//! whole or not at all.
//! Not here: what the bytes mean.

pub mod limits;
pub mod look;
pub mod opener;
mod save;
