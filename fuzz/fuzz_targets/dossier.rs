//! Any text as a dossier. What must hold stands in `tried/dossier.rs`.

#![no_main]

#[path = "../tried/dossier.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|data: &[u8]| tried::tried(data));
