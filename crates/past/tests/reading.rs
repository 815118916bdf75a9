//! What is read, and what is answered to what cannot be read.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use past::{Format, Known, PastError, What, find, read};

/// Part, maker, role and the line of the first sentence.
fn rows(text: &str, format: Format) -> Vec<(String, Option<String>, Option<String>, usize)> {
    let found = find(&read(text.as_bytes(), format).unwrap(), &Known::default());
    let row = |p: past::Proposal| (p.part, p.maker, p.role, p.quotes[0].line);
    found.parts.into_iter().map(row).collect()
}

fn row(
    part: &str,
    maker: &str,
    role: &str,
    line: usize,
) -> (String, Option<String>, Option<String>, usize) {
    let some = |text: &str| (!text.is_empty()).then(|| text.to_string());
    (part.into(), some(maker), some(role), line)
}

#[test]
fn a_page_is_read_with_its_lines() {
    let page = "<html><head><title>Lumo 2</title>\n<script>let KX9931 = 1;</script></head>\n<body>\n<p>The linear charger is\n\
                Halvik&rsquo;s <b>RKT2104</b>.</p>\n<table>\n<tr><th>Part</th><th>Maker</th><th>Role</th></tr>\n\
                <tr><td><p>GQ5512</p></td><td>Norda &amp; S&ouml;hne</td><td>motion sensor</td></tr></table>";
    let want = [
        row("RKT2104", "Halvik", "linear charger", 4),
        row("GQ5512", "Norda & Söhne", "motion sensor", 8),
    ];
    assert_eq!(rows(page, Format::Html), want);
}

#[test]
fn markdown_is_read_with_its_lines() {
    let text = "---\ntitle: Lumo 2\n---\n# Lumo 2\n\nA paragraph.\n\n- RKT2104 (Halvik): linear charger\n\n\
                | Chip | Maker |\n|---|---|\n| `GQ5512` | Norda |\n\n<p>The op-amp is marked WK7710.</p>\n";
    let want = [
        row("RKT2104", "Halvik", "linear charger", 8),
        row("GQ5512", "Norda", "", 12),
        row("WK7710", "", "op-amp", 14),
    ];
    assert_eq!(rows(text, Format::Markdown), want);
}

#[test]
fn captions_are_read_over_their_cues() {
    let film = "WEBVTT\n\n00:01.000 --> 00:02.000\nThe charger is the\n\n00:02.000 --> 00:04.000\n<i>RKT2104</i> from Halvik.\n";
    assert_eq!(
        rows(film, Format::WebVtt),
        [row("RKT2104", "Halvik", "charger", 4)]
    );
    let film = "1\n00:00:01,000 --> 00:00:02,000\nThe charger is marked RKT2104.\n";
    assert_eq!(
        rows(film, Format::SubRip),
        [row("RKT2104", "", "charger", 3)]
    );
}

#[test]
fn figures_dates_standards_models_and_resolutions_are_no_parts() {
    let text = "Inside the Brimo GX-200\n\n\
        The Brimo GX200 weighs 83.4g, holds 620mAh at 3V7 and charges over USB-C 3.2 with PD3.1. \
        It was filmed in 1080p60 and 3840x2160 on 2024-03-01, in week 2024W12, and meets IEC62368-1, EN55032 and IEEE802.11ax. \
        Four M2.5x8 screws and a T6 bit; R12, C3 and U5 stand beside a QFN-16, an SOT-23-5 and a CR2032. \
        It has 4k7 and 100nF, BT5.3, DDR4, H.264, WPA2 and IP67; the file is IMG_2041.jpg, the firmware V1.20, the serial number SN20419922. \
        The 24-bit board has 4-layer copper, a Vestrel-M4 inside, and 3V3 on GPIO12.";
    assert_eq!(rows(text, Format::Plain), []);
}

#[test]
fn what_a_catalogue_knows_is_found_wherever_it_stands() {
    let known = Known::new([("QRX-77", "Norda"), ("", "halvik")]);
    let text = read(b"A note.\n\nQRX77, says Halvik.", Format::Plain).unwrap();
    let found = find(&text, &known);
    assert_eq!(found.parts[0].part, "QRX77");
    assert!(found.parts[0].known && found.parts[0].probability > 0.9);
    assert_eq!(found.makers[0].name, "halvik");
}

