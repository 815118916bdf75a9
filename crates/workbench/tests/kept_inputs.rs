//! Inputs that were kept from trying anything (`fuzz/`), replayed: none of them may do again what it once did.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "../../../fuzz/tried/mod.rs"]
#[allow(
    unreachable_pub,
    reason = "the targets of the other workspace use the same functions"
)]
mod tried;

use std::path::Path;

/// Tries every kept input of a target, and the beginning and the end of each.
fn replayed(target: &str, tried: fn(&[u8])) {
    let seeds = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fuzz/seeds");
    let mut found = 0;
    for entry in std::fs::read_dir(seeds.join(target)).unwrap() {
        let bytes = std::fs::read(entry.unwrap().path()).unwrap();
        tried(&bytes);
        tried(&bytes[..bytes.len() / 2]);
        tried(&bytes[bytes.len() / 3..]);
        found += 1;
    }
    assert!(found > 1, "{target} has inputs");
}

#[test]
fn kept_archives() {
    replayed("archives", tried::archives::tried);
}

#[test]
fn kept_dossiers() {
    replayed("dossier", tried::dossier::tried);
}

#[test]
fn kept_edits() {
    replayed("edits", tried::edits::tried);
}

#[test]
fn kept_uploads() {
    replayed("uploads", tried::uploads::tried);
}
