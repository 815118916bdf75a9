//! What is private is nowhere in what may be published, and what may be published reads as a dossier.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]

use record::{AnyFile, Dossier, WITHHELD, read_text};

const DEMO: &str = include_str!("../../../demo/lamp/dossier.toml");

fn demo(changed: impl Fn(String) -> String) -> Dossier {
    let text = changed(DEMO.to_string());
    read_text(&text, "dossier.toml", &AnyFile).unwrap_or_else(|e| panic!("{e}"))
}

fn private_serial() -> Dossier {
    demo(|text| {
        let serial = r#"text = "NC3-2631-004417", "#;
        assert!(text.contains(serial));
        let private = format!("{serial}private = true, ");
        text.replace(serial, &private).replace(
            "note = \"The lamp is worn",
            "note = \"Serial nc3 2631 004417, or NC32631004417. The lamp is worn",
        )
    })
}

#[test]
fn a_private_number_is_withheld_wherever_it_stands() {
    let dossier = private_serial();
    let published = dossier.published();
    let text = published.to_toml();
    let plain: String = text
        .to_lowercase()
        .chars()
        .filter(|c| c.is_alphanumeric())
        .collect();
    assert!(!plain.contains("nc32631004417"), "{text}");
    // The other number is not private, and all else stays.
    assert!(text.contains("NV3-2631-004417"));
    assert!(text.contains(&format!(
        "Serial {WITHHELD}, or {WITHHELD}. The lamp is worn"
    )));
    assert!(text.contains(&format!("LOT 2631  S/N {WITHHELD}")));
    assert_eq!(published.items, dossier.items);
    // The author keeps it.
    assert!(dossier.to_toml().contains("NC3-2631-004417"));
}

#[test]
fn its_length_is_hidden() {
    let with = |serial: &str| {
        let long = demo(|text| {
            let private = format!("text = \"{serial}\", private = true, ");
            text.replace(r#"text = "NC3-2631-004417", "#, &private)
                .replace("S/N NC3-2631-004417", &format!("S/N {serial}"))
        });
        long.published().to_toml()
    };
    assert_eq!(with("AB12"), with("A-VERY-LONG-NUMBER-0123456789"));
}

#[test]
fn parts_of_a_label_are_withheld() {
    let dossier = demo(|text| {
        let place = "place = \"side panel of the box\"\n";
        text.replace(
            place,
            &format!("{place}private = [\"Cell 620 mAh 3.7 V\"]\n"),
        )
    });
    let text = dossier.published().to_toml();
    assert!(
        text.contains(&format!("{WITHHELD} / 2000 mAh 3.6 V")),
        "{text}"
    );
    assert!(!text.contains("private = ["), "{text}");
}

#[test]
fn a_private_reading_and_all_mention_of_it_are_left_out() {
    let id = "m-lamp";
    let dossier = demo(|text| {
        let entry = format!("id = \"{id}\"\n");
        assert!(text.contains(&entry));
        text.replace(&entry, &format!("{entry}private = true\n"))
    });
    let published = dossier.published();
    assert!(dossier.reading(id).is_some() && published.reading(id).is_none());
    assert_eq!(published.readings.len() + 1, dossier.readings.len());
    let text = published.to_toml();
    assert!(!text.contains(&format!("reading:{id}\"")), "{text}");
}

#[test]
fn what_is_published_reads_and_says_the_same_when_published_again() {
    for dossier in [demo(|text| text), private_serial()] {
        let published = dossier.published();
        let again = read_text(&published.to_toml(), "dossier.toml", &AnyFile);
        let again = again.unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(again, published);
        assert_eq!(again.published(), published);
    }
}

/// Short numbers are looked for as words of their own.
#[test]
fn a_short_number_inside_another_word_stays() {
    let dossier = demo(|text| {
        text.replace(
            r#"text = "NC3-2631-004417", "#,
            r#"text = "48", private = true, "#,
        )
    });
    let text = dossier.published().to_toml();
    assert!(text.contains("QFN-48"));
    assert!(!text.contains("text = \"48\""));
}
