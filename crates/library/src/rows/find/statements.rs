//! Statements of the index, for each database.

mod alike;
#[cfg(feature = "team")]
pub(super) mod postgres;
pub(super) mod sqlite;
