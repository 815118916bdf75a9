//! Findings and pictures as a report: terminal, HTML, PDF, XLSX, CSV, JSON.
//!
//! In: a dossier, its findings, the photographs' bytes. Out: text and bytes.
//! Not here: calculating anything; reading or writing files.

mod document;

pub use document::{Block, Document, Section, Table};
