//! Part numbers, makers and roles of a text.
//!
//! In: a [`Text`], what is [`Known`]. Out: [`Found`]. A number is weighed over its mentions: its shape, the best
//! that a sentence says for it, the worst that one says against it. Not here: each of these (`shape`, `hints`,
//! `makers`, `roles`); what is done with a proposal.

use crate::found::{Found, Known, Maker, Quote, What, folded};
use crate::kinds::is_no_part;
use crate::makers::Phrase;
use crate::prepared::{Sentence, prepared};
use crate::shape::shape;
use crate::text::Text;
use crate::told::Told;
use crate::words::{Word, words};
use crate::{hints, makers, roles};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// From which probability on a part is proposed.
const PROPOSED: f64 = 0.5;
/// Mentions of one number that are looked at.
const WEIGHED: usize = 200;
/// What must be overcome, logits; fitted.
const BASE: f64 = -2.6;
/// One mention of a number.
pub(crate) struct Mention {
    pub(crate) sentence: usize,
    pub(crate) at: usize,
}

#[derive(Default)]
pub(crate) struct Candidate {
    pub(crate) written: String,
    pub(crate) shape: f64,
    pub(crate) plus: f64,
    pub(crate) minus: f64,
    pub(crate) known: bool,
    pub(crate) in_title: bool,
    /// The first [`WEIGHED`] mentions.
    pub(crate) mentions: Vec<Mention>,
    /// How often it is mentioned in all.
    pub(crate) times: usize,
}

impl Candidate {
    pub(crate) fn probability(&self) -> f64 {
        if self.known {
            return 0.99;
        }
        // A number of the title is that of the product, unless the text says plainly what part it is.
        let title = match self.in_title {
            true => 3.0,
            false => 0.0,
        };
        let logit = BASE + self.shape + self.plus.min(4.0) - self.minus - title;
        1.0 / (1.0 + (-1.6 * logit).exp())
    }
}

/// Finds the parts and makers that a text speaks of.
pub fn find(text: &Text, known: &Known) -> Found {
    let all = prepared(text);
    let title = text.title.clone().unwrap_or_default();
    let product: BTreeSet<String> = words(&title).iter().map(|w| folded(w.text)).collect();
    let mut order: Vec<String> = Vec::new();
    let mut candidates: BTreeMap<String, Candidate> = BTreeMap::new();
    for (number, sentence) in all.iter().enumerate() {
        let places = numbers(sentence, known);
        let given = roles::shared(&sentence.words, &sentence.roles, &places);
        for (n, at) in places.iter().enumerate() {
            let word = &sentence.words[*at];
            let key = folded(word.text);
            let candidate = candidates.entry(key.clone()).or_insert_with(|| {
                order.push(key.clone());
                Candidate {
                    written: word.text.to_string(),
                    shape: shape_of(word.text).unwrap_or_default(),
                    known: known.parts.contains(&key),
                    in_title: product.contains(&key),
                    ..Candidate::default()
                }
            });
            candidate.times += 1;
            // What a text says more often it says no better.
            if candidate.mentions.len() >= WEIGHED {
                continue;
            }
            let role = given[n].map(|r| &sentence.roles[r]);
            let (plus, minus) = weighed(sentence, *at, role, &places, known);
            candidate.plus = candidate.plus.max(plus);
            candidate.minus = candidate.minus.max(minus);
            candidate.mentions.push(Mention {
                sentence: number,
                at: *at,
            });
        }
    }
    let accepted: BTreeSet<&String> = candidates
        .iter()
        .filter(|(_, candidate)| candidate.probability() >= PROPOSED)
        .map(|(key, _)| key)
        .collect();
    let told = Told {
        all: &all,
        known,
        product: &product,
        places: all
            .iter()
            .map(|sentence| {
                let mut places = numbers(sentence, known);
                places.retain(|at| accepted.contains(&folded(sentence.words[*at].text)));
                places
            })
            .collect(),
    };
    let mut found = Found {
        title: text.title.clone(),
        ..Found::default()
    };
    for key in order.iter().filter(|key| accepted.contains(key)) {
        let proposal = told.proposal(&candidates[key]);
        if let Some(maker) = &proposal.maker
            && !found
                .makers
                .iter()
                .any(|m| m.name.eq_ignore_ascii_case(maker))
        {
            let says = |quote: &&Quote| quote.marks.iter().any(|mark| mark.what == What::Maker);
            if let Some(quote) = proposal.quotes.iter().find(says) {
                found.makers.push(Maker {
                    name: maker.clone(),
                    line: quote.line,
                    sentence: quote.sentence.clone(),
                });
            }
        }
        found.parts.push(proposal);
    }
    told.known_makers(&mut found.makers);
    found
}

fn shape_of(word: &str) -> Option<f64> {
    match word.split_once(' ') {
        Some((letters, digits)) => shape(&format!("{letters}{digits}")).map(|score| score - 1.0),
        None => shape(word),
    }
}

/// The words of a sentence that may be part numbers.
fn numbers(sentence: &Sentence<'_>, known: &Known) -> Vec<usize> {
    if sentence.title {
        return Vec::new();
    }
    let all = sentence.words.iter().enumerate();
    let fits = all.filter(|(_, word)| {
        let hash = word.gap.ends_with('#') || word.gap.ends_with('@');
        let digits = word.text.bytes().any(|b| b.is_ascii_digit());
        digits
            && !hash
            && (shape_of(word.text).is_some() && !is_no_part(word.text)
                || known.parts.contains(&folded(word.text)))
    });
    fits.map(|(at, _)| at).collect()
}

/// What one mention says for a number and against it.
fn weighed(
    sentence: &Sentence<'_>,
    at: usize,
    role: Option<&Range<usize>>,
    places: &[usize],
    known: &Known,
) -> (f64, f64) {
    let words = &sentence.words;
    let hints = hints::hints(words, at);
    let mut plus = hints.plus;
    if let Some(role) = role {
        let between = match role.end <= at {
            true => at - role.end,
            false => role.start - at - 1,
        };
        plus += match between {
            0..=2 => 1.6,
            3..=5 => 1.1,
            _ => 0.5,
        };
    }
    let strongest = sentence.phrases.iter().map(|phrase| {
        let strength = makers::strength(words, *phrase, at, places);
        let is_known = known
            .makers
            .contains_key(&name(words, *phrase).to_lowercase());
        strength + f64::from(u8::from(is_known))
    });
    let strongest = strongest.fold(0.0, f64::max);
    plus += match strongest {
        s if s >= 3.0 => 1.4,
        s if s >= 2.3 => 1.0,
        s if s >= makers::TOLD => 0.4,
        _ => 0.0,
    };
    if let Some(cells) = &sentence.cells {
        match cells.part.contains(&at) {
            true => plus += 3.0,
            false => return (plus, hints.minus + 1.0),
        }
    }
    (plus, hints.minus)
}

/// The words of a name.
pub(crate) fn name(words: &[Word<'_>], phrase: Phrase) -> String {
    let mut name = String::new();
    for (n, word) in words[phrase.first..=phrase.last].iter().enumerate() {
        if n > 0 {
            name.push_str(word.gap);
        }
        name.push_str(word.text);
    }
    name
}
