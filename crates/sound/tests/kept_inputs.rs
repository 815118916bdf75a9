//! Inputs kept for fuzzing are tried again, by the code that the fuzzer runs.

#![allow(clippy::unwrap_used, reason = "a test may fail")]
#![allow(
    clippy::disallowed_methods,
    reason = "the inputs lie in files beside the fuzz targets"
)]

#[path = "../../../fuzz/tried/recordings.rs"]
#[allow(unreachable_pub, reason = "the target of the fuzzer needs it")]
mod recordings;

#[test]
fn kept_recordings_are_read_or_refused() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../fuzz/seeds/recordings");
    let mut tried = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        recordings::tried(&std::fs::read(entry.unwrap().path()).unwrap());
        tried += 1;
    }
    assert!(tried >= 12, "{tried}");
}

/// Heads and samples changed at random, without a fuzzer.
#[test]
fn damaged_recordings_are_read_or_refused() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../fuzz/seeds/recordings");
    let mut state = 0x9E37_79B9_7F4A_7C15_u64;
    let mut random = move || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state as usize
    };
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    files.sort();
    for file in files {
        let whole = std::fs::read(file).unwrap();
        for _ in 0..40 {
            let mut bytes = whole.clone();
            for _ in 0..1 + random() % 8 {
                if !bytes.is_empty() {
                    let at = random() % bytes.len().min(256);
                    bytes[at] = random() as u8;
                }
            }
            if random() % 3 == 0 {
                bytes.truncate(random() % (bytes.len() + 1));
            }
            recordings::tried(&bytes);
        }
    }
}
