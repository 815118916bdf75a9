//! Published pictures kept for the next report of the same photographs: an edit of the record seldom changes them.
//!
//! In: what a picture is made of. Out: the pictures, made or kept.
//! Not here: making them (`published`).

use super::published::Published;
use record::{Photo, Region};
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Most bytes of pictures that are kept.
const MOST: usize = 192 * 1024 * 1024;

/// All that the pictures of a photograph are made of.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MadeOf {
    /// Digest of its file.
    pub(crate) digest: String,
    /// What the record says of it.
    pub(crate) photo: Photo,
    /// Its number among the photographs, which its address holds.
    pub(crate) number: usize,
    /// Regions of its file that nobody is to see.
    pub(crate) masks: Vec<[u32; 4]>,
    /// The steps that it shows, each with the region that it is about.
    pub(crate) steps: Vec<(String, Option<Region>)>,
    /// Whether it opens the report, and what of it shows the product.
    pub(crate) hero: Option<Option<[u32; 4]>>,
}

/// Pictures that were made, those asked for last at the end.
#[derive(Default)]
pub(crate) struct Kept(Mutex<Vec<(MadeOf, Arc<Published>)>>);

impl Kept {
    pub(crate) fn get(&self, of: &MadeOf) -> Option<Arc<Published>> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let at = kept.iter().position(|(known, _)| known == of)?;
        let found = kept.remove(at);
        let pictures = Arc::clone(&found.1);
        kept.push(found);
        Some(pictures)
    }

    pub(crate) fn put(&self, of: MadeOf, pictures: Arc<Published>) {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|(known, _)| *known != of);
        kept.push((of, pictures));
        let mut bytes: usize = kept.iter().map(|(_, p)| p.bytes()).sum();
        while bytes > MOST && kept.len() > 1 {
            bytes -= kept.remove(0).1.bytes();
        }
    }
}

/// What a report may take from earlier ones: pictures, by the digests of the files that they were made of.
#[derive(Clone, Default)]
pub struct PicturesKept {
    pub(crate) pictures: Arc<Kept>,
    /// Digests of the files of a dossier by their paths inside its folder; of one without, nothing is kept.
    pub(crate) digests: HashMap<String, String>,
}

impl std::fmt::Debug for PicturesKept {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "pictures kept for {} files", self.digests.len())
    }
}
