//! The index in bytes, so that a large catalogue need not be made ready again.
//!
//! In: an [`Index`] and where to write; or where to read, and the cost table that is in use. Out: bytes; or the
//! index, or why the bytes are none.
//! Not here: files, sums over the bytes and when they are out of date (`store`, `app`); most of what is stored
//! is written and read beside the type that it belongs to.
//!
//! The form is a sign with its number, then each list as its length and its values, lowest byte first. No length
//! is trusted: a list grows as its values arrive, and every number that leads somewhere is looked at before it
//! is used.

use crate::index::Index;
use crate::model::costs::Costs;
use std::io::{self, Read, Write};

/// Sign of the form; the number changes with the form and with what is made of a catalogue.
const SIGN: &[u8] = b"underlid index 4\n";
/// Values are written and read so many bytes at a time.
const BLOCK: usize = 1 << 16;

/// Why bytes are no index.
#[derive(Debug, thiserror::Error)]
pub enum StoredError {
    /// They could not be read, or end too early.
    #[error("it cannot be read: {0}")]
    Unread(#[from] io::Error),
    /// They are of another form, or of another version of it.
    #[error("it has the form of another version")]
    Form,
    /// They were made with other prices or other equal names of packages.
    #[error("it was made with other tables")]
    Tables,
    /// A number in them leads nowhere.
    #[error("its {0} do not fit together")]
    Contents(&'static str),
}

impl Index {
    /// Writes the index.
    ///
    /// # Errors
    /// What the writer refuses.
    pub fn store(&self, to: &mut dyn Write) -> io::Result<()> {
        to.write_all(SIGN)?;
        put(to, made_with(&self.costs).as_bytes())?;
        self.put(to)
    }

    /// Reads an index that [`Index::store`] wrote with the same cost table.
    ///
    /// # Errors
    /// Bytes that are no index, or one of other prices.
    pub fn restore(from: &mut dyn Read, costs: Costs) -> Result<Self, StoredError> {
        let mut sign = [0; SIGN.len()];
        from.read_exact(&mut sign)?;
        if sign != SIGN {
            return Err(StoredError::Form);
        }
        if take::<u8>(from)? != made_with(&costs).as_bytes() {
            return Err(StoredError::Tables);
        }
        Self::take(from, costs)
    }
}

/// The tables that an index follows from, besides the catalogue.
fn made_with(costs: &Costs) -> String {
    costs.table().to_toml() + crate::packages::BUILT_IN
}

/// A number of a fixed size.
pub(crate) trait Number: Copy {
    const BYTES: usize;
    fn put(self, to: &mut Vec<u8>);
    fn take(from: &[u8]) -> Self;
}

macro_rules! numbers {
    ($($number:ty),*) => {$(
        impl Number for $number {
            const BYTES: usize = size_of::<$number>();
            fn put(self, to: &mut Vec<u8>) {
                to.extend_from_slice(&self.to_le_bytes());
            }
            fn take(from: &[u8]) -> Self {
                let mut bytes = [0; size_of::<$number>()];
                bytes.copy_from_slice(from);
                Self::from_le_bytes(bytes)
            }
        }
    )*};
}

numbers!(u8, u32, u64, i32, f32);

/// Writes a list.
pub(crate) fn put<T: Number>(to: &mut dyn Write, values: &[T]) -> io::Result<()> {
    to.write_all(&(values.len() as u64).to_le_bytes())?;
    let mut block = Vec::with_capacity(BLOCK);
    for some in values.chunks(BLOCK / T::BYTES) {
        block.clear();
        some.iter().for_each(|value| value.put(&mut block));
        to.write_all(&block)?;
    }
    Ok(())
}

/// Reads a list.
pub(crate) fn take<T: Number>(from: &mut dyn Read) -> Result<Vec<T>, StoredError> {
    let mut length = [0; 8];
    from.read_exact(&mut length)?;
    let mut left = u64::from_le_bytes(length);
    let mut block = vec![0; BLOCK];
    let mut out = Vec::new();
    while left > 0 {
        let now = usize::try_from(left).unwrap_or(BLOCK).min(BLOCK / T::BYTES);
        let bytes = &mut block[..now * T::BYTES];
        from.read_exact(bytes)?;
        out.extend(bytes.chunks_exact(T::BYTES).map(T::take));
        left -= now as u64;
    }
    out.shrink_to_fit();
    Ok(out)
}

/// Reads a list of so many values.
pub(crate) fn take_exactly<T: Number>(
    from: &mut dyn Read,
    length: usize,
    what: &'static str,
) -> Result<Vec<T>, StoredError> {
    let out = take(from)?;
    ensure(out.len() == length, what)?;
    Ok(out)
}

/// Reads where each of some lists begins among `of` values: rising, from 0 to `of`.
pub(crate) fn take_begins(
    from: &mut dyn Read,
    of: usize,
    what: &'static str,
) -> Result<Vec<u32>, StoredError> {
    let out: Vec<u32> = take(from)?;
    let ends = out.first() == Some(&0) && out.last().is_some_and(|end| *end as usize == of);
    ensure(ends && out.is_sorted(), what)?;
    Ok(out)
}

/// Refuses what does not fit together.
pub(crate) fn ensure(holds: bool, what: &'static str) -> Result<(), StoredError> {
    if holds {
        Ok(())
    } else {
        Err(StoredError::Contents(what))
    }
}
