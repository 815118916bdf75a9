//! Looking whether a library still holds what was kept in it.
//!
//! In: a library. Out: [`Verified`]: how much was looked at, and every damage found.
//! Not here: mending. Bytes are mended by adding the same file again, all else by bringing back a backup.
//!
//! What is looked at: the tables by the engine's own check; of each dossier every revision, that its number follows
//! and its text has the digest it was kept with; the last [`TAKEN_BACK`] of them, that their inverse edits give the text
//! before; that the list says what the last text says; that every answer that says "kept" names a revision; that each
//! file's bytes have their digest and count. It may run while others save: what is added meanwhile is not looked at.

use crate::bring::{TAKEN_BACK, leads_back};
use crate::library::FILE;
use crate::{DossierId, FileEntry, Head, Held, Library, LibraryError, ListState, Revision, Which};
use serde::Serialize;
use std::collections::BTreeSet;

/// What was looked at, and what is damaged.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Verified {
    /// Dossiers, withdrawn ones among them.
    pub dossiers: u64,
    /// Revisions.
    pub revisions: u64,
    /// Files of dossiers, and of what was published of them.
    pub files: u64,
    /// Bytes of different files.
    pub bytes: u64,
    /// Objects that no dossier names: left by an upload or an import that was broken off. They do no harm.
    pub unused: u64,
    /// What is damaged; empty in a sound library.
    pub damage: Vec<Damage>,
}

/// One thing that is not as it was kept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Damage {
    /// In which dossier, where it is in one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dossier: Option<DossierId>,
    /// What is wrong, one sentence without a full stop.
    pub what: String,
}

impl Library {
    /// Looks whether everything kept is still what was kept.
    ///
    /// # Errors
    /// Where the library cannot be reached; damage is no error but the answer.
    pub async fn verify(&self) -> Result<Verified, LibraryError> {
        let mut found = Verified::default();
        for what in self.keeper.damage().await? {
            found.add(None, what);
        }
        let mut sound = BTreeSet::new();
        for which in [Which::Present, Which::Withdrawn] {
            let heads = self.keeper.heads(which, usize::MAX).await;
            for head in noted(heads, None, &mut found)?.unwrap_or_default() {
                found.dossiers += 1;
                self.verify_dossier(&head, &mut found, &mut sound).await?;
            }
        }
        for digest in self.objects.digests().await? {
            found.unused += u64::from(!sound.contains(&digest));
        }
        Ok(found)
    }

    async fn verify_dossier(
        &self,
        head: &Head,
        found: &mut Verified,
        seen: &mut BTreeSet<String>,
    ) -> Result<(), LibraryError> {
        let id = &head.id;
        let files = noted(self.keeper.files(id).await, Some(id), found)?.unwrap_or_default();
        let published = noted(self.keeper.publications(id).await, Some(id), found)?;
        let published = published.unwrap_or_default();
        for file in files.iter().chain(published.iter().flat_map(|p| &p.files)) {
            found.files += 1;
            if seen.insert(file.sha256.clone()) {
                self.verify_file(id, file, found).await?;
            }
        }
        let mut later: Option<(Revision, String)> = None;
        let mut taken_back = 0;
        for number in (1..=head.revision).rev() {
            found.revisions += 1;
            let kept = self.keeper.revision(id, number).await;
            let kept = match noted(kept, Some(id), found)? {
                Some(Some(kept)) => kept,
                Some(None) => {
                    found.add(Some(id), format!("revision {number} is missing"));
                    later = None;
                    continue;
                }
                None => {
                    later = None;
                    continue;
                }
            };
            if number == head.revision {
                verify_head(head, &kept.1, &files, found);
            }
            if let Some((revision, after)) = &later
                && taken_back < TAKEN_BACK
            {
                taken_back += 1;
                if let Err(what) = leads_back(revision, after, &kept.1) {
                    found.add(Some(id), what);
                }
            }
            later = Some(kept);
        }
        let answers = noted(self.keeper.answers(id).await, Some(id), found)?;
        for answer in answers.unwrap_or_default() {
            // Lists answered since the head was read may name later ones; those are looked up.
            if let ListState::Kept { revision } = answer.state
                && revision > head.revision
                && self
                    .keeper
                    .head(id)
                    .await?
                    .is_none_or(|now| now.revision < revision)
            {
                let seq = answer.seq;
                found.add(
                    Some(id),
                    format!("list {seq} was kept as revision {revision}, which is missing"),
                );
            }
        }
        Ok(())
    }

    async fn verify_file(
        &self,
        id: &DossierId,
        file: &FileEntry,
        found: &mut Verified,
    ) -> Result<(), LibraryError> {
        let path = &file.path;
        match self.object(&file.sha256).await {
            Ok(bytes) if bytes.len() as u64 == file.bytes => found.bytes += file.bytes,
            Ok(bytes) => {
                let what = format!("{path} has {} bytes, not {}", bytes.len(), file.bytes);
                found.add(Some(id), what);
            }
            Err(LibraryError::Damaged(what)) => found.add(Some(id), format!("{path}: {what}")),
            Err(error) => return Err(error),
        }
        Ok(())
    }
}

impl Verified {
    fn add(&mut self, dossier: Option<&DossierId>, what: String) {
        let dossier = dossier.cloned();
        self.damage.push(Damage { dossier, what });
    }
}

/// Notes damage and goes on; what else keeps rows from being read ends the look.
fn noted<T>(
    read: Result<T, LibraryError>,
    dossier: Option<&DossierId>,
    found: &mut Verified,
) -> Result<Option<T>, LibraryError> {
    match read {
        Ok(read) => Ok(Some(read)),
        Err(LibraryError::Damaged(what)) => {
            found.add(dossier, what);
            Ok(None)
        }
        Err(error) => Err(error),
    }
}

/// The list says of a dossier what its last text says.
fn verify_head(head: &Head, text: &str, files: &[FileEntry], found: &mut Verified) {
    let id = Some(&head.id);
    match record::read_text(text, FILE, &Held(files.to_vec())) {
        Ok(dossier) => {
            if (&dossier.product.name, &dossier.product.maker) != (&head.name, &head.maker) {
                found.add(id, "the list names another product than the text".into());
            }
        }
        Err(problems) => found.add(id, format!("its text no longer reads: {problems}")),
    }
}
