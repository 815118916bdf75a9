//! What recordings say: one constructed product, its eleven true figures, and claims held against them.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

use methods::{Detail, Finding, Known, Method, OpenReason, Verdict};
use record::AnyFile;

/// Passive and active losses of the constructed product, 50 Hz to 10 kHz; its overall figures were computed with
/// numpy 2.4.6 (`crates/sound/tests/published/sound_bands.csv`, `sound_overall.csv`).
const PASSIVE: [f64; 24] = [
    0.4, 0.6, 0.5, 0.8, 1.0, 1.2, 1.5, 2.1, 2.8, 3.9, 5.2, 7.4, 10.1, 13.6, 17.2, 21.0, 24.4, 27.3,
    29.8, 32.1, 30.6, 28.4, 31.7, 33.5,
];
const ACTIVE: [f64; 24] = [
    14.2, 18.6, 22.9, 26.4, 29.1, 31.3, 32.0, 30.8, 28.2, 25.0, 21.7, 18.3, 13.9, 8.2, 3.1, -1.4,
    -3.0, -2.1, -0.6, 0.0, 0.1, 0.0, -0.1, 0.0,
];

fn recording(id: &str, what: &str, more: &str, levels: &[f64], heard: &str) -> String {
    format!(
        "[[recordings]]\nid = \"{id}\"\nfile = \"{id}.wav\"\nwhat = \"{what}\"\n{more}\n[recordings.heard]\nseconds = 60.0\nrate = 48000\nlevels = {levels:?}\n{heard}\n"
    )
}

fn inside(seating: u32, on: bool, shift: f64) -> String {
    let levels: Vec<f64> = (0..24)
        .map(|k| -20.0 - PASSIVE[k] - if on { ACTIVE[k] } else { 0.0 } + shift)
        .collect();
    let switched = if on { "on" } else { "off" };
    recording(
        &format!("in-{seating}-{switched}"),
        "inside",
        &format!("switched = \"{switched}\"\nseating = {seating}"),
        &levels,
        "",
    )
}

/// Three seatings, 0.2 dB apart.
fn noise() -> String {
    let mut text = recording("out", "outside", "", &[-20.0; 24], "");
    for (seating, shift) in [(1, -0.2), (2, 0.0), (3, 0.2)] {
        text += &inside(seating, false, shift);
        text += &inside(seating, true, shift);
    }
    text
}

fn examined(text: &str) -> Vec<Finding> {
    let text = format!(
        "format = 1\n[product]\nname = \"Stille\"\nmaker = \"Oskvale\"\nopened = 2026-03-01\n[[items]]\nid = \"product\"\nname = \"Headphones\"\nkind = \"product\"\n{text}"
    );
    let dossier = record::read_text(&text, "dossier.toml", &AnyFile).unwrap();
    let go_on = |_| std::ops::ControlFlow::Continue(());
    methods::examine(&dossier, &Known::default(), &go_on)
        .unwrap()
        .findings
}

fn claim(text: &str, kind: &str, value: &str) -> String {
    format!(
        "[[claims]]\nid = \"it\"\ntext = \"{text}\"\nprinted = \"box\"\nkind = \"{kind}\"\nvalue = \"{value}\"\n"
    )
}

#[track_caller]
fn judged(claims: &str, recordings: &str) -> Finding {
    let found = examined(&format!("{claims}{recordings}"));
    found
        .into_iter()
        .find(|f| f.method() == Method::Claims)
        .unwrap()
}

#[test]
fn curves_and_every_reading_are_told() {
    let findings = examined(&noise());
    let of: Vec<&Finding> = findings
        .iter()
        .filter(|f| f.method() == Method::Sound)
        .collect();
    let [finding] = of.as_slice() else {
        panic!("{of:?}")
    };
    let value = |name: &str| {
        let figure = finding.figures.iter().find(|f| f.key.to_string() == name);
        figure
            .unwrap_or_else(|| panic!("{name}: {:?}", finding.figures))
            .value
    };
    assert!((value("largest-total") - 33.5).abs() < 1e-6);
    assert!((value("largest-active") - 32.0).abs() < 1e-6);
    assert!((value("largest-passive") - 33.5).abs() < 1e-6);
    let charts = finding
        .details
        .iter()
        .filter(|d| matches!(d, Detail::Chart(_)));
    assert_eq!(charts.count(), 2);
    let Some(Detail::Table(table)) = finding.details.last() else {
        panic!()
    };
    // Of each part: the largest band, two means, nine named noises and the one played, weighted or not.
    assert_eq!(table.rows.len(), 3 * (3 + 9 + 2));
    assert!(finding.sentence.contains("200 Hz"), "{}", finding.sentence);
    assert_eq!(finding.evidence.len(), 7);
    assert!(finding.missing.is_empty(), "{:?}", finding.missing);
}

#[test]
fn a_claim_without_a_noise_is_undecided_and_told_what_it_must_have_meant() {
    let finding = judged(
        &claim("24 dB less noise", "noise-reduction", "24 dB"),
        &noise(),
    );
    assert_eq!(
        finding.verdict,
        Some(Verdict::Undecided),
        "{}",
        finding.sentence
    );
    assert_eq!(
        finding.judgement.as_ref().unwrap().open,
        Some(OpenReason::NotTestable)
    );
    assert!(
        finding.sentence.contains("must have been meant"),
        "{}",
        finding.sentence
    );
}

