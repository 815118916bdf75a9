//! Sentences as they stand on boxes, leaflets and plates, written for this test after the reader (common practice).

use super::*;
use crate::{AnyFile, read_text};

fn lamp() -> Dossier {
    let facts = json!({"name": "Vellit 2", "maker": "Quenmora"});
    let text = crate::starter_of(facts.as_object().expect("an object")).expect("facts fit");
    let text = format!(
        "{text}
[[items]]
id = \"lamp\"
name = \"Lamp\"
kind = \"assembly\"
parent = \"product\"

[[items]]
id = \"lamp-cell\"
name = \"Cell of the lamp\"
kind = \"cell\"
parent = \"lamp\"

[[items.loads]]
mode = \"low light\"
current = \"20 mA\"

[[items.loads]]
mode = \"high light\"
current = \"150 mA\"
"
    );
    read_text(&text, "dossier.toml", &AnyFile).expect("it reads")
}

fn first(text: &str) -> (String, Map<String, Json>) {
    let proposals = read_sentence(text, &lamp());
    let first = &proposals[0];
    (first.says.join(" · "), first.entry.clone())
}

#[test]
fn sentences_are_read_as_they_are_meant() {
    let cases = [
        (
            "Charges in 75 min.",
            json!({"kind": "charging-time", "value": "75 min", "says": {"item": "lamp-cell"}}),
        ),
        (
            "Up to 30 h low",
            json!({"kind": "run-time", "value": "Up to 30 h", "says": {"item": "lamp-cell", "mode": "low light"}}),
        ),
        ("Only 48 g", json!({"kind": "mass", "value": "48 g"})),
        (
            "Lamp 38 g",
            json!({"kind": "mass", "value": "38 g", "says": {"item": "lamp"}}),
        ),
        (
            "Cell 620 mAh 3.7 V",
            json!({"kind": "capacity", "value": "620 mAh", "says": {"item": "lamp-cell"}}),
        ),
        (
            "Answers a touch within 50 ms.",
            json!({"kind": "delay", "value": "up to 50 ms"}),
        ),
        (
            "Protected to IP54.",
            json!({"kind": "ingress", "names": "IP54"}),
        ),
        ("IPX4", json!({"kind": "ingress", "names": "IPX4"})),
        (
            "10 minutes give 2 hours (low).",
            json!({"kind": "quick-charge", "value": "2 hours", "after": "10 minutes", "says": {"item": "lamp-cell", "mode": "low light"}}),
        ),
        (
            "Three recharges from the cradle.",
            json!({"kind": "recharges", "value": "3", "says": {"item": "lamp-cell"}}),
        ),
        (
            "At most 13.9 mm thin.",
            json!({"kind": "dimension", "value": "up to 13.9 mm", "says": {"dimension": "thickness"}}),
        ),
        (
            "52 mm wide",
            json!({"kind": "dimension", "value": "52 mm", "says": {"dimension": "width"}}),
        ),
        (
            "Input 9 V ⎓ 2 A, 18 W",
            json!({"kind": "input", "rating": "9 V ⎓ 2 A, 18 W"}),
        ),
        (
            "OUTPUT: 5 V ⎓ 1 A",
            json!({"kind": "output", "rating": "5 V ⎓ 1 A"}),
        ),
        (
            "Threndova motion sensor.",
            json!({"kind": "part", "role": "motion sensor", "maker": "Threndova"}),
        ),
        (
            "Runs on the Threndova TH-KARN2.",
            json!({"kind": "part", "names": "TH-KARN2"}),
        ),
        (
            "Bluetooth 5.3",
            json!({"kind": "radio", "names": "Bluetooth 5.3"}),
        ),
        (
            "Charges over USB-C",
            json!({"kind": "interface", "names": "USB-C"}),
        ),
        (
            "35 dB noise reduction",
            json!({"kind": "noise-reduction", "value": "35 dB"}),
        ),
        (
            "400 lm",
            json!({"kind": "luminous-flux", "value": "400 lm"}),
        ),
        (
            "120° field of view",
            json!({"kind": "view-angle", "value": "120°"}),
        ),
        (
            "Touch control",
            json!({"kind": "function", "names": "Touch control"}),
        ),
        ("Light, reinvented.", json!({"kind": "slogan"})),
        ("The best lamp ever!", json!({"kind": "slogan"})),
    ];
    let mut wrong = Vec::new();
    for (text, expected) in cases {
        let (says, entry) = first(text);
        if Json::Object(entry.clone()) != expected {
            wrong.push(format!("{text:?}: {says} {}", Json::Object(entry)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn what_a_sentence_leaves_open_is_named() {
    let proposals = read_sentence("Shines for 30 h", &lamp());
    assert_eq!(proposals[0].kind, ClaimKind::RunTime);
    let mode = Open {
        key: "says.mode".to_string(),
        choices: vec!["low light".to_string(), "high light".to_string()],
    };
    assert_eq!(proposals[0].open, [mode]);
}

#[test]
fn the_last_proposal_is_that_there_is_nothing_to_test() {
    for text in [
        "", "48 g", "ß ⎓ 4", "İİ 3 h", "“”", "IP", "1e999 g", "9 V ⎓",
    ] {
        let proposals = read_sentence(text, &lamp());
        assert_eq!(
            proposals.last().map(|p| p.kind),
            Some(ClaimKind::Slogan),
            "{text:?}"
        );
        for range in proposals.iter().flat_map(|p| &p.rests_on) {
            assert!(text.get(range.clone()).is_some(), "{text:?} {range:?}");
        }
    }
}

#[test]
fn every_proposal_is_a_claim_that_reads() {
    let texts = [
        "Charges in 75 min.",
        "52 mm wide",
        "18 W charging",
        "First lamp with a TH-KARN2",
        "Dual-band Wi-Fi 6",
    ];
    for text in texts {
        for proposal in read_sentence(text, &lamp()) {
            let mut entry = proposal.entry.clone();
            entry.insert("id".to_string(), json!("new"));
            entry.insert("text".to_string(), json!(text));
            entry.insert("printed".to_string(), json!("front of the box"));
            let mut draft =
                crate::Draft::parse(&crate::starter(), "dossier.toml").expect("it is TOML");
            entry.remove("says");
            if proposal.kind == ClaimKind::Dimension {
                entry.insert("says".to_string(), json!({"dimension": "width"}));
            }
            let list: crate::Place = "claims".parse().expect("a list");
            draft.add(&list, &entry).expect("it fits");
            draft
                .check(&AnyFile)
                .unwrap_or_else(|p| panic!("{text:?} {entry:?}: {p}"));
        }
    }
}

/// The claims of the demonstration, whose kinds a person chose. One names its interface only by what it does without
/// (a cable), which no word list tells.
#[test]
fn the_claims_of_the_demonstration_are_read_as_a_person_did() {
    let text = include_str!("../../../../demo/lamp/dossier.toml");
    let dossier = read_text(text, "dossier.toml", &AnyFile).expect("it reads");
    let mut other = Vec::new();
    for claim in &dossier.claims {
        let proposals = read_sentence(&claim.text, &dossier);
        let kinds: Vec<ClaimKind> = proposals.iter().map(|p| p.kind).collect();
        if kinds[0] != claim.kind && !claim.text.contains("without a cable") {
            other.push(format!(
                "{:?}: {:?} not first of {kinds:?}",
                claim.text, claim.kind
            ));
        }
    }
    assert!(other.is_empty(), "{}", other.join("\n"));
}
