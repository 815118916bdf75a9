//! What can be done with dossiers: each use case one function, for a command, a server or a test alike.
//!
//! In: plain options, and a [`Watch`] where the work is long. Out: plain results, or one [`Problem`] with its
//! kind, place and remedy.
//! Not here: arguments, texts for a terminal, exit codes (the command); how anything is worked out (the crates
//! below).

mod add;
pub mod arrival;
mod balance;
pub mod bench;
pub mod brought;
mod bundle;
mod captions;
pub mod catalogues;
mod demo;
pub mod desk;
mod dossier;
mod examine;
pub mod finding;
mod finite;
mod imaging_problem;
pub mod incoming;
pub mod keeping;
mod known;
mod listen;
pub mod log;
pub mod measure;
pub mod opening;
mod outlines;
pub mod past;
mod photographs;
mod picture;
pub mod plates;
mod problem;
mod publish;
pub mod read;
mod ready;
mod recorded;
mod remedy;
mod served;
mod site;
mod taking;
mod tasks;
mod typefaces;
mod verify;
mod warnings;
mod watch;

pub use ::captions::Correction;
pub use add::{Added, Addition, add, form, remove, set};
pub use balance::balance;
pub use captions::{CaptionOptions, Film, Listed, ProofRead, captions};
pub use demo::{DemoFolder, keep_demo, write_demo};
pub use dossier::{check, edit, new, new_of, new_text, open, open_draft, save};
pub use examine::{ExamineOptions, Examined, examine};
pub use listen::{Listened, listen};
pub use outlines::{Offered, OutlineOptions, Outlined, outlines};
pub use photographs::PicturesKept;
pub use picture::{Kernel, PictureOptions, Pictured, Rectify, picture};
pub use problem::{At, Fault, Kind, Problem};
pub use publish::{
    Dated, Out, Prepared, Preparing, PublishOptions, Published, persons, prepare, publish,
};
pub use ready::{Gap, Readiness, readiness, ready};
pub use remedy::Remedy;
pub use served::{Served, served};
pub use site::{Site, site};
pub use taking::{Taking, WantedReading, Why, takings};
pub use tasks::{Task, Tasks, task_pictures, tasks};
pub use verify::{Verified, VerifyOptions, verify};
pub use warnings::{Spot, Warning, warnings};
pub use watch::{Unwatched, Watch};

use std::path::Path;

/// Returns a path as it is shown: on one line, nothing in it steering, without the dot of the current folder.
pub fn shown(path: impl AsRef<Path>) -> String {
    let path = path.as_ref();
    let inside = path
        .strip_prefix(".")
        .ok()
        .filter(|p| p.components().next().is_some());
    record::visible(&inside.unwrap_or(path).to_string_lossy())
}

/// Returns an id that is not taken: the wanted one, or with a number.
pub(crate) fn free_id(wanted: &str, is_taken: impl Fn(&str) -> bool) -> String {
    if !is_taken(wanted) {
        return wanted.to_string();
    }
    (2..)
        .map(|n| format!("{wanted}-{n}"))
        .find(|id| !is_taken(id))
        .unwrap_or_else(|| wanted.to_string())
}
