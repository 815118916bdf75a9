//! WebVTT as its sources say.
//!
//! Sources: `[V]` WebVTT, W3C source text of 2026-05-14, read in the primary text; `[W]` web-platform-tests, file list
//! and data of `webvtt/parsing`, the inputs here written anew from what they show. Every file is also written back
//! unchanged, and with one word replaced.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use captions::{
    Align, CaptionError, Captions, FaultKind, Format, Line, Replacement, Vertical, read,
};

/// Reads a file and checks that all its bytes come back.
fn vtt(text: &str) -> Captions {
    let film = read(text.as_bytes(), Format::WebVtt).unwrap();
    assert_eq!(film.replaced(&[]).unwrap(), text.as_bytes());
    for n in 0..film.words.len() {
        let edit = Replacement {
            words: n..n + 1,
            text: "Zed".into(),
        };
        let at = film.words[n].at.clone();
        let wanted = format!("{}Zed{}", &text[..at.start], &text[at.end..]);
        assert_eq!(film.replaced(&[edit]).unwrap(), wanted.as_bytes());
    }
    film
}

fn payloads(film: &Captions) -> Vec<&str> {
    film.cues
        .iter()
        .map(|c| &film.text[c.payload.clone()])
        .collect()
}

fn words(film: &Captions) -> Vec<&str> {
    film.words.iter().map(|w| w.text.as_str()).collect()
}

fn refused(text: &[u8]) {
    assert_eq!(
        read(text, Format::WebVtt),
        Err(CaptionError::NotWebVtt),
        "{text:?}"
    );
}

/// One cue with these settings.
fn settings(text: &str) -> captions::Settings {
    vtt(&format!("WEBVTT\n\n00:00.000 --> 00:01.000 {text}\nx")).cues[0]
        .settings
        .clone()
}

/// `[V]` file structure: UTF-8 always, `.vtt`.
#[test]
fn other_encodings_are_refused_with_the_line() {
    let bad = b"WEBVTT\n\n00:00.000 --> 00:01.000\ncaf\xe9";
    assert_eq!(
        read(bad, Format::WebVtt),
        Err(CaptionError::NotUtf8 { line: 4 })
    );
    assert_eq!(
        read(b"\xff\xfeW\0", Format::WebVtt),
        Err(CaptionError::Utf16)
    );
    assert_eq!(Format::of_name("a.b.VTT"), Some(Format::WebVtt));
    assert_eq!(Format::of_name("a.srt"), Some(Format::SubRip));
    assert_eq!(Format::of_name("vtt"), None);
}

/// `[V]` magic numbers; `[W]` signature-*.
#[test]
fn the_first_line_is_the_name_alone_or_with_a_blank() {
    for good in [
        "WEBVTT",
        "\u{feff}WEBVTT",
        "WEBVTT\n",
        "WEBVTT\r\n",
        "WEBVTT\r",
        "WEBVTT x",
        "WEBVTT\tx",
    ] {
        assert_eq!(vtt(good).cues.len(), 0, "{good:?}");
    }
    for bad in [
        "webvtt",
        "WEBVTTx",
        "\u{feff}\u{feff}WEBVTT",
        "WEBVTT\u{c}",
        "",
        "1\n00:00:00,000 -->",
    ] {
        refused(bad.as_bytes());
    }
}

/// `[V]` "in header".
#[test]
fn the_header_is_passed_over() {
    let film = vtt("WEBVTT - A film\nKind: captions\nLanguage: en\n\n00:00.000 --> 00:01.000\nOne");
    assert_eq!(words(&film), ["One"]);
    assert_eq!(words(&vtt("WEBVTT\n00:00.000 --> 00:01.000\nOne")), ["One"]);
}

/// `[V]` parser step 1; `[W]` newlines.
#[test]
fn lines_end_in_three_ways() {
    let film = vtt(
        "WEBVTT\r\n\r00:00.000 --> 00:01.000\rone\r\ntwo\n\n\r\nid\r00:01.000 --> 00:02.000\nthree\0\r",
    );
    assert_eq!(words(&film), ["one", "two", "three"]);
    assert_eq!(film.cues[1].identifier, "id");
    assert_eq!(film.cues[1].line, 9);
}

/// `[V]` "collect a WebVTT timestamp"; `[W]` timings-too-short, -too-long, timings-omitted-hours.
#[test]
fn times_are_read_or_the_cue_is_left_out() {
    for (time, ms) in [
        ("00:00.000", 0),
        ("01:02.003", 62_003),
        ("0:00:01.000", 1_000),
        ("000:00:01.000", 1_000),
        ("1000:00:00.000", 3_600_000_000),
        ("59:59:59.999", 215_999_999),
    ] {
        let film = vtt(&format!("WEBVTT\n\n{time} --> 9999:00:00.000\nx"));
        assert_eq!(film.cues[0].start_ms, ms, "{time}");
        let film = vtt(&format!("WEBVTT\n\n00:00.000-->{time}\nx"));
        assert_eq!(film.cues[0].end_ms, ms, "{time}");
    }
    for time in [
        "00:00",
        "00:00.0",
        "00:00.00",
        "00:00.0000",
        "00:0.000",
        "00:60.000",
        "00:00,000",
        "0:00.000",
        "000:00.000",
        "60:00.000",
        "00:60:00.000",
        "-00:00.000",
        "",
        "00::00.000",
        "99999999999999999999:00:00.000",
    ] {
        let film = vtt(&format!(
            "WEBVTT\n\n{time} --> 00:01.000\nx\n\n00:01.000 --> 00:02.000\ny"
        ));
        assert_eq!(words(&film), ["y"], "{time}");
        assert_eq!(
            (film.faults[0].line, film.faults[0].kind),
            (3, FaultKind::Times)
        );
        assert!(film.faults[0].to_string().contains("write `00:00:01.000"));
    }
}

