//! Whether a word is one of the language.
//!
//! In: a word in small letters. Out: whether the language's dictionary lists it, or what is left without a regular
//! ending. Not here: how it sounds.

use crate::language::Language;

impl Language {
    /// Whether a word, or what is left of it without its ending, stands in the dictionary.
    pub(crate) fn knows(&self, word: &str) -> bool {
        if self.lists(word) {
            return true;
        }
        self.endings.iter().any(|ending| {
            let Some(stem) = word.strip_suffix(ending).filter(|stem| stem.len() >= 3) else {
                return false;
            };
            let twice = stem.as_bytes()[stem.len() - 1] == stem.as_bytes()[stem.len() - 2];
            self.lists(stem)
                || self.lists(&format!("{stem}e"))
                || twice && stem.get(..stem.len() - 1).is_some_and(|s| self.lists(s))
                || stem
                    .strip_suffix('i')
                    .is_some_and(|s| self.lists(&format!("{s}y")))
        })
    }

    /// Whether a word is a line of the dictionary.
    fn lists(&self, word: &str) -> bool {
        let text = self.dictionary.as_bytes();
        let (mut low, mut high) = (0, text.len());
        while low < high {
            // The line around the middle.
            let middle = low.midpoint(high);
            let start = text[low..middle]
                .iter()
                .rposition(|b| *b == b'\n')
                .map_or(low, |n| low + n + 1);
            let end = text[start..]
                .iter()
                .position(|b| *b == b'\n')
                .map_or(text.len(), |n| start + n);
            match text[start..end].cmp(word.as_bytes()) {
                std::cmp::Ordering::Equal => return true,
                std::cmp::Ordering::Less => low = end + 1,
                std::cmp::Ordering::Greater => high = start,
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use crate::language::ENGLISH;

    /// SCOWL 2020.12.07: which words it lists up to size 50, and which only further on or nowhere.
    #[test]
    fn the_dictionary_knows_words_and_their_endings() {
        for word in [
            "aardvark",
            "ferret",
            "ferrets",
            "ibex",
            "barrister",
            "travelling",
            "stopped",
            "carries",
            "zoom",
        ] {
            assert!(ENGLISH.knows(word), "{word}");
        }
        for word in [
            "tessera",
            "veltronic",
            "nordkap",
            "",
            "zzz",
            "s",
            "é",
            "ñññs",
        ] {
            assert!(!ENGLISH.knows(word), "{word}");
        }
        let lines: Vec<&str> = ENGLISH.dictionary.lines().collect();
        assert!(lines.is_sorted() && lines.iter().all(|line| ENGLISH.knows(line)));
    }
}
