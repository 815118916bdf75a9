//! Graphs against published cases and against properties that every right answer has.

#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test fails by panicking and reads its cases from the disk"
)]

mod drawn;
mod plain;
mod properties;
mod published;
mod separation;
