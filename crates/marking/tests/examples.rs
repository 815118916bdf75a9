//! Markings as they come, against a small catalogue.

use catalogue::Part;
use marking::{Answer, Clues, Costs, EntryKind, Index, Pair, Role, Scratch, SeenBefore};
use record::marking::Seen;

fn part(name: &str, package: &str, pins: u32, role: &str) -> Part {
    Part {
        name: name.into(),
        packages: vec![package.into()],
        pins: Some(pins),
        role: role.into(),
        maker: "Zulmarik".into(),
        ..Part::default()
    }
}

fn index() -> Index {
    let mut parts = vec![
        part("ZUC7702QR", "QFN-24", 24, "charger"),
        part("ZUC7702SR", "SOT-23-6", 6, "charger"),
        part("ZUC7782", "QFN-24", 24, "light driver"),
        part("TH-KARN2", "QFN-48", 48, "controller"),
        part("OVP135", "DFN-6", 6, "switch"),
        part("LVX30", "SOT-23-5", 5, "regulator"),
        part("QVI15-RX", "QFN-24", 24, "receiver"),
    ];
    parts[5].codes = vec!["P8K".into()];
    // Names that have nothing to do with the others, so that the prior is not a guess among seven.
    for i in 0..500 {
        parts.push(part(&format!("XJ{}W", 10_000 + 77 * i), "BGA-99", 99, ""));
    }
    Index::of_parts(&parts, Costs::default())
}

fn read(text: &str, clues: &Clues) -> Answer {
    index().read(
        &Seen::parse(text).expect("a marking"),
        clues,
        &mut Scratch::default(),
    )
}

#[test]
fn a_worn_name_is_found_and_its_worn_characters_are_marked() {
    let answer = read("TH-KAR?2|40F0|2628B", &Clues::default());
    let best = &answer.candidates[0];
    assert_eq!((best.name.as_str(), best.line), ("TH-KARN2", 0));
    assert!(best.probability > 0.98, "{answer:?}");
    assert!(best.alignment.contains(&Pair::Open {
        seen: '?',
        name: 'N'
    }));
    assert_eq!(answer.lines[0].roles[0].0, Role::PartNumber);
    assert_eq!(answer.lines[2].roles[0].0, Role::Date);
}

#[test]
fn the_package_decides_between_names_that_look_the_same() {
    let clues = Clues {
        package: Some("SOT-23-6".into()),
        pins: Some(6),
        ..Clues::default()
    };
    let answer = read("ZUC7702", &clues);
    assert_eq!(answer.candidates[0].name, "ZUC7702SR");
    assert!(answer.candidates[0].probability > 0.9);
    let factors: Vec<String> = answer.candidates[0]
        .factors
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(
        factors,
        [
            "package agrees: +2.1",
            "pins agree: +2.0",
            "room for the text contradicts: -1.5",
        ]
    );
    let blind = read("ZUC7702", &Clues::default());
    // Nine characters are more likely on the larger of the two.
    assert_eq!(blind.candidates[0].name, "ZUC7702QR");
    assert!(blind.candidates[1].probability > 0.1);
}

#[test]
fn a_name_in_two_lines_is_joined() {
    let answer = read("QVI15|RX|2627", &Clues::default());
    let best = &answer.candidates[0];
    assert_eq!(best.name, "QVI15-RX");
    assert!(best.probability > 0.9, "{answer:?}");
}

#[test]
fn a_short_code_is_a_top_marking() {
    let clues = Clues {
        package: Some("SOT-23-5".into()),
        pins: Some(5),
        ..Clues::default()
    };
    let answer = read("P?K", &clues);
    assert_eq!(answer.candidates[0].name, "P8K");
    assert_eq!(answer.candidates[0].kind, EntryKind::Code);
    let large = Clues {
        package: Some("QFN-48".into()),
        ..Clues::default()
    };
    assert!(read("P?K", &large).candidates[0].probability < answer.candidates[0].probability);
}

#[test]
fn a_name_of_no_part_is_none_of_these() {
    let answer = read("GRB4451K", &Clues::default());
    assert!(answer.none > 0.9, "{answer:?}");
}

#[test]
fn the_logo_and_what_was_seen_before_count() {
    let foreign = read("{Bramwhist}ZUC7782", &Clues::default());
    let own = read("{Zulmarik}ZUC7782", &Clues::default());
    assert!(own.candidates[0].factors[0].log_odds > 0.0);
    assert!(foreign.candidates[0].factors[0].log_odds < 0.0);
    let before = Clues {
        seen_before: vec![SeenBefore {
            name: "ZUC7702SR".into(),
            count: 4,
        }],
        ..Clues::default()
    };
    assert_eq!(read("ZUC7702", &before).candidates[0].name, "ZUC7702SR");
}

#[test]
fn a_lot_or_date_beside_an_exact_name_takes_nothing_from_it() {
    for text in [
        "ZUC7702QR|K4C7",
        "ZUC7702QR 2315",
        "ZUC7702QR2315",
        "ZUC7702QR K4C7 2315",
    ] {
        let answer = read(text, &Clues::default());
        assert_eq!(answer.candidates[0].name, "ZUC7702QR", "{text}");
        assert!(answer.candidates[0].probability > 0.9, "{text}: {answer:?}");
    }
}

#[test]
fn slips_and_gaps_inside_leave_the_name_first() {
    for (text, name) in [
        ("ZUC7720QR", "ZUC7702QR"),
        ("ZUC77??2QR", "ZUC7702QR"),
        ("ZUCC7702QR", "ZUC7702QR"),
        ("QVI~RX", "QVI15-RX"),
    ] {
        let answer = read(text, &Clues::default());
        assert_eq!(answer.candidates[0].name, name, "{text}");
    }
}

#[test]
fn a_short_text_on_a_tiny_package_is_no_piece_of_a_name_where_no_code_is_known() {
    let mut parts = vec![part("LVK72", "SOT-23", 3, "")];
    for i in 0..2000 {
        parts.push(part(&format!("XJ{}W", 10_000 + 37 * i), "BGA-99", 99, ""));
    }
    let index = Index::of_parts(&parts, Costs::default());
    let clues = Clues {
        package: Some("TO-236".into()),
        ..Clues::default()
    };
    let seen = Seen::parse("K72").expect("a marking");
    let answer = index.read(&seen, &clues, &mut Scratch::default());
    assert!(answer.none > 0.5, "{answer:?}");
}

#[test]
fn a_lot_letter_behind_a_code_is_cheap() {
    let clues = Clues {
        package: Some("SOT-23-5".into()),
        ..Clues::default()
    };
    let answer = read("P8KD", &clues);
    assert_eq!(answer.candidates[0].name, "P8K", "{answer:?}");
}

#[test]
fn the_sharp_text_of_a_sister_is_none_of_these_unless_it_looks_alike() {
    let sister = read("ZUC7742QR", &Clues::default());
    assert!(sister.none > sister.candidates[0].probability, "{sister:?}");
    let alike = read("2UC7702QR", &Clues::default());
    assert!(alike.candidates[0].probability > 0.8, "{alike:?}");
}