/// `[V]` block loop; `[W]` arrows.
#[test]
fn an_arrow_begins_a_cue_anywhere() {
    let film = vtt(
        "WEBVTT\n\n00:00.000 --> 00:01.000\none\n00:01.000\t-->00:02.000\ntwo\n-->x\n00:02.000 --> 00:03.000\nthree",
    );
    assert_eq!(payloads(&film), ["one", "two", "three"]);
    assert_eq!(film.fault_count, 1);
    let film = vtt("WEBVTT\n\n00:00.000 --> 00:00:01.000\na 5 -> 6");
    assert_eq!(words(&film), ["a", "5", "6"]);
}

/// `[V]` cue timings and note: starts do not decrease, ends come after; cues may overlap.
#[test]
fn order_is_told_and_read_all_the_same() {
    let film = vtt(
        "WEBVTT\n\n00:05.000 --> 00:09.000\na\n\n00:06.000 --> 00:07.000\nb\n\n00:01.000 --> 00:01.000\nc",
    );
    let faults: Vec<_> = film
        .faults
        .iter()
        .map(|f| (f.cue, f.line, f.kind))
        .collect();
    assert_eq!(
        faults,
        [(2, 9, FaultKind::Backwards), (2, 9, FaultKind::Disordered)]
    );
    assert_eq!(film.cues.len(), 3);
}

/// `[V]` cue settings, defaults, and what drops a cue out of its region.
#[test]
fn settings_are_read_and_unknown_ones_passed_over() {
    let plain = settings("");
    assert_eq!(
        (plain.line, plain.size, plain.align),
        (Line::Auto, 100.0, Align::Center)
    );
    assert_eq!(
        (plain.position, plain.vertical, plain.region),
        (None, None, None)
    );
    let s = settings("position:20%,line-right line:-1,end align:left mood:blue line:x");
    assert_eq!((s.line, s.line_align), (Line::Number(-1.0), Align::End));
    assert_eq!(
        (s.position, s.position_align),
        (Some(20.0), Some(Align::Right))
    );
    assert_eq!(s.align, Align::Left);
    assert_eq!(settings("line:0").line, Line::Number(0.0));
    assert_eq!(settings("line:50%").line, Line::Percent(50.0));
    assert_eq!(
        settings("vertical:rl").vertical,
        Some(Vertical::GrowingLeft)
    );
    assert_eq!(settings("size:101%").size, 100.0);
    assert_eq!(settings("region:low").region.as_deref(), Some("low"));
    for out in ["line:1", "vertical:lr", "size:50%"] {
        assert_eq!(settings(&format!("region:low {out}")).region, None, "{out}");
    }
}

/// `[V]` region creation, "seen cue".
#[test]
fn blocks_before_the_first_cue() {
    let film = vtt(
        "WEBVTT\n\nSTYLE\n::cue { color: red }\n\nREGION\nid:low width:40%\nlines:2\n\nREGION \nid:plain\n\n\
         00:00.000 --> 00:01.000\nx\n\nSTYLE\n::cue {}\n\nREGION\nid:late\n",
    );
    let [low, plain] = &film.regions[..] else {
        panic!("{:?}", film.regions)
    };
    assert_eq!((low.width, low.lines), (40.0, 2));
    assert_eq!((plain.width, plain.lines, plain.scrolls), (100.0, 3, false));
    assert_eq!(
        (plain.region_anchor, plain.viewport_anchor),
        ((0.0, 100.0), (0.0, 100.0))
    );
    assert_eq!(words(&film), ["x"]);
    assert_eq!(film.fault_count, 2, "late blocks are dropped");
}

/// `[V]` comments.
#[test]
fn notes_are_no_words() {
    let film = vtt(
        "WEBVTT\n\nNOTE one\nmore\n\nNOTE\ntext\n\nNOTES\nx\n\n00:00.000 --> 00:01.000\nword\n\nNOTE\tz\n",
    );
    assert_eq!(words(&film), ["word"]);
    assert_eq!(film.fault_count, 1, "NOTES is no comment");
}

/// `[V]` cue text: tags, classes, inline times.
#[test]
fn tags_stay_and_are_no_words() {
    let film = vtt(
        "WEBVTT\n\n00:00.000 --> 00:02.000\n<v.loud Ann Lee>The <c.red.big>cell</c> <00:01.500><i>is</i> <lang en-GB>new</lang>, \
         <ruby>up<rt>down</rt></ruby>.</v>",
    );
    assert_eq!(words(&film), ["The", "cell", "is", "new", "up", "down"]);
    let joined: Vec<bool> = film.words.iter().map(|w| w.joined).collect();
    assert_eq!(joined, [false, true, true, true, false, true]);
}

