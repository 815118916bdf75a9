//! Opening.

pub mod chance;
