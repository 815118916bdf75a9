//! Any bytes as an archive of a dossier. What must hold stands in `tried/archives.rs`.

#![no_main]

#[path = "../tried/archives.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|data: &[u8]| tried::tried(data));