/// `[W]` entities against `[V]`: only the six that both know are read; the others stay as written.
#[test]
fn references_are_read_and_written() {
    let film = vtt("WEBVTT\n\n00:00.000 --> 00:01.000\nR&amp;D a&lt;b x&nbsp;y &AMP; &copy; &amp");
    assert_eq!(words(&film), ["R&D", "a<b", "x", "y", "AMP", "copy", "amp"]);
    let edit = Replacement {
        words: 0..1,
        text: "S&T<U".into(),
    };
    let written = String::from_utf8(film.replaced(&[edit]).unwrap()).unwrap();
    assert!(written.contains("\nS&amp;T&lt;U a&lt;b"), "{written}");
}

/// `[V]` nested cues (the example has cues side by side too), identifiers, empty payload.
#[test]
fn nested_cues_and_empty_payloads() {
    let film = vtt(
        "WEBVTT\n\nc1\n00:00.000 --> 00:10.000\nPart\n\n00:00.000 --> 00:05.000\nA\n\n00:05.000 --> 00:10.000\n\n",
    );
    assert_eq!(payloads(&film), ["Part", "A", ""]);
    assert_eq!(
        (film.cues[0].identifier.as_str(), film.fault_count),
        ("c1", 0)
    );
}

#[test]
fn words_are_replaced_over_blanks_tags_and_lines() {
    let head = "WEBVTT\n\n00:00.000 --> 00:01.000\n";
    let write = |payload: &str, words: std::ops::Range<usize>, text: &str| {
        let film = vtt(&format!("{head}{payload}\n\n00:01.000 --> 00:02.000\nend"));
        let edit = Replacement {
            words,
            text: text.into(),
        };
        let written = String::from_utf8(film.replaced(&[edit]).unwrap()).unwrap();
        let payload = written.strip_prefix(head).unwrap();
        payload
            .strip_suffix("\n\n00:01.000 --> 00:02.000\nend")
            .unwrap()
            .to_string()
    };
    assert_eq!(write("the ell em five, yes", 1..4, "LM5"), "the LM5, yes");
    assert_eq!(write("an <i>ell</i> em is", 1..3, "LM"), "an <i>LM</i>  is");
    assert_eq!(write("the ell\nem is", 1..3, "LM"), "the LM\n is");
    assert_eq!(write("the ell\nem", 1..3, "LM"), "the \nLM");
    assert_eq!(write("ell\nem", 0..2, "LM"), "LM");
    assert_eq!(
        write("texan struments", 0..2, "Texan In Struments"),
        "Texan In Struments"
    );
    assert_eq!(write("one\ntwo", 0..2, "1 2"), "1\n2");
    assert_eq!(write("one", 0..1, "a-->b"), "a--&gt;b");
}

#[test]
fn words_of_two_cues_or_twice_are_refused() {
    let film = vtt("WEBVTT\n\n00:00.000 --> 00:01.000\na b\n\n00:01.000 --> 00:02.000\nc");
    let edit = |words| Replacement {
        words,
        text: "x".into(),
    };
    for edits in [
        vec![edit(1..3)],
        vec![edit(0..2), edit(1..2)],
        vec![edit(2..9)],
        vec![edit(1..1)],
    ] {
        assert!(
            matches!(film.replaced(&edits), Err(CaptionError::Words { .. })),
            "{edits:?}"
        );
    }
}

#[test]
fn a_file_beyond_bounds_is_refused_and_faults_are_counted() {
    let large = vec![b'a'; 100 << 20];
    let message = read(&large, Format::WebVtt).unwrap_err().to_string();
    assert!(
        message.contains("104857600 bytes") && message.contains("split it"),
        "{message}"
    );
    let film = vtt(&format!("WEBVTT\n\n{}", "x --> y\n\n".repeat(5000)));
    assert_eq!(
        (film.faults.len(), film.fault_count),
        (captions::MOST_FAULTS, 5000)
    );
}

proptest::proptest! {
    #[test]
    fn any_text_is_read_and_comes_back(text in "(\u{feff}|WEBVTT|\n|\r|00:00.000|00:01.000| |-->|<|>|&amp;|&|a|é|NOTE|STYLE|REGION|:|%|\0){0,40}") {
        let text = format!("WEBVTT\n{text}");
        let film = read(text.as_bytes(), Format::WebVtt).unwrap();
        proptest::prop_assert_eq!(film.replaced(&[]).unwrap(), text.as_bytes());
        let cues = film.cues.len();
        for cue in &film.cues {
            if !cue.words.is_empty() {
                let edit = Replacement { words: cue.words.clone(), text: "New --> <w&".into() };
                let written = film.replaced(&[edit]).unwrap();
                let again = read(&written, Format::WebVtt).unwrap();
                proptest::prop_assert_eq!(again.cues.len(), cues);
            }
        }
    }
}
