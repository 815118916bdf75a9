//! Inputs that were kept from trying anything (`fuzz/`), replayed: none of them may do again what it once did.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads the inputs that lie beside the targets"
)]

#[path = "../../../fuzz/tried/past.rs"]
#[allow(
    unreachable_pub,
    reason = "the target of the other workspace uses the same function"
)]
mod tried;

use std::path::Path;

/// Tries every kept input, and the beginning and the end of each.
#[test]
fn kept_past() {
    let seeds = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fuzz/seeds/past");
    let mut found = 0;
    for entry in std::fs::read_dir(seeds).unwrap() {
        let bytes = std::fs::read(entry.unwrap().path()).unwrap();
        tried::tried(&bytes);
        tried::tried(&bytes[..bytes.len() / 2]);
        tried::tried(&bytes[bytes.len() / 3..]);
        // One byte after the other is another.
        for at in 0..bytes.len().min(400) {
            let mut other = bytes.clone();
            other[at] = other[at].wrapping_add(1 + u8::try_from(at % 97).unwrap());
            tried::tried(&other);
        }
        found += 1;
    }
    assert!(found > 1, "past has inputs");
}
