//! Any edits of a small dossier. What must hold stands in `tried/edits.rs`.

#![no_main]

#[path = "../tried/edits.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|data: &[u8]| tried::tried(data));
