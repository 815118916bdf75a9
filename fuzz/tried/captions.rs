//! Any bytes as captions, in both forms: read or refused, never a panic; what is written back without corrections is
//! what was read, and with corrections every time stands as it stood.

use captions::{ENGLISH, Format, Kind, Term, Thresholds, Vocabulary, proof_read, read};

/// Reads the bytes in each form and proof-reads them.
pub fn tried(data: &[u8]) {
    let term = |kind, written: &str| Term {
        kind,
        written: written.into(),
        said: Vec::new(),
        place: written.into(),
    };
    let terms = [
        term(Kind::Maker, "Halvik"),
        term(Kind::Part, "QRX77"),
        term(Kind::Quantity, "3.62 V"),
        term(Kind::Name, "Aurora Slate"),
    ];
    let vocabulary = Vocabulary::new(&terms, &["QRX78".into()], &ENGLISH);
    for format in [Format::WebVtt, Format::SubRip] {
        let Ok(film) = read(data, format) else {
            continue;
        };
        let same = film.replaced(&[]).expect("nothing is replaced");
        assert_eq!(same, data, "{format:?}");
        let found = proof_read(&film, &vocabulary, &Thresholds::default());
        for (correction, words) in found.corrections.iter().zip(&found.words) {
            assert!((0.0..=1.0).contains(&correction.probability));
            assert!(words.start < words.end && words.end <= film.words.len());
        }
        let written = found.written(&film).expect("corrections never overlap");
        let again = read(&written, format).expect("what was read is read again");
        let times = |film: &captions::Captions| -> Vec<(u64, u64)> {
            film.cues
                .iter()
                .map(|cue| (cue.start_ms, cue.end_ms))
                .collect()
        };
        assert_eq!(times(&film), times(&again), "{format:?}");
    }
}
