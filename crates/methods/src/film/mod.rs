//! What a film and an article of an opening need, from the record and what was found.
//!
//! In: a dossier, its findings. Out: the narration in the order of the opening with what is written and what is said
//! ([`narration`]), how names are said ([`pronunciations`]), what must be filmed when ([`shots`]), where the chapters of
//! a film begin ([`chapters`]), what stands over the picture ([`overlays`]). Plain data; nothing here is a finding.
//! Not here: files and their forms (`app`), pixels (`pdf`).

mod chapters;
mod narration;
mod overlays;
mod pronunciation;
mod shots;

pub use chapters::{Chapter, Chapters, chapters};
pub use narration::{Line, Narration, Topic, narration};
pub use overlays::{Overlay, overlays};
pub use pronunciation::{Pronounced, pronunciations};
pub use shots::{Shot, State, When, shots};
