//! Known parts made ready for reading markings, and kept for the next time.
//!
//! In: catalogue files that were read. Out: [`Known`], as it was kept for the same files, or made anew and kept.
//! Not here: where it is kept (`store::cache`), in which form (`methods::Known`).
//!
//! Kept is only what takes long to make. Whatever happens to it, the answers are the same: what is missing,
//! damaged or of another version is made again, and a folder that cannot be written costs time and nothing else.

use super::{Source, merged};
use crate::{Problem, Watch};
use methods::Known;
use std::io::{self, Read};
use store::cache::{Cache, Kept, Key};

/// Smaller catalogues are made ready at once, bytes.
const WORTH_KEEPING: usize = 1 << 20;
/// Most bytes of what is told about the files.
const TOLD: u64 = 1 << 16;

/// Makes catalogue files ready.
pub(super) fn ready(sources: Vec<Source<'_>>, watch: &dyn Watch) -> Result<Known, Problem> {
    let size: usize = sources.iter().map(|source| source.bytes.len()).sum();
    let cache = Cache::of_user().filter(|_| size >= WORTH_KEEPING);
    let Some(cache) = cache else {
        let (catalogue, told) = merged(sources)?;
        told.iter().for_each(|line| watch.note(line));
        return Ok(Known::new(catalogue));
    };
    let names = sources.iter().flat_map(|source| {
        let named = if source.named.is_some() {
            "named"
        } else {
            "brought"
        };
        [
            named.as_bytes(),
            source.shown.as_bytes(),
            source.bytes.as_slice(),
        ]
    });
    let key = Key::of(
        [env!("CARGO_PKG_VERSION").as_bytes()]
            .into_iter()
            .chain(names),
    );
    let damaged = |reason: String| {
        watch.note(&format!(
            "the kept index {} is not used, {reason}; it is made anew",
            crate::shown(cache.path(&key))
        ));
    };
    match cache.open(&key) {
        Ok(None) => {}
        Ok(Some(mut kept)) => match restored(&mut kept) {
            Ok((known, told)) if kept.is_whole() => {
                told.lines().for_each(|line| watch.note(line));
                return Ok(known);
            }
            Ok(_) => damaged("its sum is wrong".into()),
            Err(reason) => damaged(reason),
        },
        Err(error) => damaged(error.to_string()),
    }
    watch.note("making the catalogue ready; this is kept for the next time");
    let (catalogue, told) = merged(sources)?;
    told.iter().for_each(|line| watch.note(line));
    let known = Known::new(catalogue);
    let told = told.join("\n");
    let kept = cache.keep(&key, |to| {
        to.write_all(&(told.len() as u64).to_le_bytes())?;
        to.write_all(told.as_bytes())?;
        known.store(to)
    });
    if let Err(error) = kept {
        watch.note(&format!("the index is not kept for the next time: {error}"));
    }
    Ok(known)
}

/// Reads known parts and what is told about their files.
fn restored(kept: &mut Kept) -> Result<(Known, String), String> {
    let told = told(kept).map_err(|e| e.to_string())?;
    let known = Known::restore(kept).map_err(|e| e.to_string())?;
    Ok((known, told))
}

fn told(kept: &mut Kept) -> io::Result<String> {
    let mut length = [0; 8];
    kept.read_exact(&mut length)?;
    let length = u64::from_le_bytes(length);
    if length > TOLD {
        return Err(io::Error::other("it begins otherwise"));
    }
    let mut told = String::new();
    kept.take(length).read_to_string(&mut told)?;
    Ok(told)
}
