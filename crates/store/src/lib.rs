//! Everything that touches a disk: one bounded opener for every read, one locked store for every write.
//!
//! In: paths. Out: bytes that are known to be a regular file of bearable size; files and folders that appear
//! whole or not at all.
//! Not here: what the bytes mean.
//!
//! How a write goes, whatever is written: the folder that holds the file (or the output folder) is locked; what
//! killed runs left in it is cleared away; the new content is written under a name that nobody can guess,
//! created exclusively, and flushed; a text that is replaced is first kept in `.revisions`; then the new
//! content takes its place in one step, and the folder is flushed. A link is never written through.

pub mod cache;
mod copies;
mod dossier_files;
mod exchange;
mod fault;
mod folder;
pub mod fonts;
mod kept;
pub mod limits;
mod lock;
mod new;
pub mod opener;
mod output;
mod place;
mod secret;

pub use copies::{Copies, FolderCopy, ROOM};
pub use fault::StoreError;
pub use folder::{
    DossierFolder, FILE_FOLDERS, SUBFOLDERS, TEXT, add_file, create, create_from, create_with,
    edit, edit_adding, open, open_draft, open_with, save,
};
pub use kept::{REVISIONS, replace};
pub use kept::{Saved, revise};
pub use new::{NewFile, NewFolder};
pub use output::{MARKER, Output, OutputFile};
pub use place::{make_folder, make_own_folder};
pub use secret::secret;
