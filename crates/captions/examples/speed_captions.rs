//! Times proof-reading 2,000 words against 200 terms.

#![allow(clippy::unwrap_used, reason = "an example fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example that times"
)]

use captions::{ENGLISH, Format, Kind, Term, Thresholds, Vocabulary, proof_read, read};
use std::time::Instant;

fn main() {
    let words: Vec<&str> = ENGLISH.everyday.split_ascii_whitespace().collect();
    let mut terms = Vec::new();
    for n in 0..200 {
        let (a, b) = (words[n * 7 % words.len()], words[n * 13 % words.len()]);
        let (kind, written) = match n % 4 {
            0 => (Kind::Maker, format!("{a}ex{}", &b[..1])),
            1 => (Kind::Name, format!("{a}or {b}a")),
            2 => (
                Kind::Part,
                format!(
                    "{}{}{}",
                    a[..1].to_uppercase(),
                    b[..1].to_uppercase(),
                    1000 + n * 37
                ),
            ),
            _ => (Kind::Quantity, format!("{}.{} V", n, n % 10)),
        };
        terms.push(Term {
            kind,
            written,
            said: vec![],
            place: String::new(),
        });
    }
    let mut file = String::from("WEBVTT\n");
    for cue in 0..200 {
        let spoken: Vec<&str> = (0..10)
            .map(|n| match (cue + n) % 12 {
                0 => terms[cue % 200].written.as_str(),
                _ => words[(cue * 31 + n * 17) % words.len()],
            })
            .collect();
        file += &format!(
            "\n{:02}:{:02}.000 --> {:02}:{:02}.900\n{}\n",
            cue / 60,
            cue % 60,
            cue / 60,
            cue % 60,
            spoken.join(" ")
        );
    }
    let film = read(file.as_bytes(), Format::WebVtt).unwrap();
    let mut times = Vec::new();
    let mut found = 0;
    for _ in 0..9 {
        let vocabulary = Vocabulary::new(&terms, &[], &ENGLISH);
        let start = Instant::now();
        found = proof_read(&film, &vocabulary, &Thresholds::default())
            .corrections
            .len();
        times.push(start.elapsed().as_secs_f64() * 1e3);
    }
    times.sort_by(f64::total_cmp);
    println!(
        "{} words, {} terms, {found} corrections: median {:.1} ms",
        film.words.len(),
        terms.len(),
        times[4]
    );
}
