//! Any bytes as a sound recording.

#![no_main]

#[path = "../tried/recordings.rs"]
mod recordings;

use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| recordings::tried(data));
