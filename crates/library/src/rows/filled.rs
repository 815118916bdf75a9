//! Many new dossiers at a time, with what is indexed of them.
//!
//! In: dossiers, each with its index. Out: the rows that keeping and indexing them one after another makes.
//! Not here: reading their texts; whoever fills a library made them, or read them before.

use super::engine::on;
use super::find::{Open, Prepared, index_within};
use super::kept::{self, Deflated, json, micros, whole};
use super::{Rows, put_dossier, put_file, put_publication, put_revision, statements, write_whole};
use crate::{ClientId, FileEntry, Indexed, LibraryError, NewDossier, Publication, Revision};
use sqlx::Connection as _;

impl Rows {
    /// Keeps new dossiers and what is indexed of them, all or none: the disk is waited for once.
    ///
    /// # Errors
    /// A history without revisions; no room.
    pub async fn fill(&self, all: &[(NewDossier, Indexed)]) -> Result<(), LibraryError> {
        let mut prepared = Vec::new();
        for (new, indexed) in all {
            let (first, last) = new.ends()?;
            prepared.push((new, first, last, indexed, Prepared::of(indexed)?));
        }
        write_whole!(self, |transaction| {
            for (new, first, last, indexed, prepared) in prepared {
                put_dossier!(transaction, new, first, last);
                let mut open = Open::from(&mut *transaction);
                index_within(&mut open, &new.id, indexed, prepared).await?;
            }
        })
    }
}
