//! Any bytes as captions of a film. What must hold stands in `tried/captions.rs`.

#![no_main]

#[path = "../tried/captions.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|data: &[u8]| tried::tried(data));
