//! SubRip as readers expect it; no standard exists.
//!
//! Sources, read in a summary: justsolve.archiveteam.org, help pages of subtitle editors, wiki.x266.mov. From memory:
//! no references, encoding not declared.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use captions::{CaptionError, Captions, Encoding, FaultKind, Format, Replacement, read};

fn srt(bytes: &[u8]) -> Captions {
    let film = read(bytes, Format::SubRip).unwrap();
    assert_eq!(film.replaced(&[]).unwrap(), bytes);
    film
}

fn words(film: &Captions) -> Vec<&str> {
    film.words.iter().map(|w| w.text.as_str()).collect()
}

/// Number, times, lines, empty line; numbers from 1; comma; hours always; CRLF usual, LF found.
#[test]
fn blocks_are_read_with_either_line_end() {
    for end in ["\r\n", "\n"] {
        let text = "1\n00:00:01,000 --> 00:00:02,500\nfirst line\nsecond\n\n2\n01:00:00,000 --> 01:00:01,000\nlast";
        let film = srt(text.replace('\n', end).as_bytes());
        assert_eq!(words(&film), ["first", "line", "second", "last"]);
        assert_eq!((film.cues[0].start_ms, film.cues[0].end_ms), (1000, 2500));
        assert_eq!(
            (film.cues[1].start_ms, film.cues[1].identifier.as_str()),
            (3_600_000, "2")
        );
        assert_eq!(film.fault_count, 0);
    }
}

/// Times without hours or thousandths are not read; the fault names cue, line and remedy.
#[test]
fn times_that_cannot_be_read_leave_the_cue_out() {
    for bad in [
        "00:01,000 --> 00:02,000",
        "00:00:01 --> 00:00:02",
        "00:61:00,000 --> 00:62:00,000",
        "x-->y",
    ] {
        let film = srt(format!("1\n{bad}\nx\n\n2\n00:00:01,000 --> 00:00:02,000\ny\n").as_bytes());
        assert_eq!(words(&film), ["y"], "{bad}");
        let fault = &film.faults[0];
        assert_eq!(
            (fault.cue, fault.line, fault.kind),
            (0, 2, FaultKind::Times)
        );
        assert!(
            fault
                .to_string()
                .starts_with("line 2, cue 0: the times cannot be read")
        );
    }
    assert_eq!(
        read(b"just text\n", Format::SubRip),
        Err(CaptionError::NoTimes)
    );
    assert_eq!(read(b"", Format::SubRip), Err(CaptionError::NoTimes));
}

/// Tags `b i u font`; unknown ones are shown as they are, so they are words.
#[test]
fn known_tags_are_no_words() {
    let film = srt(
        b"1\n00:00:01,000 --> 00:00:02,000 X1:40 X2:600 Y1:20 Y2:50\n<font color=\"#ff0000\"><b>Hot</b></font> {\\an8}<v Ann> <3 volts\n",
    );
    assert_eq!(words(&film), ["Hot", "v", "Ann", "3", "volts"]);
}

/// Overlap is described as not allowed and found in practice.
#[test]
fn overlap_is_told() {
    let film = srt(b"1\n00:00:01,000 --> 00:00:03,000\na\n\n2\n00:00:02,000 --> 00:00:04,000\nb\n");
    assert_eq!(
        (film.faults[0].cue, film.faults[0].line, film.faults[0].kind),
        (1, 6, FaultKind::Overlap)
    );
}

/// No references: `&` is written as it is.
#[test]
fn an_ampersand_is_an_ampersand() {
    let film = srt(b"1\n00:00:01,000 --> 00:00:02,000\nR&amp;D is\n");
    assert_eq!(words(&film), ["R&amp;D", "is"]);
    let edit = Replacement {
        words: 0..1,
        text: "R&D".into(),
    };
    assert!(film.replaced(&[edit]).unwrap().ends_with(b"\nR&D is\n"));
}

/// UTF-8 with or without mark, or an 8-bit code page, of which every byte comes back.
#[test]
fn encodings_come_back() {
    let marked = srt(b"\xef\xbb\xbf1\n00:00:01,000 --> 00:00:02,000\ncaf\xc3\xa9\n");
    assert_eq!(
        (marked.encoding, marked.cues[0].identifier.as_str()),
        (Encoding::Utf8, "1")
    );
    let mut old = b"1\n00:00:01,000 --> 00:00:02,000\ncaf\xe9 sell\n".to_vec();
    old.extend(0x80..=0xff_u8);
    let film = srt(&old);
    assert_eq!(
        (film.encoding, words(&film)[0]),
        (Encoding::Windows1252, "café")
    );
    let edit = |text: &str| Replacement {
        words: 1..2,
        text: text.into(),
    };
    let written = film.replaced(&[edit("µcell")]).unwrap();
    assert!(written.starts_with(b"1\n00:00:01,000 --> 00:00:02,000\ncaf\xe9 \xb5cell\n\x80"));
    let error = film.replaced(&[edit("5 Ω")]).unwrap_err();
    assert!(error.to_string().contains("cue 0: `5 Ω`"), "{error}");
    assert_eq!(
        read(b"\xfe\xff\x001", Format::SubRip),
        Err(CaptionError::Utf16)
    );
}

/// Found in practice: no empty line between cues, text without times.
#[test]
fn slips_between_cues() {
    let film = srt(b"\n\n1\n00:00:01,000 --> 00:00:02,000\na\n2\n00:00:02.000 --> 00:00:03.000\nb\n\nlost\n\n00:00:04,000 --> 00:00:05,000\n42\n");
    assert_eq!(words(&film), ["a", "b", "42"]);
    assert_eq!(
        film.faults
            .iter()
            .map(|f| (f.line, f.kind))
            .collect::<Vec<_>>(),
        [(10, FaultKind::Untimed)]
    );
}

proptest::proptest! {
    #[test]
    fn any_bytes_come_back(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..80)) {
        let mut file = b"1\n00:00:01,000 --> 00:00:02,000\nword\n".to_vec();
        file.extend(bytes);
        let film = read(&file, Format::SubRip).unwrap();
        proptest::prop_assert_eq!(film.replaced(&[]).unwrap(), file);
    }
}
