//! Decoded photographs in memory, within a number of bytes: those used longest ago give way.
//!
//! In: bytes of photographs by their digest. Out: pixels. One is decoded at a time, since a decoder may need four
//! times what it gives.

use super::{Plates, lock};
use crate::Problem;
use crate::{desk, photographs};
use imaging::pixels::{self, Limits, Photo};
use std::path::Path;
use std::sync::{Arc, Mutex};

/// What is held, the one used last behind.
pub(super) struct Decoded {
    most: u64,
    held: Mutex<Vec<(String, Arc<Photo>)>>,
    decoding: tokio::sync::Mutex<()>,
}

impl Decoded {
    pub(super) fn within(most: u64) -> Self {
        Self {
            most,
            held: Mutex::default(),
            decoding: tokio::sync::Mutex::default(),
        }
    }

    pub(super) fn get(&self, sha256: &str) -> Option<Arc<Photo>> {
        let mut held = lock(&self.held);
        let at = held.iter().position(|(key, _)| key == sha256)?;
        let entry = held.remove(at);
        let photo = Arc::clone(&entry.1);
        held.push(entry);
        Some(photo)
    }

    /// Makes room for so many bytes, beside what is to stay held.
    fn make_room(&self, bytes: u64) {
        let mut held = lock(&self.held);
        while !held.is_empty() && total(&held) + bytes > self.most {
            held.remove(0);
        }
    }

    pub(super) fn hold(&self, sha256: &str, photo: &Arc<Photo>) {
        self.make_room(photo.picture.rgb.len() as u64);
        lock(&self.held).push((sha256.to_string(), Arc::clone(photo)));
    }
}

fn total(held: &[(String, Arc<Photo>)]) -> u64 {
    held.iter().map(|(_, p)| p.picture.rgb.len() as u64).sum()
}

impl Plates {
    /// Returns the pixels of a photograph, upright.
    ///
    /// # Errors
    /// No bytes of this digest, or no sound picture.
    pub(super) async fn photograph(&self, sha256: &str) -> Result<Arc<Photo>, Problem> {
        if let Some(held) = self.decoded.get(sha256) {
            return Ok(held);
        }
        let bytes = self.library.object(sha256).await?;
        self.decode(sha256, bytes, "photograph").await
    }

    /// Decodes the bytes of this digest and holds what came of it. `name` is what the file is called.
    pub(super) async fn decode(
        &self,
        sha256: &str,
        bytes: bytes::Bytes,
        name: &str,
    ) -> Result<Arc<Photo>, Problem> {
        let _alone = self.decoded.decoding.lock().await;
        if let Some(held) = self.decoded.get(sha256) {
            return Ok(held);
        }
        if let Ok(size) = pixels::size(&bytes, &Limits::default()) {
            let needed = 3 * u64::from(size.width) * u64::from(size.height);
            self.decoded.make_room(needed);
        }
        let name = name.to_string();
        let photo = desk::blocking(move || photographs::decode(&bytes, Path::new(&name))).await?;
        let photo = Arc::new(photo);
        self.decoded.hold(sha256, &photo);
        Ok(photo)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use imaging::Picture;
    use imaging::pixels::Format;

    fn photo(bytes: usize) -> Arc<Photo> {
        Arc::new(Photo {
            picture: Picture {
                width: 1,
                height: 1,
                rgb: vec![0; bytes],
            },
            profile: None,
            format: Format::Png,
            orientation: 1,
        })
    }

    #[test]
    fn the_one_used_longest_ago_gives_way_and_the_bytes_stay_within() {
        let decoded = Decoded::within(100);
        decoded.hold("a", &photo(40));
        decoded.hold("b", &photo(40));
        assert!(decoded.get("a").is_some());
        decoded.hold("c", &photo(40));
        assert!(decoded.get("b").is_none() && decoded.get("a").is_some());
        // One that is larger than all room is held alone.
        decoded.hold("d", &photo(400));
        assert!(decoded.get("a").is_none() && decoded.get("d").is_some());
        decoded.hold("e", &photo(10));
        assert!(decoded.get("d").is_none());
    }
}
