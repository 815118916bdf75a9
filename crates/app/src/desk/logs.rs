//! The logs of a library's dossiers, each read once.
//!
//! In: a dossier and the files it has. Out: its logs as the methods take them; a log is read again when its bytes or what
//! the record says of its columns changed. Not here: reading (`recorded`).

use super::{Desk, blocking, lock};
use crate::{Problem, Unwatched, recorded};
use library::{DossierId, Held};
use methods::{Recorded, Recording};
use record::Dossier;
use std::collections::HashMap;
use std::sync::{Arc, Mutex};

/// Logs that are kept; then the memory is emptied. One takes some megabytes.
const MOST_KEPT: usize = 64;

/// What reading a log gave, by the digest of its bytes and what the record says of it.
pub(super) type Kept = Mutex<HashMap<(String, String), Result<Arc<Recording>, String>>>;

impl Desk {
    /// Returns the logs of a dossier.
    ///
    /// # Errors
    /// A library that cannot be reached.
    pub(super) async fn recorded(
        &self,
        id: &DossierId,
        files: &Held,
        dossier: &Dossier,
    ) -> Result<Recorded, Problem> {
        let mut recorded = Recorded::none();
        for log in &dossier.logs {
            let path = format!("logs/{}", log.file);
            let Some(file) = files.0.iter().find(|file| file.path == path) else {
                recorded.put(&log.id, Err("its file is not there".to_string()));
                continue;
            };
            let stated = format!("{:?}", (&log.file, log.seat, &log.columns));
            let key = (file.sha256.clone(), stated);
            let kept = lock(&self.logs).get(&key).cloned();
            let read = match kept {
                Some(read) => read,
                None => {
                    let bytes = self.library.bytes(id, &path).await?;
                    let log = log.clone();
                    let read = blocking(move || recorded::read(&bytes, &log, &Unwatched)).await?;
                    let read = read.map(Arc::new);
                    let mut kept = lock(&self.logs);
                    if kept.len() >= MOST_KEPT {
                        kept.clear();
                    }
                    kept.insert(key, read.clone());
                    read
                }
            };
            recorded.put(&log.id, read);
        }
        Ok(recorded)
    }
}
