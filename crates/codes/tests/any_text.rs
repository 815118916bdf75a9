//! Any text gives an answer or none, never a panic.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use codes::date::date_candidates;
use codes::{Context, MarkedObject, read};
use jiff::civil::date;
use proptest::prelude::*;

fn holds(text: &str) {
    let things = [
        None,
        Some(MarkedObject::Resistor),
        Some(MarkedObject::Capacitor),
        Some(MarkedObject::Chip),
        Some(MarkedObject::Label),
    ];
    for on in things {
        for opened in [
            None,
            Some(date(2026, 10, 5)),
            Some(date(-9999, 1, 1)),
            Some(date(9999, 12, 31)),
        ] {
            let context = Context {
                on,
                opened,
                registers: None,
            };
            let readings = read(text, &context);
            let total: f64 = readings.iter().map(|r| r.likelihood).sum();
            assert!(
                readings.is_empty() || (total - 1.0).abs() < 1e-9,
                "{text:?}: {total}"
            );
            for reading in readings {
                assert!(reading.likelihood > 0.0);
                assert!(!reading.meaning.is_empty() && !reading.because.is_empty());
            }
        }
    }
    for candidate in date_candidates(text, Some(date(2026, 10, 5))) {
        assert_eq!(&text[candidate.range], candidate.text);
        assert!(!candidate.spans.is_empty());
    }
}

#[test]
fn awkward_texts() {
    for text in [
        "",
        " ",
        "\u{0}\u{1}\u{1b}[31m4K7",
        "\u{202e}7K4",
        "٤٧٣",
        "４７３",
        "4\u{301}K7",
        "🔋",
        "👩‍🔬4K7",
        "IP",
        "IPX",
        "(00)",
        "(",
        "-",
        ":::::",
        "00:00:00:00:00:00",
        "W",
        "-W-",
        "2024-W",
        "2024-W99-9",
        "9999-99-99",
        "t",
        "ICP",
        "ICR-",
        "99ICP000000-99",
        "ICPtttttt",
        "ß5",
        "ＩＰ６７",
        "Ω",
        "µ",
        "\u{fdfa}",
        "VID_&PID_",
        "0x1234:0x5678",
    ] {
        holds(text);
    }
    holds(&"8".repeat(10_000));
    holds(&"\u{fdfa}".repeat(10_000));
    holds(&"2413 ".repeat(2_000));
    holds(&"brown ".repeat(5_000));
}

#[test]
fn every_short_text_of_code_characters_is_safe() {
    let alphabet: Vec<char> = "0189AKMNRTXpnt-/.:".chars().collect();
    let mut texts = vec![String::new()];
    for _ in 0..3 {
        texts = texts
            .iter()
            .flat_map(|t| alphabet.iter().map(move |c| format!("{t}{c}")))
            .collect();
        texts.iter().for_each(|t| {
            read(t, &Context::default());
        });
    }
}

proptest! {
    #[test]
    fn any_text(text in any::<String>()) {
        holds(&text);
    }

    #[test]
    fn text_that_looks_like_codes(text in "[0-9A-Za-zµ:./() -]{0,24}") {
        holds(&text);
    }

    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        holds(&String::from_utf8_lossy(&bytes));
    }
}
