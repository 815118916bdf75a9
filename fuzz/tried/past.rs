//! Any bytes as a text published before, in every form: read or refused, never a panic; every mark is on words of its
//! sentence, every line is one of the file.

use past::{Format, Known, find, read};

/// Reads the bytes in each form and finds parts.
pub fn tried(data: &[u8]) {
    let known = Known::new([("QRX77", "Halvik")]);
    for format in [
        Format::Html,
        Format::Markdown,
        Format::Plain,
        Format::WebVtt,
        Format::SubRip,
    ] {
        let Ok(text) = read(data, format) else {
            continue;
        };
        // Line ends of any kind, and those of 16 bits.
        let lines = 2 + data.iter().filter(|b| matches!(b, b'\n' | b'\r')).count();
        for part in find(&text, &known).parts {
            assert!((0.0..=1.0).contains(&part.probability));
            assert!(!part.quotes.is_empty() && part.mentions >= 1);
            for quote in &part.quotes {
                assert!(
                    (1..=lines).contains(&quote.line),
                    "line {} of {lines}",
                    quote.line
                );
                for mark in &quote.marks {
                    assert!(!quote.sentence[mark.from..mark.to].is_empty());
                }
            }
        }
    }
}
