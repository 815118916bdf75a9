//! Any bytes as a table of times: read or refused, never a panic, and what was read is written and read back the same.

#![no_main]

use libfuzzer_sys::fuzz_target;
use repair::times::{read, write};

fuzz_target!(|data: &[u8]| {
    let found = read(data, "times.csv");
    let again = read(write(found.times.rows()).as_bytes(), "times.csv");
    assert_eq!(again.times.rows().len(), found.times.rows().len());
});
