//! Whatever is typed gets an answer or a refusal, and the shares sum to one.

mod common;

use common::{Dice, parts};
use marking::{Clues, Costs, Index, Refusal, Scratch};
use proptest::prelude::*;
use record::marking::Seen;
use std::sync::OnceLock;

fn index() -> &'static Index {
    static INDEX: OnceLock<Index> = OnceLock::new();
    INDEX.get_or_init(|| Index::of_parts(&parts(500, &mut Dice(5)), Costs::default()))
}

#[track_caller]
fn answers(text: &str) {
    let Ok(seen) = Seen::parse(text) else { return };
    let answer = index().read(&seen, &Clues::default(), &mut Scratch::default());
    let listed: f64 = answer.candidates.iter().map(|c| c.probability).sum();
    let sum = listed + answer.none + answer.unlisted;
    assert!((sum - 1.0).abs() < 1e-9, "{text:?}: {sum}");
    for line in &answer.lines {
        let sum: f64 = line.roles.iter().map(|(_, p)| p).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{text:?}: {sum}");
    }
}

proptest! {
    #[test]
    fn any_text_is_answered_or_refused(text in any::<String>()) {
        answers(&text);
    }

    #[test]
    fn any_bytes_are_answered_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        answers(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn any_marks_are_answered(text in "[0-9A-Z?~|\\[\\]{} ]{0,40}") {
        answers(&text);
    }

    #[test]
    fn odd_clues_are_harmless(
        body in any::<(f64, f64)>(), pitch in any::<f64>(), pins in any::<u32>(), word in any::<String>(),
        count in any::<u32>(),
    ) {
        let clues = Clues {
            package: Some(word.clone()),
            pins: Some(pins),
            body_mm: Some([body.0, body.1]),
            pitch_mm: Some(pitch),
            maker: Some(word.clone()),
            roles_missing: vec![word.clone()],
            seen_before: vec![marking::SeenBefore { name: word, count }],
        };
        let seen = Seen::parse("ZUC77?2").unwrap();
        let answer = index().read(&seen, &clues, &mut Scratch::default());
        let listed: f64 = answer.candidates.iter().map(|c| c.probability).sum();
        prop_assert!((listed + answer.none + answer.unlisted - 1.0).abs() < 1e-9);
    }
}

#[test]
fn long_and_foreign_markings_are_answered_or_refused() {
    let refusal = |text: &str| {
        let seen = Seen::parse(text).unwrap();
        index()
            .read(&seen, &Clues::default(), &mut Scratch::default())
            .refusal
    };
    assert_eq!(refusal(&"A7".repeat(5000)), Some(Refusal::TooLong));
    assert_eq!(refusal(&"?".repeat(10_000)), Some(Refusal::TooLong));
    assert_eq!(refusal(""), Some(Refusal::NothingRead));
    assert_eq!(refusal("{Zulmarik}|~|--"), Some(Refusal::NothingRead));
    assert_eq!(refusal("שלום עולם"), None);
    assert_eq!(refusal("🔋⚡7702"), None);
    answers(&"AB|".repeat(3000));
    answers(&"?".repeat(64));
}

#[test]
fn an_empty_catalogue_answers_none() {
    let index = Index::of_parts(&[], Costs::default());
    let seen = Seen::parse("ZUC7702").unwrap();
    let answer = index.read(&seen, &Clues::default(), &mut Scratch::default());
    assert!(answer.candidates.is_empty());
    assert!((answer.none + answer.unlisted - 1.0).abs() < 1e-9);
    assert!(answer.none > 0.5);
}