#[test]
fn up_to_is_kept_by_one_band_and_not_beyond_it() {
    let finding = judged(
        &claim("Up to 33 dB", "noise-reduction", "up to 33 dB"),
        &noise(),
    );
    assert_eq!(
        finding.verdict,
        Some(Verdict::Holds),
        "{}",
        finding.sentence
    );
    assert!(
        finding.sentence.contains("third octave it damps most"),
        "{}",
        finding.sentence
    );
    let finding = judged(
        &claim("Up to 45 dB", "noise-reduction", "up to 45 dB"),
        &noise(),
    );
    assert_eq!(
        finding.verdict,
        Some(Verdict::Fails),
        "{}",
        finding.sentence
    );
    assert!(
        finding.sentence.contains("No reading"),
        "{}",
        finding.sentence.to_lowercase()
    );
}

#[test]
fn what_is_cut_off_or_not_heard_is_not_used() {
    let clipped = recording("out", "outside", "", &[-20.0; 24], "clipped = 4");
    let silent = "[[recordings]]\nid = \"later\"\nfile = \"later.wav\"\nwhat = \"inside\"\nswitched = \"on\"\n";
    let findings = examined(&format!("{clipped}{}{silent}", inside(1, true, 0.0)));
    let finding = findings
        .iter()
        .find(|f| f.method() == Method::Sound)
        .unwrap();
    assert_eq!(finding.unused.len(), 2, "{:?}", finding.unused);
    assert!(
        finding.unused[0].contains("cut off"),
        "{:?}",
        finding.unused
    );
    assert!(
        finding.unused[1].contains("underlid listen"),
        "{:?}",
        finding.unused
    );
    assert!(!finding.missing.is_empty());
}

#[test]
fn in_quiet_too_near_a_loss_is_a_bound_and_refutes_nothing() {
    let quiet = recording("quiet", "quiet", "", &[-54.0; 24], "");
    let finding = judged(
        &claim("Up to 45 dB", "noise-reduction", "up to 45 dB"),
        &format!("{}{quiet}", noise()),
    );
    assert_eq!(
        finding.verdict,
        Some(Verdict::Undecided),
        "{}",
        finding.sentence
    );
}

fn delays(within: f64, clock: &str) -> String {
    let source = recording("source", "event", "", &[-30.0; 24], "");
    let heard = format!(
        "delay = 0.062\nwithin = {within}\npeak = [[0.061, 0.2], [0.062, 0.9], [0.063, 0.3]]\n{clock}"
    );
    source + &recording("late", "event", "source = \"source\"", &[-30.0; 24], &heard)
}

#[test]
fn a_delay_that_was_heard_decides_a_claim() {
    for (says, verdict) in [("70 ms", Verdict::Holds), ("40 ms", Verdict::Fails)] {
        let text = claim(&format!("Delay of {says}"), "delay", says);
        let finding = judged(&text, &delays(0.0005, ""));
        assert_eq!(
            finding.verdict,
            Some(verdict),
            "{says}: {}",
            finding.sentence
        );
    }
    let findings = examined(&delays(0.0005, "clock = 35.0"));
    let finding = findings
        .iter()
        .find(|f| f.method() == Method::Sound && !f.figures.is_empty())
        .unwrap();
    assert!(
        (finding.figures[0].value - 62.0).abs() < 1e-9,
        "{:?}",
        finding.figures[0]
    );
    assert!(
        finding.sentence.contains("35 parts in a million"),
        "{}",
        finding.sentence
    );
    assert!(matches!(finding.details.as_slice(), [Detail::Chart(_)]));
}

/// 0.30 m of air at 343.2 m/s, the speed at 20 °C (R. rows of ISO 9613-1:1993, from memory), take 0.874 ms; where the
/// way was not noted, half a metre either way is in the interval.
#[test]
fn the_way_through_the_air_is_no_delay_of_the_product() {
    let of = |more: &str| {
        let text = delays(0.000_01, "").replace(
            "source = \"source\"",
            &format!("source = \"source\"\n{more}"),
        );
        let findings = examined(&text);
        let finding = findings.iter().find(|f| f.method() == Method::Sound);
        finding.unwrap().figures[0].clone()
    };
    let stated = of("farther = \"0.300 ± 0.001 m\"");
    assert!((stated.value - (62.0 - 0.874)).abs() < 0.01, "{stated:?}");
    let half = |figure: &quantity::Figure| (figure.interval.high - figure.interval.low) / 2.0;
    assert!(half(&stated) < 0.05, "{stated:?}");
    let unknown = of("");
    assert!((unknown.value - 62.0).abs() < 0.01, "{unknown:?}");
    assert!((1.3..1.5).contains(&half(&unknown)), "{unknown:?}");
    let by_wire = of("farther = \"0 m\"");
    assert!(half(&by_wire) < 0.03, "{by_wire:?}");
}

#[test]
fn without_recordings_nothing_is_told() {
    let findings = examined("");
    assert!(findings.iter().all(|f| f.method() != Method::Sound));
}
