//! The tiles of one photograph in one file: the JPEG files one after the other, then where each begins.
//!
//! In: tiles of every level. Out: the bytes of such a file; or, of one that was read whole, where a tile lies.
//! Behind the tiles stand 21 bytes for each (level, column, row, first byte, length; the least byte first), their
//! number as eight bytes and [`MARK`].

use imaging::pixels::Part;

const MARK: &[u8; 8] = b"tiles 1\n";
const ENTRY: usize = 21;

/// Where a tile lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Entry {
    tile: (u8, u32, u32),
    from: u64,
    length: u32,
}

/// Where the tiles of a photograph lie in its file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Pack {
    entries: Vec<Entry>,
}

/// A file being put together.
#[derive(Debug, Default)]
pub(super) struct Packing {
    bytes: Vec<u8>,
    entries: Vec<Entry>,
}

impl Packing {
    /// Takes a tile in; what is none, by its name, is left out.
    pub(super) fn push(&mut self, part: &Part) {
        let Some(tile) = tile(&part.name) else {
            return;
        };
        self.entries.push(Entry {
            tile,
            from: self.bytes.len() as u64,
            length: part.bytes.len() as u32,
        });
        self.bytes.extend_from_slice(&part.bytes);
    }

    pub(super) fn finish(mut self) -> (Pack, Vec<u8>) {
        self.entries.sort();
        for entry in &self.entries {
            let (level, column, row) = entry.tile;
            self.bytes.push(level);
            self.bytes.extend(column.to_le_bytes());
            self.bytes.extend(row.to_le_bytes());
            self.bytes.extend(entry.from.to_le_bytes());
            self.bytes.extend(entry.length.to_le_bytes());
        }
        let count = self.entries.len() as u64;
        self.bytes.extend(count.to_le_bytes());
        self.bytes.extend(MARK);
        let entries = self.entries;
        (Pack { entries }, self.bytes)
    }
}

/// Reads level, column and row of a name `KEY/LEVEL/COLUMN-ROW.jpg`.
fn tile(name: &str) -> Option<(u8, u32, u32)> {
    let mut words = name.strip_suffix(".jpg")?.rsplit('/');
    let (column, row) = words.next()?.split_once('-')?;
    let level = words.next()?.parse().ok()?;
    Some((level, column.parse().ok()?, row.parse().ok()?))
}

impl Pack {
    /// Reads where the tiles lie; `None` for bytes that are no such file.
    pub(super) fn read(file: &[u8]) -> Option<Self> {
        let rest = file.strip_suffix(MARK)?;
        let (rest, count) = rest.split_last_chunk::<8>()?;
        let count = usize::try_from(u64::from_le_bytes(*count)).ok()?;
        let begin = rest.len().checked_sub(count.checked_mul(ENTRY)?)?;
        let entries = rest[begin..].chunks_exact(ENTRY).map(|bytes| {
            let (level, bytes) = bytes.split_first()?;
            let (column, bytes) = bytes.split_first_chunk()?;
            let (row, bytes) = bytes.split_first_chunk()?;
            let (from, bytes) = bytes.split_first_chunk()?;
            let (length, _) = bytes.split_first_chunk()?;
            let entry = Entry {
                tile: (
                    *level,
                    u32::from_le_bytes(*column),
                    u32::from_le_bytes(*row),
                ),
                from: u64::from_le_bytes(*from),
                length: u32::from_le_bytes(*length),
            };
            let end = entry.from.checked_add(entry.length.into())?;
            (end <= begin as u64).then_some(entry)
        });
        let entries: Vec<Entry> = entries.collect::<Option<_>>()?;
        entries.is_sorted().then_some(Self { entries })
    }

    /// Returns the first byte and the length of a tile.
    pub(super) fn find(&self, level: u8, column: u32, row: u32) -> Option<(u64, usize)> {
        let wanted = (level, column, row);
        let at = self
            .entries
            .binary_search_by_key(&wanted, |e| e.tile)
            .ok()?;
        let entry = self.entries[at];
        Some((entry.from, entry.length as usize))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test")]

    use super::*;

    #[test]
    fn tiles_are_found_again_and_damaged_files_are_none() {
        let mut packing = Packing::default();
        for (name, bytes) in [
            ("k/1/0-0.jpg", &b"small"[..]),
            ("k/0/1-0.jpg", b"right"),
            ("k/0/0-0.jpg", b"l"),
            ("k/preview.jpg", b"none"),
        ] {
            let (name, bytes) = (name.to_string(), bytes.to_vec());
            packing.push(&Part { name, bytes });
        }
        let (pack, file) = packing.finish();
        assert_eq!(Pack::read(&file).unwrap(), pack);
        let (from, length) = pack.find(0, 1, 0).unwrap();
        assert_eq!(&file[from as usize..from as usize + length], b"right");
        assert_eq!(pack.find(0, 2, 0), None);
        for end in 0..file.len() {
            assert_eq!(Pack::read(&file[..end]), None, "{end}");
        }
        let mut far = file.clone();
        let count = far.len() - 16;
        far[count] = 200;
        assert_eq!(Pack::read(&far), None);
    }
}
