//! Finding the best names without looking at every one.

mod edited_prefix;
mod edited_window;
pub(crate) mod filter;
pub(crate) mod name_index;
pub(crate) mod plan;
mod prefix_index;
pub(crate) mod qgram_index;
mod search;
pub(crate) mod sink;
pub(crate) mod unmatched;