#[test]
fn marks_are_where_the_words_are() {
    let text = read(
        "Über alles: die Halvik RKT2104, a linear charger.".as_bytes(),
        Format::Plain,
    )
    .unwrap();
    let found = find(&text, &Known::default());
    let quote = &found.parts[0].quotes[0];
    let words: Vec<(What, &str)> = quote
        .marks
        .iter()
        .map(|m| (m.what, &quote.sentence[m.from..m.to]))
        .collect();
    assert_eq!(
        words,
        [
            (What::Maker, "Halvik"),
            (What::Part, "RKT2104"),
            (What::Role, "linear charger")
        ]
    );
}

#[test]
fn the_maker_may_stand_in_the_sentence_behind() {
    let text = "The board carries a chip marked RKT2104. It is made by Halvik. Nothing else.";
    assert_eq!(rows(text, Format::Plain), [row("RKT2104", "Halvik", "", 1)]);
}

#[test]
fn other_encodings_are_read() {
    let text = "The charger is the RKT2104 from Söhnlund.";
    let want = [row("RKT2104", "Söhnlund", "charger", 1)];
    let found = |bytes: &[u8], format| {
        let found = find(&read(bytes, format).unwrap(), &Known::default());
        let row = |p: past::Proposal| (p.part, p.maker, p.role, p.quotes[0].line);
        found.parts.into_iter().map(row).collect::<Vec<_>>()
    };
    let sixteen: Vec<u8> = [0xff, 0xfe]
        .into_iter()
        .chain(text.encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    assert_eq!(found(&sixteen, Format::Plain), want);
    let single: Vec<u8> = text
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect();
    assert_eq!(found(&single, Format::Plain), want);
    let page: Vec<u8> = b"<meta charset='iso-8859-1'><p>"
        .iter()
        .copied()
        .chain(single)
        .collect();
    assert_eq!(found(&page, Format::Html), want);
}

#[test]
fn what_is_no_text_is_answered_with_a_remedy() {
    let large = vec![b'a'; 100 << 20];
    let page = "<meta charset=utf-8><p>\u{fc}".as_bytes();
    let broken: Vec<u8> = page.iter().copied().chain([0xff]).collect();
    for (bytes, format, says) in [
        (&large[..], Format::Plain, "more than the 16777216 allowed"),
        (b"", Format::Html, "holds no words"),
        (b" \n\t\n", Format::Plain, "holds no words"),
        (b"<script>only()</script>", Format::Html, "holds no words"),
        (b"\x7fELF\x02\x01\x00\x00", Format::Markdown, "is no text"),
        (&broken, Format::Html, "says it is UTF-8 and is not"),
        (b"no captions", Format::WebVtt, "WEBVTT"),
    ] {
        let error = read(bytes, format).unwrap_err();
        assert!(error.to_string().contains(says), "{error}");
        assert!(!error.remedy().is_empty(), "{error}");
    }
    assert!(matches!(
        read(b"\0", Format::Plain),
        Err(PastError::Binary { at: 0 })
    ));
}

#[test]
fn one_long_line_and_deep_nesting_are_read() {
    let long = "The charger is the RKT2104 from Halvik and ".repeat((10 << 20) / 43);
    let text = read(long.as_bytes(), Format::Plain).unwrap();
    let found = find(&text, &Known::default());
    assert_eq!(found.parts.len(), 1);
    assert!(found.parts[0].mentions > 100_000 && found.parts[0].quotes[0].sentence.len() <= 800);
    let unbroken = "x".repeat(1 << 20);
    assert!(
        find(
            &read(unbroken.as_bytes(), Format::Plain).unwrap(),
            &Known::default()
        )
        .parts
        .is_empty()
    );
    let deep = "<div><b>".repeat(200_000) + "The charger is the RKT2104.";
    assert_eq!(
        rows(&deep, Format::Html),
        [row("RKT2104", "", "charger", 1)]
    );
    let quoted = ">".repeat(20_000) + " The charger is the RKT2104.";
    assert!(read(quoted.as_bytes(), Format::Markdown).is_ok());
    let listed = (0..2_000)
        .map(|n| format!("{}- The charger is the RKT2104.\n", "  ".repeat(n)))
        .collect::<String>();
    assert!(read(listed.as_bytes(), Format::Markdown).is_ok());
}
