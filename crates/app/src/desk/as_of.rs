//! A whole revision brought back.
//!
//! In: a dossier, the number of a revision. Out: the list of edits that makes the text what it was then, to be taken
//! as any other, so that it is a revision of its own and can be taken back.

use super::{Desk, blocking};
use crate::Problem;
use library::{DossierId, EditList};
use record::Draft;

impl Desk {
    /// Makes the list that brings a whole revision back.
    ///
    /// # Errors
    /// No such dossier or revision.
    pub async fn as_of(&self, id: &DossierId, revision: u64) -> Result<EditList, Problem> {
        let (_, then) = self.library.revision(id, revision).await?;
        let now = self.library.current(id).await?;
        blocking(move || {
            let draft = Draft::parse(&now.text, store::TEXT)?;
            Ok(EditList::as_of(revision, draft.becoming(&then)))
        })
        .await
    }
}
