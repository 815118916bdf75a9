//! CommonMark under way: blocks with an empty line between, pictures counted.
//!
//! In: plain text. Out: the same text escaped, so that no character of a record is markup.

use super::Article;
use crate::Picture;
use crate::words::clean;

/// An article while it is written.
#[derive(Debug, Default)]
pub(super) struct Text {
    text: String,
    pictures: Vec<(String, Picture)>,
}

impl Text {
    /// Adds a heading of a level.
    pub(super) fn heading(&mut self, level: usize, text: &str) {
        self.block(&format!("{} {}", "#".repeat(level), escaped(text)));
    }

    /// Adds a paragraph of plain text.
    pub(super) fn paragraph(&mut self, text: &str) {
        self.block(&escaped(text));
    }

    /// Adds a list whose entries are escaped already.
    pub(super) fn list(&mut self, entries: impl Iterator<Item = String>) {
        let entries: Vec<String> = entries.map(|entry| format!("- {entry}")).collect();
        self.block(&entries.join("\n"));
    }

    /// Adds a picture, which lies beside the text under a running number.
    pub(super) fn picture(&mut self, name: &str, alternative: &str, picture: &Picture) {
        let plain: String = name
            .to_lowercase()
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
            .collect();
        let ending = picture
            .media_type
            .rsplit('/')
            .next()
            .unwrap_or_default()
            .replace("jpeg", "jpg");
        let path = format!(
            "article/{:02}-{}.{ending}",
            self.pictures.len() + 1,
            plain.trim_matches('-')
        );
        self.block(&format!("![{}]({path})", escaped(alternative)));
        self.pictures.push((path, picture.clone()));
    }

    /// Adds links to files beside the text.
    pub(super) fn links(&mut self, heading: &str, links: &[(&str, &str)]) {
        self.heading(2, heading);
        self.list(
            links
                .iter()
                .map(|(words, file)| format!("[{}]({file})", escaped(words))),
        );
    }

    /// Returns the article.
    pub(super) fn finish(self) -> Article {
        Article {
            text: self.text,
            pictures: self.pictures,
        }
    }

    fn block(&mut self, block: &str) {
        if block.is_empty() {
            return;
        }
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.text.push_str(block);
        self.text.push('\n');
    }
}

/// Writes text so that CommonMark reads it as text: every ASCII punctuation that may be markup has a backslash, line
/// breaks are spaces.
pub(super) fn escaped(text: &str) -> String {
    let text = clean(text);
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut out = String::with_capacity(text.len());
    for (at, c) in words.join(" ").chars().enumerate() {
        let starts = at == 0 && matches!(c, '-' | '+' | '=' | '~');
        if starts
            || matches!(
                c,
                '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '&' | '#' | '!' | '|'
            )
        {
            out.push('\\');
        }
        out.push(c);
    }
    // A number with a point or bracket at the start would begin a list.
    let digits = out.bytes().take_while(u8::is_ascii_digit).count();
    let mut after = out[digits..].chars();
    let is_item =
        matches!(after.next(), Some('.' | ')')) && after.next().is_none_or(char::is_whitespace);
    if digits > 0 && is_item {
        out.insert(digits, '\\');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escaped;

    #[test]
    fn what_could_be_markup_stays_text() {
        assert_eq!(
            escaped("a *b* _c_ <d> [e](f) `g` #h & i"),
            r"a \*b\* \_c\_ \<d\> \[e\](f) \`g\` \#h \& i"
        );
        assert_eq!(escaped("1. one"), r"1\. one");
        assert_eq!(escaped("2.4 g"), "2.4 g");
        assert_eq!(escaped("- no\nlist"), r"\- no list");
        assert_eq!(escaped("41.13 ± 0.03 g"), "41.13 ± 0.03 g");
    }
}
