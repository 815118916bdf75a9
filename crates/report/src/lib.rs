//! Findings and pictures as a report: terminal, HTML, PDF, XLSX, CSV, JSON.
//!
//! In: a dossier, its findings, the photographs' bytes. Out: text and bytes.
//! Not here: calculating anything; reading or writing files.

mod compose;
mod document;
mod html;
mod photographs;
mod svg;
mod terminal;
mod words;

pub use compose::compose;
pub use document::{
    Block, Document, PhotoRegion, Place, RowMark, Section, Table, anchor, finding_anchor,
    photo_anchor, verdict_words,
};
pub use html::html;
pub use photographs::{Photographs, media_type, pixel_size};
pub use terminal::{Style, terminal};
