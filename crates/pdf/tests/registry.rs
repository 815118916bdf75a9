//! Every method of the registry reaches the printed working, on findings of the demonstration dossier.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

use methods::{Known, METHODS};
use report::{Photographs, compose, finding_anchor};
use std::ops::ControlFlow;
use std::path::Path;

#[test]
fn no_method_is_missing_from_the_printed_working() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let mut dossier = store::open(&folder).unwrap();
    // The demonstration does not contradict itself, and nothing in it was listened to; here it does, and there was,
    // so that every method has an answer.
    dossier.recordings.push(record::Recording {
        id: "street".to_string(),
        file: "street.wav".to_string(),
        what: record::RecordingKind::Outside,
        channel: None,
        switched: None,
        seating: None,
        item: None,
        level: None,
        frequency: None,
        full_scale: None,
        calibrator: None,
        source: None,
        farther: None,
        frame: None,
        frame_rate: None,
        instrument: None,
        started: None,
        heard: None,
        evidence: Vec::new(),
        note: None,
    });
    let step = dossier
        .steps
        .iter_mut()
        .find(|s| s.fastener_count.is_some());
    step.unwrap().fastener_count = Some(999);
    let goes_on = |_| ControlFlow::Continue(());
    let known = Known::default();
    let own = methods::others::profile(&methods::Case::new(&dossier, &known), "lamp");
    // Among products of another maker that are much like it.
    let twin = |n: u32| methods::Other {
        id: n.to_string(),
        product: format!("Pebble {n}"),
        maker: "Tarnholt".to_string(),
        family: String::new(),
        ..own.clone()
    };
    let others = methods::Others {
        products: Some((1..=5).map(twin).collect()),
        left: 0,
    };
    let recorded = methods::Recorded::none();
    let found = methods::examine_among(&dossier, &known, &recorded, &others, &goes_on);
    let mut findings = found.unwrap();
    // One finding of each method is enough to see whether it is set; typesetting all takes long.
    let mut met = std::collections::BTreeSet::new();
    findings.findings.retain(|f| met.insert(f.method()));
    assert_eq!(met.len(), METHODS.len());
    let document = compose(&dossier, &findings, &Photographs::default());
    let bytes = pdf::working(&document).unwrap();
    // Anchors are named destinations of the file.
    let file = String::from_utf8_lossy(&bytes);
    for finding in &findings.findings {
        let anchor = finding_anchor(&finding.id);
        assert!(file.contains(&anchor), "{} is left out", finding.id);
    }
}
