//! Identities of dossiers become parts, once.

use catalogue::{Catalogue, ConfirmedPart, harvest};

fn seen(name: &str, from: &str) -> ConfirmedPart {
    ConfirmedPart {
        name: name.into(),
        maker: "Nordhafen".into(),
        was_read: true,
        package: "QFN-16".into(),
        pins: Some(16),
        size_mm: Some([3.02, 2.98]),
        role: "charger".into(),
        marking: vec![name.into(), "2431".into()],
        ratings: [("current".to_string(), "1 A".to_string())].into(),
        ratings_origin: "label".into(),
        neighbours: Vec::new(),
        known_from: from.into(),
    }
}

#[test]
fn only_what_was_read_is_harvested() {
    let mut guessed = seen("NHF1", "dossier a, item u1");
    guessed.was_read = false;
    let got = harvest(
        &Catalogue::default(),
        &[guessed, seen("NHF2", "dossier a, item u2")],
    );
    assert_eq!(got.rows.len(), 1);
    assert_eq!(got.rows[0].part.name, "NHF2");
    // Two lines: the second may be a date, so no top-marking code is made of them.
    assert!(got.rows[0].part.codes.is_empty());
    assert_eq!(
        got.remarks[0].to_string(),
        "dossier a, item u1: \"NHF1\" was not read from a marking; it is not harvested; read its \
         marking first"
    );
}

#[test]
fn neighbours_of_several_boards_add_up() {
    let beside = |name: &str, from: &str, neighbours: &[&str]| ConfirmedPart {
        neighbours: neighbours.iter().map(ToString::to_string).collect(),
        ..seen(name, from)
    };
    let mut known = Catalogue::default();
    let first = [beside("NHF1", "dossier a, item u1", &["NHF2", "OXT7"])];
    known.merge(harvest(&known, &first).rows);
    let second = [beside("NHF1", "dossier b, item u9", &["OXT7", "KARN"])];
    known.merge(harvest(&known, &second).rows);
    assert_eq!(known.parts()[0].seen_with, ["NHF2", "OXT7", "KARN"]);
    assert!(harvest(&known, &second).rows.is_empty());
}

#[test]
fn harvesting_again_changes_nothing_and_other_dossiers_add() {
    let first = [
        seen("NHF1", "dossier a, item u1"),
        seen("NHF2", "dossier a, item u2"),
    ];
    let mut parts = Catalogue::default();
    assert_eq!(parts.merge(harvest(&parts, &first).rows).added, 2);
    let before = parts.clone();
    assert_eq!(harvest(&parts, &first).rows, []);
    assert_eq!(parts, before);

    let mut other = seen("NHF1", "dossier b, item u7");
    other.package = "DFN-12".into();
    other.pins = Some(12);
    other.ratings.insert("current".into(), "2 A".into());
    other
        .ratings
        .insert("working-voltage".into(), "5.5 V".into());
    let got = harvest(&parts, &[other.clone(), other]);
    assert_eq!(got.rows.len(), 1);
    parts.merge(got.rows);
    let part = &parts.parts()[0];
    assert_eq!(part.packages, ["QFN-16", "DFN-12"]);
    assert_eq!(part.pins, Some(16));
    assert_eq!(part.ratings["current"], "1 A");
    assert_eq!(part.ratings["working-voltage"], "5.5 V");
    assert_eq!(part.known_from, "dossier a, item u1");
    let told: Vec<String> = got
        .remarks
        .iter()
        .take(2)
        .map(ToString::to_string)
        .collect();
    assert_eq!(
        told,
        [
            "dossier b, item u7: NHF1: pins is \"16\" in the catalogue and \"12\" in the dossier; \
             the catalogue was kept; correct the one that is wrong",
            "dossier b, item u7: NHF1: rating current is \"1 A\" in the catalogue and \"2 A\" in \
             the dossier; the catalogue was kept; correct the one that is wrong",
        ]
    );
}

#[test]
fn one_short_legible_line_is_a_top_marking_code() {
    for (line, is_code) in [
        ("4A7", true),
        ("4A?", false),
        ("4[A4]7", false),
        ("NHF1", false),
        ("HF1", false),
        ("LONGLINE", false),
        ("", false),
    ] {
        let mut one = seen("NHF1", "x");
        one.marking = vec![line.into()];
        let got = harvest(&Catalogue::default(), &[one]);
        assert_eq!(!got.rows[0].part.codes.is_empty(), is_code, "{line}");
    }
}
