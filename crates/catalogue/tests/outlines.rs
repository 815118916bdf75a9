//! Names of footprints against the outlines drawn in them; see `published/README.md`.

use catalogue::Outline;

#[test]
fn names_agree_with_the_drawn_outlines() {
    let table = include_str!("published/outlines.csv");
    let mut checked = 0;
    for line in table.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let [name, family, pins, long, short, pitch] = cells[..] else {
            panic!("{line}");
        };
        let outline = Outline::read(name).unwrap_or_else(|| panic!("{name}"));
        assert_eq!(outline.family, family, "{name}");
        assert_eq!(outline.pins, pins.parse().ok(), "{name}");
        assert_eq!(outline.name(None), format!("{family}-{pins}"));
        let pads = (1..=2)
            .find(|n| name.contains(&format!("-{n}EP_")))
            .unwrap_or(0);
        assert_eq!(outline.exposed, pads, "{name}");
        let body = outline.body_mm.unwrap_or_else(|| panic!("{name}"));
        for (read, drawn) in body.into_iter().zip([long, short]) {
            let drawn: f64 = drawn.parse().expect("a number");
            assert!(
                (read - drawn).abs() <= 0.03 + 1e-9,
                "{name}: {read} and {drawn}"
            );
        }
        if name.contains("_P") {
            assert_eq!(outline.pitch_mm, pitch.parse().ok(), "{name}");
        }
        checked += 1;
    }
    assert_eq!(checked, 425);
}

#[test]
fn filters_say_what_they_say() {
    for (filter, name, body, pitch, exposed) in [
        (
            "SOIC*3.9x4.9mm*P1.27mm*",
            "SOIC-8",
            Some([4.9, 3.9]),
            Some(1.27),
            0,
        ),
        (
            "SOIC*3.9x4.9mm?P1.27mm*",
            "SOIC-8",
            Some([4.9, 3.9]),
            Some(1.27),
            0,
        ),
        (
            "QFN*1EP*3x3mm*P0.5mm*",
            "QFN-8",
            Some([3.0, 3.0]),
            Some(0.5),
            1,
        ),
        (
            "QFN*1EP*3x3mm*P0.5mm*EP1.7x1.7mm*",
            "QFN-8",
            Some([3.0, 3.0]),
            Some(0.5),
            1,
        ),
        (
            "UFBGA*7x7mm*Layout12x12*P0.5mm*",
            "UFBGA-8",
            Some([7.0, 7.0]),
            Some(0.5),
            0,
        ),
        ("DIP*W7.62mm*", "DIP-8", None, None, 0),
        ("SOT?23*", "SOT-23-8", None, None, 0),
        ("TO?220*", "TO-220-8", None, None, 0),
        ("*SC?70*", "SC-70-8", None, None, 0),
        ("Library:SOT-363_SC-70-6", "SOT-363", None, None, 0),
        ("D?SOD?523*", "SOD-523", None, None, 0),
        (
            "MSOP*3x3mm*P0.65mm*",
            "MSOP-8",
            Some([3.0, 3.0]),
            Some(0.65),
            0,
        ),
    ] {
        let outline = Outline::read(filter);
        if filter.starts_with("D?") {
            // The letter before belongs to no family, so the piece is not understood.
            assert_eq!(outline, None);
            continue;
        }
        let outline = outline.unwrap_or_else(|| panic!("{filter}"));
        assert_eq!(outline.name(Some(8)), name, "{filter}");
        assert_eq!(outline.body_mm, body, "{filter}");
        assert_eq!(outline.pitch_mm, pitch, "{filter}");
        assert_eq!(outline.exposed, exposed, "{filter}");
    }
    for unknown in [
        "",
        "*",
        "LED_SMD:*",
        "Connector*:*_2x??_*",
        "R_*",
        "TO-???*",
        "RJ45*",
    ] {
        assert_eq!(Outline::read(unknown), None, "{unknown}");
    }
}

#[test]
fn three_leads_of_the_smallest_outlines_are_not_written() {
    let outline = Outline::read("SOT?23*").expect("known");
    assert_eq!(outline.name(Some(3)), "SOT-23");
    assert_eq!(outline.name(Some(5)), "SOT-23-5");
    assert_eq!(outline.name(None), "SOT-23");
}
