//! Inputs that were kept from trying anything (`fuzz/`), replayed, and changed at random.

#[path = "../../../fuzz/tried/captions.rs"]
#[allow(
    unreachable_pub,
    clippy::expect_used,
    reason = "the target of the other workspace uses the same function"
)]
mod tried;

use proptest::prelude::*;

/// Every kept input.
const KEPT: [&[u8]; 3] = [
    include_bytes!("../../../fuzz/seeds/captions/film.vtt"),
    include_bytes!("../../../fuzz/seeds/captions/film.srt"),
    include_bytes!("../../../fuzz/seeds/captions/latin.srt"),
];

#[test]
fn kept_captions() {
    for bytes in KEPT {
        tried::tried(bytes);
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
        let mut bytes = if between.len() % 2 == 0 { b"WEBVTT\n\n".to_vec() } else { Vec::new() };
        for (file, at, length) in pieces {
            let file = file.get(&KEPT);
            let start = at.index(file.len());
            bytes.extend(&file[start..(start + length).min(file.len())]);
            bytes.extend(&between);
        }
        tried::tried(&bytes);
    }
}
