//! Finding the best names without looking at every one.

pub(crate) mod bounds;
pub(crate) mod gram_trie;
pub(crate) mod name_index;
mod piece;
mod search;
pub(crate) mod sink;
