//! Any bytes as a text published before. What must hold stands in `tried/past.rs`.

#![no_main]

#[path = "../tried/past.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|data: &[u8]| tried::tried(data));
