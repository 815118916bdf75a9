//! What can be done with dossiers: each use case one function, for a command, a server or a test alike.
//!
//! In: plain options, and a [`Watch`] where the work is long. Out: plain results, or one [`Problem`] with its
//! kind, place and remedy.
//! Not here: arguments, texts for a terminal, exit codes (the command); how anything is worked out (the crates
//! below).

mod bundle;
pub mod catalogues;
mod demo;
mod dossier;
mod examine;
mod finite;
mod imaging_problem;
mod known;
pub mod measure;
mod outlines;
mod photographs;
mod picture;
mod problem;
mod publish;
pub mod read;
mod ready;
mod remedy;
mod typefaces;
mod verify;
mod watch;

pub use demo::{DemoFolder, write_demo};
pub use dossier::{check, edit, new, open, open_draft, save};
pub use examine::{ExamineOptions, Examined, examine};
pub use outlines::{Offered, OutlineOptions, Outlined, outlines};
pub use picture::{Kernel, PictureOptions, Pictured, Rectify, picture};
pub use problem::{At, Kind, Problem};
pub use publish::{PublishOptions, Published, publish};
pub use ready::{Gap, Readiness, ready};
pub use remedy::Remedy;
pub use verify::{Verified, VerifyOptions, verify};
pub use watch::{Unwatched, Watch};

use std::path::Path;

/// Returns a path as it is shown: on one line, nothing in it steering.
pub fn shown(path: impl AsRef<Path>) -> String {
    record::visible(&path.as_ref().to_string_lossy())
}
