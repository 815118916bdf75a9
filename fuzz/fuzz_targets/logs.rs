//! Any bytes as a meter's log. What must hold stands in `tried/logs.rs`.

#![no_main]

#[path = "../tried/logs.rs"]
mod tried;

libfuzzer_sys::fuzz_target!(|data: &[u8]| tried::tried(data));
