//! What is tried with any bytes: one function a target, so that kept inputs are replayed by the same code.
//!
//! In: bytes. Out: nothing; what must hold is asserted. The targets of `fuzz_targets` make the bytes up,
//! `crates/workbench/tests/kept_inputs.rs` takes them from `seeds`.

pub mod archives;
pub mod dossier;
pub mod edits;
pub mod uploads;
