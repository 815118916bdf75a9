//! Tiles and previews: made once in the background for each photograph, kept on the disk.
//!
//! In: the digest of a photograph. Out: JPEG files, upright, without any note of place or camera.

use super::pack::{Pack, Packing};
use super::{Plates, lock};
use crate::{Problem, desk};
use imaging::pixels::{self, Encoding, Level, Limits, PictureError, TileOptions, levels};
use std::io::Read;
use std::sync::Arc;
use store::cache::Key;

/// Side of a tile, pixels.
pub const TILE: u32 = 512;

const OPTIONS: TileOptions = TileOptions {
    tile: TILE,
    preview: 1024,
    quality: 85,
};

/// What of a photograph is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Picture {
    /// The whole of it, 1,024 pixels on the longer side.
    Preview,
    /// A tile; level 0 has the full size, each further one half of it.
    Tile {
        /// Level.
        level: u8,
        /// Column.
        column: u32,
        /// Row.
        row: u32,
    },
    /// A part of it, brought to at most 960 pixels on the longer side, for reading what is printed there.
    Crop {
        /// Left, top, width and height, pixels of the upright photograph.
        rect: [u32; 4],
    },
}

/// Longer side of a crop, pixels.
const CROP: u32 = 960;

/// Digests are 64 hexadecimal digits in lower case.
fn is_digest(sha256: &str) -> bool {
    let digit = |b: u8| b.is_ascii_digit() || (b'a'..=b'f').contains(&b);
    sha256.len() == 64 && sha256.bytes().all(digit)
}

fn key(sha256: &str, what: &[u8]) -> Key {
    Key::of([sha256.as_bytes(), what])
}

/// Names what is made; to be changed when it is made another way.
const TILES: &[u8] = b"tiles of 512 pixels, quality 85, way 1";
const PREVIEW: &[u8] = b"preview of 1024 pixels, quality 85, way 1";

impl Plates {
    /// Returns a JPEG file made of a photograph; `None` where it has none such. Waits until it is made.
    ///
    /// # Errors
    /// No photograph of this digest, or no sound one; a disk that cannot be used.
    pub async fn jpeg(&self, sha256: &str, what: Picture) -> Result<Option<Vec<u8>>, Problem> {
        if !is_digest(sha256) {
            return Ok(None);
        }
        match what {
            Picture::Preview => self.preview(sha256).await.map(Some),
            Picture::Crop { rect } => self.crop(sha256, rect).await,
            Picture::Tile { level, column, row } => {
                for _ in 0..2 {
                    let pack = self.pack(sha256).await?;
                    let Some((from, length)) = pack.find(level, column, row) else {
                        return Ok(None);
                    };
                    let (cache, key) = (self.cache.clone(), key(sha256, TILES));
                    let piece =
                        desk::blocking(move || Ok(cache.piece(&key, from, length)?)).await?;
                    if piece.is_some() {
                        return Ok(piece);
                    }
                    // The file gave way to others meanwhile.
                    lock(&self.packs).remove(sha256);
                }
                Ok(None)
            }
        }
    }

    /// Makes the tiles of a photograph if they are not there, and returns the size of each level.
    ///
    /// # Errors
    /// As [`Plates::jpeg`].
    pub async fn levels(&self, sha256: &str, pixels: [u32; 2]) -> Result<Vec<Level>, Problem> {
        self.pack(sha256).await?;
        Ok(levels(pixels[0], pixels[1], TILE))
    }

    async fn preview(&self, sha256: &str) -> Result<Vec<u8>, Problem> {
        let (cache, key) = (self.cache.clone(), key(sha256, PREVIEW));
        if let Some(kept) = self.kept(&key).await? {
            return Ok(kept);
        }
        let bytes = self.library.object(sha256).await?;
        desk::blocking(move || {
            let small = pixels::preview(&bytes, OPTIONS.preview, &Limits::default());
            let small = small.map_err(fault)?;
            let jpeg = small
                .encode(Encoding::Jpeg(OPTIONS.quality))
                .map_err(fault)?;
            // Without room on the disk it is made again.
            let _ = cache.keep(&key, |to| to.write_all(&jpeg));
            Ok(jpeg)
        })
        .await
    }

    async fn crop(&self, sha256: &str, rect: [u32; 4]) -> Result<Option<Vec<u8>>, Problem> {
        let photo = self.photograph(sha256).await?;
        desk::blocking(move || {
            // A smaller part stays as it is: a browser enlarges it sooner than it could be sharpened here.
            let wanted = CROP.min(rect[2].max(rect[3]));
            let crop = pixels::crop(&photo.picture, rect, wanted);
            if crop.rgb.is_empty() {
                return Ok(None);
            }
            let profile = photo.profile.as_deref();
            let jpeg = pixels::encode(&crop, Encoding::Jpeg(OPTIONS.quality), None, profile);
            Ok(Some(jpeg.map_err(fault)?))
        })
        .await
    }

    /// Returns where the tiles lie; makes them where there are none.
    async fn pack(&self, sha256: &str) -> Result<Arc<Pack>, Problem> {
        let known = || lock(&self.packs).get(sha256).cloned();
        if let Some(pack) = known() {
            return Ok(pack);
        }
        let _turn = self.turn(sha256).await;
        if let Some(pack) = known() {
            return Ok(pack);
        }
        let key = key(sha256, TILES);
        let kept = self.kept(&key).await?;
        let pack = match kept.and_then(|file| Pack::read(&file)) {
            Some(pack) => pack,
            None => {
                let photo = self.photograph(sha256).await?;
                let cache = self.cache.clone();
                desk::blocking(move || {
                    let mut packing = Packing::default();
                    let cut = pixels::pyramid("", &photo, &OPTIONS, &mut |part, _| {
                        packing.push(&part);
                        true
                    });
                    cut.map_err(fault)?;
                    let (pack, file) = packing.finish();
                    cache.keep(&key, |to| to.write_all(&file))?;
                    Ok(pack)
                })
                .await?
            }
        };
        let pack = Arc::new(pack);
        lock(&self.packs).insert(sha256.to_string(), Arc::clone(&pack));
        Ok(pack)
    }

    /// Reads a kept file whole; a damaged one counts as none.
    async fn kept(&self, key: &Key) -> Result<Option<Vec<u8>>, Problem> {
        let (cache, key) = (self.cache.clone(), key.clone());
        desk::blocking(move || {
            let Some(mut kept) = cache.open(&key)? else {
                return Ok(None);
            };
            let mut file = Vec::new();
            let read = kept.read_to_end(&mut file);
            Ok((read.is_ok() && kept.is_whole()).then_some(file))
        })
        .await
    }
}

fn fault(e: PictureError) -> Problem {
    Problem::refused(e.to_string(), e.remedy())
}
