//! Any bytes as a form with photographs, sent to a server. What must hold stands in `tried/uploads.rs`.

#![no_main]

#[path = "../tried/uploads.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|data: &[u8]| tried::tried(data));
