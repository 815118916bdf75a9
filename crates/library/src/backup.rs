//! A second library with all that a library holds, made while it is in use.
//!
//! In: a library, a folder that is new or empty. Out: the copy, looked through, under its name; or nothing there.
//! Not here: how the rows are copied at one moment (the keeper).
//!
//! The rows are copied first, as they are at one moment. Every object that they name was flushed before they were
//! written, and no object is ever changed, so the objects can be copied afterwards however long that takes.

use crate::files::key;
use crate::open::{OBJECTS, ROWS, objects_in, opened};
use crate::{Library, LibraryError, Rows, Verified, Which};
use object_store::{ObjectStoreExt, PutPayload};
use std::collections::BTreeSet;
use std::path::Path;
use store::NewFolder;

impl Library {
    /// Copies everything into a new folder, looks through the copy, and gives it its name when it is sound.
    ///
    /// # Errors
    /// A folder that holds something; no room; damage in the copy, which then is not kept.
    pub async fn backup(&self, into: &Path) -> Result<Verified, LibraryError> {
        let staged = NewFolder::begin(into)?;
        let folder = staged.path();
        staged.put_folder(OBJECTS)?;
        self.keeper.copy_rows(&folder.join(ROWS)).await?;
        let rows = Rows::sqlite(&folder.join(ROWS)).await?;
        let copied = self.copy_objects(&rows, folder).await;
        crate::Keeper::close(&rows).await;
        copied?;
        let copy = opened(folder).await?;
        let verified = copy.verify().await;
        copy.close().await;
        let verified = verified?;
        if let Some(first) = verified.damage.first() {
            return Err(LibraryError::Damaged(first.what.clone()));
        }
        staged.finish()?;
        Ok(verified)
    }

    /// Copies the objects that these rows name.
    async fn copy_objects(&self, rows: &Rows, folder: &Path) -> Result<(), LibraryError> {
        let to = objects_in(folder)?;
        let keeper: &dyn crate::Keeper = rows;
        let mut copied = BTreeSet::new();
        for which in [Which::Present, Which::Withdrawn] {
            for head in keeper.heads(which, usize::MAX).await? {
                let published = keeper.publications(&head.id).await?;
                let published = published.into_iter().flat_map(|p| p.files);
                for file in keeper.files(&head.id).await?.into_iter().chain(published) {
                    if copied.insert(file.sha256.clone()) {
                        let bytes = self.object(&file.sha256).await?;
                        let payload = PutPayload::from_bytes(bytes);
                        to.put(&key(&file.sha256), payload).await?;
                    }
                }
            }
        }
        Ok(())
    }
}
