//! Names kept together, because the same bounds hold of them.
//!
//! In: the kind of a name and how it is spelled. Out: the shelf that it is kept on.
//! A text that may be a code makes a piece of a name dear and a code cheap (`codes`). A search that took them together
//! would meet every name at the floor of a code; on a shelf without codes that floor is the price of a piece.

use crate::answer::EntryKind;
use crate::codes::LONGEST;
use crate::symbol::EncodedName;

/// How many shelves names are kept on.
pub(crate) const SHELVES: usize = 4;

/// Names of which the same bounds hold: those with placeholders, and of either the codes and the names that are no
/// longer than codes, by themselves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Shelf {
    pub(crate) open: bool,
    pub(crate) brief: bool,
}

impl Shelf {
    /// Returns the shelf of a name.
    pub(crate) fn of(kind: EntryKind, name: &EncodedName) -> Self {
        Self {
            open: name.is_open(),
            brief: kind == EntryKind::Code || name.symbols.len() <= LONGEST,
        }
    }

    /// Returns the shelf of a number.
    pub(crate) fn numbered(number: usize) -> Self {
        Self {
            open: number & 1 == 1,
            brief: number & 2 == 2,
        }
    }

    /// Returns its number.
    pub(crate) fn number(self) -> usize {
        usize::from(self.open) | usize::from(self.brief) << 1
    }
}
