//! Words of a sentence.
//!
//! In: a sentence. Out: its words with their places and what stands before each. Not here: what a word is.

/// A word.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Word<'t> {
    /// As written, without what surrounds it.
    pub text: &'t str,
    /// In lower case.
    pub lower: String,
    /// First byte in the sentence.
    pub from: usize,
    /// The byte after its last.
    pub to: usize,
    /// What stands between it and the word before.
    pub gap: &'t str,
    /// Whether `'s` follows it.
    pub owns: bool,
}

impl Word<'_> {
    /// Whether only a blank stands before it.
    pub(crate) fn follows(&self) -> bool {
        self.gap.trim().is_empty() || matches!(self.gap.trim(), "\"" | "“" | "`" | "*" | "**")
    }

    /// Whether it begins with a capital letter.
    pub(crate) fn capital(&self) -> bool {
        self.text.chars().next().is_some_and(char::is_uppercase)
    }
}

/// Characters that part words.
fn parts(c: char) -> bool {
    c.is_whitespace()
        || matches!(
            c,
            ',' | ';'
                | ':'
                | '('
                | ')'
                | '['
                | ']'
                | '{'
                | '}'
                | '"'
                | '“'
                | '”'
                | '„'
                | '«'
                | '»'
                | '|'
                | '='
                | '<'
                | '>'
                | '*'
                | '`'
                | '…'
                | '!'
                | '?'
                | '—'
                | '–'
                | '→'
                | '~'
                | '•'
                | '·'
                | '^'
        )
}

pub(crate) fn words(sentence: &str) -> Vec<Word<'_>> {
    let mut found: Vec<Word<'_>> = Vec::new();
    let mut rest = 0;
    while let Some(begin) = sentence[rest..].find(|c| !parts(c)).map(|n| n + rest) {
        let end = sentence[begin..]
            .find(parts)
            .map_or(sentence.len(), |n| n + begin);
        rest = end;
        for (from, to) in halves(sentence, begin, end) {
            trimmed(sentence, from, to, &mut found);
        }
    }
    found
}

/// Two numbers with a stroke between are two words.
fn halves(sentence: &str, begin: usize, end: usize) -> Vec<(usize, usize)> {
    let digits = |text: &str| {
        text.len() >= 4
            && text.chars().any(|c| c.is_ascii_digit())
            && text.chars().any(char::is_alphabetic)
    };
    let whole = &sentence[begin..end];
    match whole.split_once('/') {
        Some((one, other)) if digits(one) && digits(other) && !other.contains('/') => {
            let at = begin + one.len();
            vec![(begin, at), (at + 1, end)]
        }
        _ => vec![(begin, end)],
    }
}

fn trimmed<'t>(sentence: &'t str, from: usize, to: usize, found: &mut Vec<Word<'t>>) {
    let edge = |c: char| matches!(c, '.' | '\'' | '’' | '‘' | '-' | '/' | '#' | '_' | '&');
    let whole = &sentence[from..to];
    if whole == "&" {
        return;
    }
    let text = whole.trim_start_matches(edge);
    let from = to - text.len();
    let text = text.trim_end_matches(edge);
    let owned = ["'s", "’s"].iter().find_map(|end| text.strip_suffix(end));
    let plural = text.ends_with(['s', 'S']) && whole.ends_with(['\'', '’']);
    let owns = owned.is_some() || plural;
    let text = owned.unwrap_or(text);
    if text.is_empty() {
        return;
    }
    let before = found.last().map_or(0, |word| word.to);
    found.push(Word {
        text,
        lower: text.to_lowercase(),
        from,
        to: from + text.len(),
        gap: &sentence[before.min(from)..from],
        owns,
    });
}
