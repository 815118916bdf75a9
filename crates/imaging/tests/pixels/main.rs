//! Picture files: notes taken out, sizes, formats, tiles, rectified views.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod files;
mod intake;
mod metadata;
mod odd_files;
mod rectify;
mod tiles;
mod write;
