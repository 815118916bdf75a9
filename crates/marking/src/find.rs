//! Finding the best names without looking at every one.

mod damaged;
pub(crate) mod filter;
pub(crate) mod name_index;
mod once;
pub(crate) mod plan;
mod prefix_index;
pub(crate) mod qgram_index;
pub(crate) mod screen;
mod search;
pub(crate) mod sink;
