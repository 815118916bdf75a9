//! Characters that steer a display instead of showing, made visible.
//!
//! In: text of the record, names of files, contents of codes. Out: one line of the same text in which such
//! characters are written out (`\u{202e}`), so that nothing recorded can colour, move, reorder or hide
//! anything on a screen.
//! Steering are the controls (C0, C1), line and paragraph separators and the invisible format characters, the
//! bidirectional ones among them (Unicode Standard 17, general categories Cc, Zl, Zp, Cf), and the few others that
//! Unicode lists as ignorable by default (DerivedCoreProperties, Default_Ignorable_Code_Point), but for
//! variation selectors 1 to 16, which ordinary text holds.

use std::fmt::Write as _;
use unicode_properties::{GeneralCategory, UnicodeGeneralCategory};

/// Returns whether a character steers the display instead of showing.
pub fn steers(c: char) -> bool {
    if c.is_ascii() {
        return c.is_ascii_control();
    }
    matches!(
        c.general_category(),
        GeneralCategory::Control
            | GeneralCategory::Format
            | GeneralCategory::LineSeparator
            | GeneralCategory::ParagraphSeparator
    ) || matches!(
        c,
        '\u{34f}'
            | '\u{115f}'..='\u{1160}'
            | '\u{17b4}'..='\u{17b5}'
            | '\u{180b}'..='\u{180f}'
            | '\u{2065}'
            | '\u{3164}'
            | '\u{ffa0}'
            | '\u{fff0}'..='\u{fff8}'
            | '\u{e0000}'..='\u{e0fff}'
    )
}

/// Returns text on one line with every steering character written out: `\n`, `\t`, `\r`, others by number.
pub fn visible(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        show(c, &mut out);
    }
    out
}

/// As [`visible`], for text that was set in lines: its line breaks stay.
pub fn visible_lines(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if c == '\n' {
            out.push(c);
        } else {
            show(c, &mut out);
        }
    }
    out
}

fn show(c: char, out: &mut String) {
    match c {
        '\n' => out.push_str("\\n"),
        '\t' => out.push_str("\\t"),
        '\r' => out.push_str("\\r"),
        _ if steers(c) => {
            // Writing to a String cannot fail.
            let _ = write!(out, "\\u{{{:x}}}", u32::from(c));
        }
        _ => out.push(c),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_is_written_out_and_everything_else_stays() {
        for (text, shown) in [
            ("\u{1b}[31mred", "\\u{1b}[31mred"),
            ("a\u{9b}2J", "a\\u{9b}2J"),
            ("a\u{7f}b\0", "a\\u{7f}b\\u{0}"),
            ("a\nb\tc\r", "a\\nb\\tc\\r"),
            ("gpj.\u{202e}exe", "gpj.\\u{202e}exe"),
            (
                "a\u{200b}b\u{2028}c\u{feff}",
                "a\\u{200b}b\\u{2028}c\\u{feff}",
            ),
            ("x\u{e0041}y\u{3164}", "x\\u{e0041}y\\u{3164}"),
            (
                "µF × 3,5 Ω ⎓ „Größe“ 電池 ⚠\u{fe0f}",
                "µF × 3,5 Ω ⎓ „Größe“ 電池 ⚠\u{fe0f}",
            ),
        ] {
            assert_eq!(visible(text), shown);
        }
        assert_eq!(visible_lines("a\n\tb"), "a\n\\tb");
    }

    /// Unicode Standard Annex 9, table 4: every formatting character of the bidirectional algorithm.
    #[test]
    fn every_character_that_turns_the_direction_steers() {
        let turning = ['\u{61c}', '\u{200e}', '\u{200f}']
            .into_iter()
            .chain('\u{202a}'..='\u{202e}')
            .chain('\u{2066}'..='\u{2069}');
        for c in turning {
            assert!(steers(c), "{c:?}");
        }
    }
}
