//! What a sentence that a maker prints states: proposals of a claim, the likeliest first.
//!
//! In: the sentence as printed; what is recorded already. Out: [`Proposal`]s, each with the keys of a claim, what of
//! the sentence they rest on, and what the sentence leaves open. A figure that the sentence does not hold is never
//! proposed. A person takes one or none. Source of the words: common practice of packaging and data plates, from memory.
//! Not here: whether a claim is true; writing it.

mod about;
mod figures;
mod kinds;

use crate::{ClaimKind, Dossier};
use serde::Serialize;
use serde_json::{Map, Value as Json, json};
use std::ops::Range;

/// One way to read a sentence.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Proposal {
    /// The kind of statement.
    pub kind: ClaimKind,
    /// The keys of a claim that follow: `kind`, `value`, `rating`, `names`, `after`, `says`…; neither `id` nor `text`.
    pub entry: Map<String, Json>,
    /// The bytes of the sentence that it rests on.
    pub rests_on: Vec<Range<usize>>,
    /// What it says, in words: `at most 75 min`, `charging time`, `of the cell of the lamp`.
    pub says: Vec<String>,
    /// What the sentence leaves open.
    pub open: Vec<Open>,
}

/// Something that a sentence does not tell and that a verdict rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Open {
    /// The key of the claim that would hold it (`says.mode`).
    pub key: String,
    /// What is recorded that it may be; empty if nothing is.
    pub choices: Vec<String>,
}

/// Reads a sentence; the last proposal is always that there is nothing in it to test.
pub fn read_sentence(text: &str, dossier: &Dossier) -> Vec<Proposal> {
    let lower = text.to_lowercase();
    // Some capital letters take other numbers of bytes than their small ones.
    let lower = match lower.len() == text.len() {
        true => lower,
        false => text.to_ascii_lowercase(),
    };
    let words = Words { lower };
    let figures = figures::of(text);
    let mut read: Vec<Proposal> = Vec::new();
    for stated in kinds::stated(text, &words, &figures) {
        let proposal = proposal(stated, &words, dossier);
        if !read.iter().any(|other| other.entry == proposal.entry) {
            read.push(proposal);
        }
    }
    let slogan = kinds::Stated::of(ClaimKind::Slogan, Vec::new());
    read.push(proposal(slogan, &words, dossier));
    read
}

fn proposal(stated: kinds::Stated, words: &Words, dossier: &Dossier) -> Proposal {
    let kind = stated.kind;
    let mut entry = stated.entry;
    entry.insert("kind".to_string(), json!(kind));
    let mut says = stated.says;
    let mut open = Vec::new();
    let about = about::of(kind, words, dossier);
    let mut subject = match entry.remove("says") {
        Some(Json::Object(subject)) => subject,
        _ => Map::new(),
    };
    if let Some(item) = about.item.and_then(|id| dossier.item(&id)) {
        subject.insert("item".to_string(), json!(item.id));
        says.push(format!("of: {}", item.name));
    } else if !about.choices.is_empty() {
        open.push(Open {
            key: "says.item".to_string(),
            choices: about.choices,
        });
    }
    if let Some(mode) = about.mode {
        says.push(format!("mode: {mode}"));
        subject.insert("mode".to_string(), json!(mode));
    } else if about.needs_mode {
        open.push(Open {
            key: "says.mode".to_string(),
            choices: about.modes,
        });
    }
    if !subject.is_empty() {
        entry.insert("says".to_string(), Json::Object(subject));
    }
    Proposal {
        kind,
        entry,
        rests_on: stated.rests_on,
        says,
        open,
    }
}

/// A sentence in small letters, byte for byte as long as the sentence.
struct Words {
    lower: String,
}

impl Words {
    /// Returns where a word or phrase stands by itself.
    fn find(&self, phrase: &str) -> Option<Range<usize>> {
        let is_letter = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
        self.lower.match_indices(phrase).find_map(|(at, found)| {
            let end = at + found.len();
            let before = self.lower[..at].chars().next_back();
            let after = self.lower[end..].chars().next();
            (!is_letter(before) && !is_letter(after)).then_some(at..end)
        })
    }

    /// Returns whether a word begins like one of these.
    fn begins(&self, stems: &[&str]) -> bool {
        let words = self.lower.split(|c: char| !c.is_alphanumeric());
        let mut words = words.filter(|word| !word.is_empty());
        words.any(|word| stems.iter().any(|stem| word.starts_with(stem)))
    }

    /// Returns where the first of several phrases stands by itself.
    fn any(&self, phrases: &[&str]) -> Option<Range<usize>> {
        phrases.iter().find_map(|phrase| self.find(phrase))
    }
}

#[cfg(test)]
mod tests;
