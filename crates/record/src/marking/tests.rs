//! Reading and writing markings.

use super::*;
use proptest::prelude::*;

#[track_caller]
fn reads(text: &str, expected: &[&[Glyph]]) {
    let seen = Seen::parse(text).unwrap();
    let lines: Vec<&[Glyph]> = seen.lines.iter().map(|l| &l.glyphs[..]).collect();
    assert_eq!(lines, expected);
    assert_eq!(seen.to_string(), text);
}

#[track_caller]
fn refuses(text: &str, at: usize, message: &str) {
    let error = Seen::parse(text).unwrap_err();
    assert_eq!((error.at, error.message.as_str()), (at, message));
    assert!(!error.remedy.is_empty());
}

#[test]
fn every_mark_is_read() {
    use Glyph::{Gap, Logo, OneOf, Read, Unreadable};
    reads("P?8", &[&[Read('P'), Unreadable, Read('8')]]);
    reads("[8B]24", &[&[OneOf(vec!['8', 'B']), Read('2'), Read('4')]]);
    reads(
        "~30|6K~",
        &[&[Gap, Read('3'), Read('0')], &[Read('6'), Read('K'), Gap]],
    );
    reads("{}A", &[&[Logo(None), Read('A')]]);
    reads("{Zulmarik}", &[&[Logo(Some("Zulmarik".into()))]]);
    reads("\\?\\[", &[&[Read('?'), Read('[')]]);
    reads("", &[&[]]);
    reads("~", &[&[Gap]]);
    reads("A~B", &[&[Read('A'), Gap, Read('B')]]);
}

#[test]
fn faults_are_placed() {
    refuses("6?[8B", 2, BRACKETS);
    refuses("A[]", 1, BRACKETS);
    refuses("A]", 1, BRACKETS);
    refuses("[8[B]]", 2, BRACKETS);
    refuses("[8?]", 2, "`?` cannot stand inside brackets");
    refuses("A~~B", 1, "two gaps follow each other");
    refuses("{A", 0, "the logo does not end");
    refuses("A}", 1, "a logo ends that did not begin");
    refuses("A\\", 1, "nothing follows the backslash");
    refuses(
        "A\u{7}",
        1,
        "the marking holds the control character U+0007",
    );
}

#[test]
fn a_plain_line_has_its_text() {
    let seen = Seen::parse("{Zulmarik}ZUC30|6?1").unwrap();
    assert_eq!(seen.lines[0].plain().as_deref(), Some("ZUC30"));
    assert_eq!(seen.lines[1].plain(), None);
    let gaps = Seen::parse("~ZUC30~|ZU~30").unwrap();
    assert_eq!(gaps.lines[0].plain().as_deref(), Some("ZUC30"));
    assert_eq!(gaps.lines[1].plain(), None);
    assert_eq!(seen.logos().collect::<Vec<_>>(), ["Zulmarik"]);
}

fn a_char() -> impl Strategy<Value = char> {
    prop_oneof![
        proptest::char::range('0', 'Z'),
        any::<char>(),
        proptest::sample::select(SPECIAL.chars().collect::<Vec<_>>()),
    ]
    .prop_filter("not a control character", |c| !c.is_control())
}

fn a_line() -> impl Strategy<Value = Line> {
    let glyph = prop_oneof![
        6 => a_char().prop_map(Glyph::Read),
        1 => Just(Glyph::Unreadable),
        1 => proptest::collection::vec(a_char(), 1..4).prop_map(Glyph::OneOf),
        1 => proptest::collection::vec(a_char(), 0..5).prop_map(|cs| {
            Glyph::Logo((!cs.is_empty()).then(|| cs.into_iter().collect()))
        }),
    ];
    let inside = proptest::collection::vec(glyph, 1..12);
    let gaps = (any::<bool>(), any::<bool>(), any::<bool>());
    (gaps, inside).prop_map(|((before, within, after), mut glyphs)| {
        if within && glyphs.len() > 1 {
            glyphs.insert(1, Glyph::Gap);
        }
        if before {
            glyphs.insert(0, Glyph::Gap);
        }
        if after {
            glyphs.push(Glyph::Gap);
        }
        Line { glyphs }
    })
}

proptest! {
    #[test]
    fn written_and_read_again_is_the_same(lines in proptest::collection::vec(a_line(), 1..4)) {
        let seen = Seen { lines };
        prop_assert_eq!(Seen::parse(&seen.to_string()), Ok(seen));
    }

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        match Seen::parse(&text) {
            Ok(seen) => prop_assert_eq!(Seen::parse(&seen.to_string()), Ok(seen)),
            Err(error) => prop_assert!(error.at <= text.chars().count()),
        }
    }
}
