//! Photographs under the hand: taken in, cut into tiles, searched for bodies, measured at a touch.
//!
//! In: the library that holds their bytes; a folder for what is made of them. Out: tiles, previews, bodies,
//! outlines, snapped boxes; edits that record what was marked.
//! Not here: pages; what is written (a window sends the edits itself).
//!
//! Everything made of a photograph is named by the SHA-256 of its bytes, so that it is made once whatever the
//! photograph is called. One photograph is decoded at a time; those decoded are held within
//! [`Budget::decoded_bytes`].

mod bodies;
mod decoded;
mod join;
mod learn;
mod marked;
mod pack;
mod part;
mod photograph;
mod same;
mod snap;
mod table;
mod tiles;

pub use bodies::{Bodies, Body};
pub use join::{join, twice};
pub use learn::{Learned, is_known, learn};
pub use marked::{Marked, Marks, known_things};
pub use part::{Boxed, RoleTaking, TakenPart, Taking, role, take};
pub use photograph::Arrived;
pub use same::{Alike, CountIn, count_in};
pub use snap::{Ask, BoxRival, BoxSide, Snap, SnappedBox};
pub use table::{PartRow, first, is_open, table};
pub use tiles::{Picture, TILE};

use crate::Problem;
use crate::desk::{View, lock};
use decoded::Decoded;
use imaging::bodies::Outline;
use library::Library;
use pack::Pack;
use record::{Photo, Place};
use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use store::cache::{Cache, Sort};

/// How much room is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Budget {
    /// Decoded photographs in memory, bytes; a larger one is held alone while it is in use.
    pub decoded_bytes: u64,
    /// Tiles and previews on the disk, bytes.
    pub kept_bytes: u64,
}

impl Default for Budget {
    /// 400 MB of decoded photographs (one of 128 megapixels, or ten of 12), 4 GiB of tiles.
    fn default() -> Self {
        Self {
            decoded_bytes: 400_000_000,
            kept_bytes: 4 << 30,
        }
    }
}

/// The photographs of a library.
pub struct Plates {
    library: Library,
    cache: Cache,
    decoded: Decoded,
    packs: Mutex<HashMap<String, Arc<Pack>>>,
    bodies: Mutex<HashMap<String, Arc<Vec<Outline>>>>,
    /// One turn for everything that is made of one photograph.
    turns: Mutex<HashMap<String, Arc<tokio::sync::Mutex<()>>>>,
}

/// A photograph of a dossier, and the digest of its bytes.
#[derive(Debug, Clone, Copy)]
pub struct Plate<'v> {
    /// As it is recorded.
    pub photo: &'v Photo,
    /// SHA-256 of its file.
    pub sha256: &'v str,
    /// Width and height upright, pixels; none of a file whose size is not known.
    pub pixels: Option<[u32; 2]>,
}

impl<'v> Plate<'v> {
    /// Finds a photograph of a dossier.
    ///
    /// # Errors
    /// No such photograph, or none of its file.
    pub fn of(view: &'v View, photo: &str) -> Result<Self, Problem> {
        let missing = |what: &str| {
            let message = format!("there is no {what} of the photograph \"{photo}\"");
            Problem::missing(message, "choose another photograph")
        };
        let found = view.dossier.photo(photo);
        let photo = found.ok_or_else(|| missing("record"))?;
        let path = path(&photo.file);
        let file = view.files.0.iter().find(|file| file.path == path);
        let file = file.ok_or_else(|| missing("file").about(Place::photo(&photo.id)))?;
        Ok(Self {
            photo,
            sha256: &file.sha256,
            pixels: file.size.map(|(width, height)| [width, height]),
        })
    }
}

impl Plates {
    /// Sits down at the photographs of a library; what is made of them is kept in a folder, or in the user's cache
    /// where none is given.
    pub fn of(library: Library, folder: Option<PathBuf>) -> Self {
        let cache = folder.map_or_else(Cache::of_user_or_temporary, Cache::at);
        Self::at(library, cache, Budget::default())
    }

    /// Sits down at the photographs of a library; what is made of them is kept in the folder of `cache`.
    pub fn at(library: Library, cache: Cache, budget: Budget) -> Self {
        Self {
            library,
            cache: cache.of(Sort::Picture(budget.kept_bytes)),
            decoded: Decoded::within(budget.decoded_bytes),
            packs: Mutex::default(),
            bodies: Mutex::default(),
            turns: Mutex::default(),
        }
    }

    /// Waits for the turn of a photograph.
    async fn turn(&self, sha256: &str) -> tokio::sync::OwnedMutexGuard<()> {
        let turn = Arc::clone(lock(&self.turns).entry(sha256.to_string()).or_default());
        turn.lock_owned().await
    }
}

/// Whether two upright frames (left, top, width, height) are those of one thing: more than half of the smaller one lies
/// in the other, and neither is more than twice as large.
fn same_place(a: &[f64; 4], b: &[f64; 4]) -> bool {
    let shared = |i: usize| (a[i] + a[i + 2]).min(b[i] + b[i + 2]) - a[i].max(b[i]);
    let (area_a, area_b) = (a[2] * a[3], b[2] * b[3]);
    let common = shared(0).max(0.0) * shared(1).max(0.0);
    common > 0.5 * area_a.min(area_b) && area_a.max(area_b) <= 2.0 * area_a.min(area_b)
}

/// The path of a photograph's file inside its dossier.
fn path(file: &str) -> String {
    format!("photos/{file}")
}
