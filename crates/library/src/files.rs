//! The files of a dossier as a library holds them: paths in rows, bytes in the object store by their SHA-256.

use crate::digest::sha256;
use crate::open::OBJECTS;
use object_store::path::Path as Key;
use record::{Content, Files, LOOKED_AT, PathState, content_of};
use serde::{Deserialize, Serialize};

/// One file of a dossier.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileEntry {
    /// Path inside the dossier, with `/` (`photos/lid.jpg`).
    pub path: String,
    /// SHA-256 of its bytes, 64 hexadecimal digits.
    pub sha256: String,
    /// Bytes.
    pub bytes: u64,
    /// Width and height in pixels, upright, where it is a picture whose size is known.
    pub size: Option<(u32, u32)>,
    /// Whether its first bytes are those of a picture.
    pub picture: bool,
}

impl FileEntry {
    /// Describes a file by its bytes.
    pub fn of(path: &str, bytes: &[u8]) -> Self {
        let first = &bytes[..bytes.len().min(LOOKED_AT)];
        let picture = content_of(first) == Content::Picture;
        let size = picture
            .then(|| imaging::pixels::stated_size(bytes))
            .flatten()
            .map(|size| (size.width, size.height));
        Self {
            path: path.to_string(),
            sha256: sha256(bytes),
            bytes: bytes.len() as u64,
            size,
            picture,
        }
    }

    /// Where its bytes lie in the object store.
    pub fn key(&self) -> Key {
        key(&self.sha256)
    }
}

/// Where bytes of this digest lie in the object store; spread over folders by the first two digits.
pub(crate) fn key(sha256: &str) -> Key {
    Key::from_iter([OBJECTS, &sha256[..2.min(sha256.len())], sha256])
}

/// The files of one dossier, for checking its text.
#[derive(Debug, Clone, Default)]
pub struct Held(pub Vec<FileEntry>);

impl Held {
    /// Returns the files below a folder, each with its path from there.
    pub fn below<'a>(&'a self, folder: &'a str) -> impl Iterator<Item = (&'a str, &'a FileEntry)> {
        let rest = move |path: &'a str| path.strip_prefix(folder)?.strip_prefix('/');
        let files = self.0.iter();
        files.filter_map(move |file| Some((rest(&file.path)?, file)))
    }
}

impl Files for Held {
    fn look(&self, path: &str) -> PathState {
        match self.0.iter().find(|file| file.path == path) {
            Some(file) => PathState::File {
                size: file.size,
                content: match file.picture {
                    true => Content::Picture,
                    false => Content::Unknown,
                },
            },
            None => PathState::Missing,
        }
    }

    fn names(&self, folder: &str) -> Vec<String> {
        let below = self.below(folder).map(|(name, _)| name);
        let inside = below.filter(|name| !name.contains('/'));
        inside.map(str::to_string).collect()
    }
}
