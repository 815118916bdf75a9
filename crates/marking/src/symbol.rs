//! Characters as small integers: case folded, separators gone.
//!
//! In: characters. Out: symbols: 0 to 35 the digits and capital letters, then one symbol for each
//! other character, as far as a byte goes.
//! Invisible characters are separators: a marking copied from a page may hold some.
//! Not here: which symbols look alike (`model::costs`).
//!
//! Limit: characters outside `0-9A-Z` share 218 symbols, so that two rare ones may count as equal.

/// A character as compared.
pub(crate) type Symbol = u8;

/// How many symbols there are.
pub(crate) const SYMBOLS: usize = 256;

/// Stands in a name for any character.
pub(crate) const PLACEHOLDER: Symbol = 255;

/// Digits and capital letters.
pub(crate) const PLAIN: usize = 36;

/// Names and texts are compared up to this many symbols.
pub(crate) const LONGEST: usize = 64;

/// Returns the symbol of a character; `None` for a separator.
pub(crate) fn symbol(c: char) -> Option<Symbol> {
    match c {
        '0'..='9' => Some(c as u8 - b'0'),
        'A'..='Z' => Some(c as u8 - b'A' + 10),
        'a'..='z' => Some(c as u8 - b'a' + 10),
        '-' | '_' | '\u{2010}'..='\u{2015}' | '\u{2212}' => None,
        c if c.is_whitespace() || record::steers(c) => None,
        // Full-width letters and digits are what an input method may leave behind.
        '\u{ff01}'..='\u{ff5e}' => char::from_u32(c as u32 - 0xff01 + 0x21).and_then(symbol),
        c => {
            let capital = c.to_uppercase().next().unwrap_or(c) as u32;
            // 36..=253; the remainder of a division by 218 fits a byte.
            #[allow(clippy::cast_possible_truncation, reason = "below 254")]
            Some((36 + capital % 218) as u8)
        }
    }
}

/// Returns a character for a symbol, for showing alignments; a dot for what is not a plain one.
pub(crate) fn shown(s: Symbol) -> char {
    match s {
        0..=9 => (b'0' + s) as char,
        10..=35 => (b'A' + s - 10) as char,
        PLACEHOLDER => 'x',
        _ => '·',
    }
}

/// Whether a symbol is a digit.
pub(crate) fn is_digit(s: Symbol) -> bool {
    s < 10
}

/// Whether a symbol is a letter.
pub(crate) fn is_letter(s: Symbol) -> bool {
    (10..36).contains(&s)
}

/// A name as compared, and which of its ends makers leave out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct EncodedName {
    /// The symbols.
    pub(crate) symbols: Vec<Symbol>,
    /// The character each symbol was made of.
    pub(crate) chars: Vec<char>,
    /// Letters before the first digit; 0 when there are none or more than four.
    pub(crate) prefix: u8,
    /// Symbols after the last separator, or else letters after the last digit; 0 when there are
    /// none or more than six.
    pub(crate) suffix: u8,
}

impl EncodedName {
    /// Spells a name. A small `x` in a name whose other letters are capitals is a placeholder.
    pub(crate) fn of(name: &str) -> Self {
        let has_capitals = name.chars().any(|c| c.is_ascii_uppercase());
        let smalls = name.chars().any(|c| c.is_ascii_lowercase() && c != 'x');
        let open = has_capitals && !smalls;
        let mut out = Self::default();
        let mut last_part = None;
        for c in name.chars() {
            let Some(s) = symbol(c) else {
                last_part = Some(out.symbols.len());
                continue;
            };
            if out.symbols.len() == LONGEST {
                break;
            }
            out.symbols
                .push(if c == 'x' && open { PLACEHOLDER } else { s });
            out.chars.push(c);
        }
        let count = |n: usize, most: usize| {
            let whole = n == 0 || n > most || n + 2 > out.symbols.len();
            u8::try_from(if whole { 0 } else { n }).unwrap_or(0)
        };
        let letters = out.symbols.iter().take_while(|s| is_letter(**s)).count();
        let digit_next = out.symbols.get(letters).is_some_and(|s| is_digit(*s));
        let after = match last_part {
            Some(at) if at < out.symbols.len() && at > 0 => out.symbols.len() - at,
            _ => {
                let tail = out.symbols.iter().rev();
                tail.take_while(|s| is_letter(**s) || **s == PLACEHOLDER)
                    .count()
            }
        };
        (out.prefix, out.suffix) = (
            if digit_next { count(letters, 4) } else { 0 },
            count(after, 6),
        );
        out
    }

    /// Whether the name has placeholders.
    pub(crate) fn is_open(&self) -> bool {
        self.symbols.contains(&PLACEHOLDER)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn word(name: &str) -> String {
        EncodedName::of(name)
            .symbols
            .iter()
            .map(|s| shown(*s))
            .collect()
    }

    #[test]
    fn case_and_separators_do_not_count() {
        assert_eq!(word("th-karn 2"), "THKARN2");
        assert_eq!(word("ＡＢ１"), "AB1");
        assert_eq!(
            word("\u{feff}TH\u{200b}K\u{ad}48\u{2060}21\u{200e}"),
            "THK4821"
        );
    }

    #[test]
    fn a_small_x_among_capitals_is_a_placeholder() {
        assert!(EncodedName::of("ZUC30x2").is_open());
        assert!(!EncodedName::of("zuc30x2").is_open());
        assert!(!EncodedName::of("ZUC30X2").is_open());
        assert!(!EncodedName::of("Maxim").is_open());
    }

    #[test]
    fn ends_that_makers_leave_out() {
        let ends = |name| {
            let s = EncodedName::of(name);
            (s.prefix, s.suffix)
        };
        assert_eq!(ends("ZUC7702QR"), (3, 2));
        assert_eq!(ends("ZUC7702-T1"), (3, 2));
        assert_eq!(ends("ABCDEF7"), (0, 0));
        assert_eq!(ends("7702"), (0, 0));
        assert_eq!(ends("A"), (0, 0));
    }
}
