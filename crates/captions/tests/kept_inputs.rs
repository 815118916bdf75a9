//! Inputs that were kept from trying anything (`fuzz/`), replayed, and changed at random.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "../../../fuzz/tried/captions.rs"]
#[allow(
    unreachable_pub,
    clippy::expect_used,
    reason = "the target of the other workspace uses the same function"
)]
mod tried;

use proptest::prelude::*;
use std::path::Path;

/// Every kept input.
fn kept() -> Vec<Vec<u8>> {
    let seeds = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fuzz/seeds/captions");
    let mut paths: Vec<_> = std::fs::read_dir(seeds)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths
        .iter()
        .map(|path| std::fs::read(path).unwrap())
        .collect()
}

#[test]
fn kept_captions() {
    let kept = kept();
    assert!(kept.len() > 1);
    for bytes in kept {
        tried::tried(&bytes);
        tried::tried(&bytes[..bytes.len() / 2]);
        tried::tried(&bytes[bytes.len() / 3..]);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Pieces of kept inputs, put together anew, with bytes of any kind among them.
    #[test]
    fn captions_put_together_of_pieces(
        pieces in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), 0_usize..60), 1..12),
        between in prop::collection::vec(any::<u8>(), 0..6),
    ) {
        let kept = kept();
        let mut bytes = if between.len() % 2 == 0 { b"WEBVTT\n\n".to_vec() } else { Vec::new() };
        for (file, at, length) in pieces {
            let file = file.get(&kept);
            let start = at.index(file.len());
            bytes.extend(&file[start..(start + length).min(file.len())]);
            bytes.extend(&between);
        }
        tried::tried(&bytes);
    }
}
