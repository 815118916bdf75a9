//! Texts published before, each read once.
//!
//! In: a view and the name of a text that its product has. Out: what the text speaks of; it is read again when its bytes
//! changed or the known parts did. Not here: what was decided on it (`past`).

use super::{Desk, View, blocking, lock};
use crate::past::{FOLDER, found, vocabulary};
use crate::{Problem, shown};
use ::past::{Format, Proposal};
use methods::Known;
use std::collections::HashMap;
use std::path::Path;
use std::sync::{Arc, Mutex, Weak};

/// Texts that are kept; then the memory is emptied. What one speaks of takes some tens of kilobytes.
const MOST_KEPT: usize = 512;

/// The parts that a text speaks of, or why it cannot be read.
pub(super) type Spoken = Result<Arc<Vec<Proposal>>, Problem>;

/// What texts speak of, by the name of the file and the digest of its bytes, with the known parts they were read for:
/// these are not kept alive by it.
pub(super) type Kept = Mutex<HashMap<(String, String), (Weak<Known>, Spoken)>>;

impl Desk {
    /// Returns the texts of a product in the order of their names, with what each speaks of.
    ///
    /// # Errors
    /// A library that cannot be reached.
    pub(super) async fn spoken(&self, view: &View) -> Result<Vec<(String, Spoken)>, Problem> {
        let mut texts = Vec::new();
        let mut unread = Vec::new();
        let there = view.files.below(FOLDER);
        for (name, entry) in there.filter(|(name, _)| Format::of_name(name).is_some()) {
            let key = (name.to_string(), entry.sha256.clone());
            let kept = lock(&self.texts).get(&key).cloned();
            match kept.filter(|(of, _)| std::ptr::eq(of.as_ptr(), Arc::as_ptr(&view.known))) {
                Some((_, spoken)) => texts.push((key.0, spoken)),
                None => unread.push((key, self.library.bytes(&view.id, &entry.path).await?)),
            }
        }
        if !unread.is_empty() {
            let known = Arc::clone(&view.known);
            let read = blocking(move || {
                let words = vocabulary(&known);
                let read = unread.into_iter().map(|(key, bytes)| {
                    let found = found(&key.0, &bytes, &words);
                    let spoken = found.map(|found| Arc::new(found.parts));
                    let at = shown(&key.0);
                    let spoken = spoken.map_err(|error| Problem::from(error).at(Path::new(&at)));
                    (key, spoken)
                });
                Ok(read.collect::<Vec<_>>())
            })
            .await?;
            let mut kept = lock(&self.texts);
            if kept.len() + read.len() > MOST_KEPT {
                kept.clear();
            }
            for (key, spoken) in read {
                texts.push((key.0.clone(), spoken.clone()));
                kept.insert(key, (Arc::downgrade(&view.known), spoken));
            }
        }
        texts.sort_by(|a, b| a.0.cmp(&b.0));
        Ok(texts)
    }
}
