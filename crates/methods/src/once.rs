//! A list of texts in which nothing stands twice.
//!
//! In: texts in any order, as often as they come. Out: each once, in the order of first coming.
//! Not here: what the texts say.

use std::collections::HashSet;

/// Below this many texts looking through them is faster than hashing.
const FEW: usize = 16;

/// Texts, each once, in the order in which they came first.
#[derive(Debug, Clone, Default)]
pub(crate) struct Once {
    texts: Vec<String>,
    /// The same texts, kept only where there are many.
    known: HashSet<String>,
}

impl Once {
    /// Adds a text unless it is there.
    pub(crate) fn push(&mut self, text: impl AsRef<str> + Into<String>) {
        if self.contains(text.as_ref()) {
            return;
        }
        let text = text.into();
        if self.texts.len() == FEW {
            self.known.extend(self.texts.iter().cloned());
        }
        if self.texts.len() >= FEW {
            self.known.insert(text.clone());
        }
        self.texts.push(text);
    }

    fn contains(&self, text: &str) -> bool {
        if self.texts.len() <= FEW {
            self.texts.iter().any(|t| t == text)
        } else {
            self.known.contains(text)
        }
    }

    /// Returns the texts.
    pub(crate) fn into_vec(self) -> Vec<String> {
        self.texts
    }

    /// Returns the texts.
    pub(crate) fn texts(&self) -> &[String] {
        &self.texts
    }
}

impl From<Vec<String>> for Once {
    fn from(texts: Vec<String>) -> Self {
        texts.into_iter().collect()
    }
}

impl FromIterator<String> for Once {
    fn from_iter<I: IntoIterator<Item = String>>(texts: I) -> Self {
        let mut once = Self::default();
        once.extend(texts);
        once
    }
}

impl Extend<String> for Once {
    fn extend<I: IntoIterator<Item = String>>(&mut self, texts: I) {
        for text in texts {
            self.push(text);
        }
    }
}

impl IntoIterator for Once {
    type Item = String;
    type IntoIter = std::vec::IntoIter<String>;
    fn into_iter(self) -> Self::IntoIter {
        self.texts.into_iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_text_stands_once_in_the_order_of_coming() {
        for n in [3_usize, FEW - 1, FEW, FEW + 1, 100] {
            let all: Vec<String> = (0..n).map(|i| format!("t{i}")).collect();
            let twice: Once = all.iter().chain(all.iter().rev()).cloned().collect();
            assert_eq!(twice.texts(), all);
            assert_eq!(twice.into_vec(), all);
        }
    }
}
