//! What the sentences of a text tell of an accepted part: maker, role, and which sentences say so.
//!
//! In: sentences, candidates. Out: proposals. Not here: which numbers are accepted (`find`).

use crate::find::{Candidate, Mention, name};
use crate::found::{Known, Maker, Mark, Proposal, Quote, What, folded};
use crate::prepared::Sentence;
use crate::words::Word;
use crate::{makers, roles};
use std::collections::BTreeSet;
use std::ops::Range;

/// Most sentences that are shown for one part.
const QUOTES: usize = 3;

/// A maker that a sentence names for a part.
struct Named {
    strength: f64,
    name: String,
    from: usize,
    to: usize,
}

pub(crate) struct Told<'f> {
    pub(crate) all: &'f [Sentence<'f>],
    pub(crate) known: &'f Known,
    pub(crate) product: &'f BTreeSet<String>,
    /// Words of each sentence that are parts.
    pub(crate) places: Vec<Vec<usize>>,
}

impl Told<'_> {
    pub(crate) fn proposal(&self, candidate: &Candidate) -> Proposal {
        let mut quotes: Vec<(usize, Quote)> = Vec::new();
        let mut maker: Option<Named> = None;
        let mut role: Option<(usize, String)> = None;
        for mention in &candidate.mentions {
            let sentence = &self.all[mention.sentence];
            let mut marks = vec![mark(
                &sentence.words,
                &(mention.at..mention.at + 1),
                What::Part,
            )];
            let named = self.maker(mention.sentence, mention.at);
            if let Some(named) = named {
                marks.push(Mark {
                    from: named.from,
                    to: named.to,
                    what: What::Maker,
                });
                if maker
                    .as_ref()
                    .is_none_or(|known| named.strength > known.strength)
                {
                    maker = Some(named);
                }
            }
            if let Some(range) = self.role(mention) {
                marks.push(mark(&sentence.words, &range, What::Role));
                let said = roles::named(&sentence.words, &range);
                if role.as_ref().is_none_or(|(words, _)| range.len() > *words) {
                    role = Some((range.len(), said));
                }
            }
            quotes.push((marks.len(), quote(sentence, marks)));
            // "It comes from X": the sentence behind speaks of the part before.
            if self.places[mention.sentence].last() == Some(&mention.at)
                && let Some((named, after)) = self.said_after(mention.sentence)
            {
                let mark = Mark {
                    from: named.from,
                    to: named.to,
                    what: What::Maker,
                };
                quotes.push((1, quote(after, vec![mark])));
                if maker
                    .as_ref()
                    .is_none_or(|known| named.strength > known.strength)
                {
                    maker = Some(named);
                }
            }
        }
        let maker = maker.map(|named| named.name);
        // The sentence that says most stands first; others only where they add what it does not say.
        quotes.sort_by_key(|(marks, _)| std::cmp::Reverse(*marks));
        let mut kept: Vec<Quote> = Vec::new();
        for (_, quote) in quotes {
            let says = |kept: &[Quote], what: What| {
                kept.iter().any(|q| q.marks.iter().any(|m| m.what == what))
            };
            let adds = quote.marks.iter().any(|mark| !says(&kept, mark.what));
            if kept.len() < QUOTES && (kept.is_empty() || adds) {
                kept.push(quote);
            }
        }
        Proposal {
            part: candidate.written.clone(),
            maker,
            role: role.map(|(_, role)| role),
            probability: candidate.probability(),
            known: candidate.known,
            mentions: candidate.times,
            quotes: kept,
        }
    }

    fn maker(&self, number: usize, at: usize) -> Option<Named> {
        let sentence = &self.all[number];
        let words = &sentence.words;
        if let Some(cells) = sentence
            .cells
            .as_ref()
            .filter(|cells| cells.part.contains(&at))
        {
            let range = cells.maker.clone();
            let (first, last) = (
                words.get(range.start)?,
                words.get(range.end.checked_sub(1)?)?,
            );
            let text = sentence.text.get(first.from..last.to).unwrap_or_default();
            let blank = range.is_empty()
                || !first.capital()
                || matches!(
                    first.lower.as_str(),
                    "unknown" | "unmarked" | "none" | "n/a"
                );
            return (!blank).then(|| Named {
                strength: 4.0,
                name: self
                    .known
                    .makers
                    .get(&text.to_lowercase())
                    .cloned()
                    .unwrap_or_else(|| text.to_string()),
                from: first.from,
                to: last.to,
            });
        }
        let named = sentence.phrases.iter().map(|phrase| {
            let name = name(words, *phrase);
            let canonical = self.known.makers.get(&name.to_lowercase());
            let mut strength = makers::strength(words, *phrase, at, &self.places[number]);
            if canonical.is_some() {
                strength = strength.max(1.0) + 0.5;
            } else if self.product.contains(&folded(words[phrase.first].text)) {
                strength -= 1.7;
            }
            Named {
                strength,
                name: canonical.cloned().unwrap_or(name),
                from: words[phrase.first].from,
                to: words[phrase.last].to,
            }
        });
        strongest(named)
    }

    /// The maker that the sentence behind names for the last part of this one.
    fn said_after(&self, number: usize) -> Option<(Named, &Sentence<'_>)> {
        let after = self.all.get(number + 1)?;
        let first = after.words.first()?.lower.as_str();
        let second = after.words.get(1).map_or("", |word| word.lower.as_str());
        let refers = matches!(first, "it" | "this" | "that" | "it's")
            || matches!(first, "the" | "this" | "that")
                && matches!(second, "chip" | "part" | "ic" | "maker" | "manufacturer");
        if !refers || !self.places[number + 1].is_empty() || after.cells.is_some() {
            return None;
        }
        let named = after.phrases.iter().map(|phrase| {
            let name = name(&after.words, *phrase);
            let strength = makers::strength(&after.words, *phrase, 0, &[]);
            let maker_is = (0..phrase.first)
                .any(|at| matches!(after.words[at].lower.as_str(), "maker" | "manufacturer"));
            Named {
                strength: match maker_is {
                    true => 2.5,
                    false => strength,
                },
                name: self
                    .known
                    .makers
                    .get(&name.to_lowercase())
                    .cloned()
                    .unwrap_or(name),
                from: after.words[phrase.first].from,
                to: after.words[phrase.last].to,
            }
        });
        // What only stands behind a comma is too little here.
        strongest(named)
            .filter(|named| named.strength >= 2.0)
            .map(|named| (named, after))
    }

    fn role(&self, mention: &Mention) -> Option<Range<usize>> {
        let sentence = &self.all[mention.sentence];
        if let Some(cells) = sentence
            .cells
            .as_ref()
            .filter(|cells| cells.part.contains(&mention.at))
        {
            return (!cells.role.is_empty()).then(|| cells.role.clone());
        }
        let places = &self.places[mention.sentence];
        let given = roles::shared(&sentence.words, &sentence.roles, places);
        let of = places.iter().position(|at| *at == mention.at)?;
        given[of].map(|role| sentence.roles[role].clone())
    }

    /// Adds makers that a catalogue knows, wherever they are named.
    pub(crate) fn known_makers(&self, makers: &mut Vec<Maker>) {
        for sentence in self.all.iter().filter(|sentence| !sentence.title) {
            for phrase in &sentence.phrases {
                let name = name(&sentence.words, *phrase).to_lowercase();
                if let Some(name) = self.known.makers.get(&name)
                    && !makers.iter().any(|maker| maker.name == *name)
                {
                    makers.push(Maker {
                        name: name.clone(),
                        line: sentence.line,
                        sentence: sentence.text.to_string(),
                    });
                }
            }
        }
    }
}

fn strongest(named: impl Iterator<Item = Named>) -> Option<Named> {
    let told = named.filter(|named| named.strength >= makers::TOLD);
    told.max_by(|a, b| a.strength.total_cmp(&b.strength))
}

fn mark(words: &[Word<'_>], range: &Range<usize>, what: What) -> Mark {
    Mark {
        from: words[range.start].from,
        to: words[range.end - 1].to,
        what,
    }
}

fn quote(sentence: &Sentence<'_>, mut marks: Vec<Mark>) -> Quote {
    marks.sort();
    marks.dedup();
    Quote {
        line: sentence.line,
        sentence: sentence.text.to_string(),
        marks,
    }
}
