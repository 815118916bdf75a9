//! What a film of the demonstration needs, from its record and findings.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use methods::film::{State, Topic, When, narration, overlays, pronunciations, shots};
use methods::{Findings, Known};
use record::{Dossier, Place};
use std::ops::ControlFlow;
use std::path::Path;

fn lamp() -> (Dossier, Findings) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let dossier = store::open(&folder).unwrap();
    let go_on = |_| ControlFlow::Continue(());
    let findings = methods::examine(&dossier, &Known::default(), &go_on).unwrap();
    (dossier, findings)
}

#[test]
fn the_narration_follows_the_opening_and_says_what_it_writes() {
    let (dossier, findings) = lamp();
    let found = narration(&dossier, &findings);
    let steps: Vec<String> = dossier
        .steps
        .iter()
        .filter(|s| s.done)
        .map(|s| Place::step(&s.id).to_string())
        .collect();
    let of = |topic| {
        let lines = found.lines.iter().filter(move |l| l.topic == topic);
        lines.map(|l| l.place.to_string()).collect::<Vec<_>>()
    };
    assert_eq!(of(Topic::Step), steps);
    assert_eq!(of(Topic::Claim).len(), dossier.claims.len());
    // Each identified part is told once.
    let parts = of(Topic::Piece);
    let identified = overlays(&dossier).len();
    assert_eq!(
        parts
            .iter()
            .filter(|p| p.ends_with("part.identity"))
            .count(),
        identified
    );
    let heated = found
        .lines
        .iter()
        .find(|l| l.place.to_string() == "steps.peel-coil")
        .unwrap();
    assert!(
        heated
            .written
            .ends_with("Tool: hot plate at 60 °C. It took 3 min. Care: heat."),
        "{}",
        heated.written
    );
    assert!(
        heated
            .spoken
            .ends_with("Tool: hot plate at sixty degrees. It took three minutes. Care: heat."),
        "{}",
        heated.spoken
    );
    assert_eq!(heated.figures.len(), 2);
    for line in &found.lines {
        for figure in &line.figures {
            assert!(
                !figure.spoken.bytes().any(|b| b.is_ascii_digit()),
                "{figure:?}"
            );
        }
    }
    // M. Brysbaert 2019: at 183 words a minute 100 words take 32.8 s; at 150, 40.0 s.
    let words: f64 = found.seconds.0 / 40.0 * 100.0;
    assert!(
        (found.seconds.1 - words * 0.328).abs() < 0.001 * found.seconds.1,
        "{:?}",
        found.seconds
    );
    let sum: f64 = found.lines.iter().map(|l| l.seconds).sum();
    assert!((sum - found.seconds.0).abs() < 1e-6);
}

#[test]
fn what_a_step_ends_must_be_filmed_before_it() {
    let (mut dossier, findings) = lamp();
    let list = |dossier: &Dossier| shots(dossier, &findings);
    let found = list(&dossier);
    // What findings miss before a planned step stands before it.
    let planned = dossier.steps.iter().find(|s| !s.done).unwrap().id.clone();
    let before: Vec<_> = found
        .iter()
        .filter(|s| s.step.as_ref() == Some(&planned) && s.when == When::Before)
        .collect();
    assert!(
        before
            .iter()
            .any(|s| s.settles.is_some() && s.state == State::ToFilm),
        "{before:?}"
    );
    assert!(before.iter().all(|s| s.last_chance));
    // What a step destroyed and no photograph shows can be filmed no more; before the step it could.
    let (at, destroyed) = dossier
        .steps
        .iter()
        .enumerate()
        .find_map(|(at, s)| Some((at, s.destroys.first()?.clone())))
        .unwrap();
    let item = dossier
        .items
        .iter()
        .position(|i| i.id == destroyed)
        .unwrap();
    dossier.items[item].evidence.clear();
    let id = dossier.steps[at].id.clone();
    let of = |dossier: &Dossier| {
        let all = list(dossier).into_iter();
        let mut own =
            all.filter(|s| s.step.as_ref() == Some(&id) && s.item.as_ref() == Some(&destroyed));
        own.find(|s| s.when == When::Before).unwrap().state
    };
    dossier.steps[at].done = true;
    assert_eq!(of(&dossier), State::TooLate);
    dossier.steps[at].done = false;
    assert_eq!(of(&dossier), State::ToFilm);
}

#[test]
fn names_are_said_as_recorded_or_letter_by_letter() {
    let (mut dossier, _) = lamp();
    let said = |dossier: &Dossier, word: &str| {
        let all = pronunciations(dossier).into_iter();
        all.into_iter().find(|p| p.word == word).unwrap()
    };
    assert_eq!(said(&dossier, "ZUC30").said.unwrap(), "Z U C three zero");
    assert_eq!(said(&dossier, "Ondrelkamp").said, None);
    dossier.pronunciations.push(record::Pronunciation {
        word: "Ondrelkamp".into(),
        said: vec!["on drel camp".into()],
        ipa: None,
    });
    let own = said(&dossier, "Ondrelkamp");
    assert_eq!(
        (own.said.as_deref(), own.recorded),
        (Some("on drel camp"), true)
    );
}
