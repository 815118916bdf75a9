//! Part numbers, makers and roles of a text.
//!
//! In: a [`Text`], what is [`Known`]. Out: [`Found`]. A number is weighed over all its mentions: its shape, the best
//! that a sentence says for it, the worst that one says against it. Not here: each of these (`shape`, `hints`,
//! `makers`, `roles`); what is done with a proposal.

use crate::columns::Columns;
use crate::kinds::is_no_part;
use crate::makers::{self, Phrase};
use crate::sentences::sentences;
use crate::shape::shape;
use crate::text::{Block, Kind, Text};
use crate::words::{Word, words};
use crate::{hints, roles};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// From which probability on a part is proposed.
const PROPOSED: f64 = 0.5;
/// What must be overcome, logits; fitted.
const BASE: f64 = -2.6;
/// Most sentences that are shown for one part.
const QUOTES: usize = 3;

/// What is known beside a text.
#[derive(Debug, Clone, Default)]
pub struct Known {
    /// Makers by their words in lower case.
    makers: BTreeMap<String, String>,
    /// Numbers, folded.
    parts: BTreeSet<String>,
}

impl Known {
    /// Takes part numbers with their makers; either may be empty.
    pub fn new<'p>(parts: impl IntoIterator<Item = (&'p str, &'p str)>) -> Self {
        let mut known = Self::default();
        for (part, maker) in parts {
            if !part.is_empty() {
                known.parts.insert(folded(part));
            }
            if !maker.is_empty() {
                known.makers.insert(maker.to_lowercase(), maker.to_string());
            }
        }
        known
    }
}

/// What a mark is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// The part number.
    Part,
    /// The maker.
    Maker,
    /// The role.
    Role,
}

/// Words of a sentence that something was read from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Mark {
    /// First byte in the sentence.
    pub from: usize,
    /// The byte after its last.
    pub to: usize,
    /// What was read.
    pub what: What,
}

/// A sentence with marks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Quote {
    /// The line of the file that it begins on, from 1.
    pub line: usize,
    /// Its words.
    pub sentence: String,
    /// What was read where, in order.
    pub marks: Vec<Mark>,
}

/// A part that a text speaks of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Proposal {
    /// Its number, as first written.
    pub part: String,
    /// Its maker.
    pub maker: Option<String>,
    /// What it does.
    pub role: Option<String>,
    /// Probability that it is a part number.
    pub probability: f64,
    /// Whether a catalogue has the number.
    pub known: bool,
    /// How often it is mentioned.
    pub mentions: usize,
    /// The sentences, the one that says most first.
    pub quotes: Vec<Quote>,
}

/// A maker that a text names.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Maker {
    /// Its name.
    pub name: String,
    /// The line it is named on first.
    pub line: usize,
    /// The sentence.
    pub sentence: String,
}

/// What a text speaks of.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Found {
    /// What the text calls itself.
    pub title: Option<String>,
    /// Parts, in the order of the text.
    pub parts: Vec<Proposal>,
    /// Makers of parts, each once.
    pub makers: Vec<Maker>,
}

/// One sentence under work.
struct Sentence<'t> {
    words: Vec<Word<'t>>,
    text: &'t str,
    line: usize,
    phrases: Vec<Phrase>,
    roles: Vec<Range<usize>>,
    cells: Option<Cells>,
    title: bool,
}

/// What the columns of a row hold, as words of the sentence.
#[derive(Debug, Clone, Default)]
struct Cells {
    part: Range<usize>,
    maker: Range<usize>,
    role: Range<usize>,
}

/// One mention of a number.
struct Mention {
    sentence: usize,
    at: usize,
}

#[derive(Default)]
struct Candidate {
    written: String,
    shape: f64,
    plus: f64,
    minus: f64,
    known: bool,
    in_title: bool,
    mentions: Vec<Mention>,
}

impl Candidate {
    fn probability(&self) -> f64 {
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

/// Numbers are one however their pieces are joined.
fn folded(number: &str) -> String {
    let kept = number.chars().filter(|c| c.is_alphanumeric());
    kept.flat_map(char::to_uppercase).collect()
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
            let (plus, minus) = weighed(
                sentence,
                *at,
                given[n].map(|r| &sentence.roles[r]),
                &places,
                known,
            );
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

/// Cuts a text into sentences with their words.
fn prepared(text: &Text) -> Vec<Sentence<'_>> {
    let mut all = Vec::new();
    let mut columns: BTreeMap<usize, Columns> = BTreeMap::new();
    for (number, block) in text.blocks.iter().enumerate() {
        let title = number == 0 && block.kind == Kind::Heading;
        match &block.kind {
            Kind::Row { table, cells } => {
                let texts: Vec<&str> = cells
                    .iter()
                    .map(|cell| block.text.get(cell.clone()).unwrap_or_default())
                    .collect();
                let headings = !columns.contains_key(table);
                if headings {
                    let read = Columns::of(&texts);
                    let any = read.any();
                    columns.insert(*table, read);
                    if any {
                        continue;
                    }
                }
                let mut sentence = sentence(block, 0..block.text.len(), false);
                sentence.cells = columns
                    .get(table)
                    .filter(|c| c.any())
                    .map(|columns| in_cells(&sentence.words, cells, columns));
                all.push(sentence);
            }
            _ => {
                for range in sentences(&block.text) {
                    all.push(sentence(block, range, title));
                }
            }
        }
    }
    all
}

fn in_cells(words: &[Word<'_>], cells: &[Range<usize>], columns: &Columns) -> Cells {
    let of = |column: Option<usize>| {
        let Some(cell) = column.and_then(|n| cells.get(n)) else {
            return 0..0;
        };
        let first = words.partition_point(|word| word.from < cell.start);
        first..words.partition_point(|word| word.to <= cell.end).max(first)
    };
    Cells {
        part: of(columns.part),
        maker: of(columns.maker),
        role: of(columns.role),
    }
}

fn sentence(block: &Block, range: Range<usize>, title: bool) -> Sentence<'_> {
    let text = &block.text[range.clone()];
    let words = joined(text, words(text));
    Sentence {
        phrases: makers::phrases(&words),
        roles: roles::roles(&words),
        line: block.line(range.start),
        words,
        text,
        cells: None,
        title,
    }
}

/// Joins letters and the number behind them, where they are written apart: "RKT 2104".
fn joined<'t>(text: &'t str, words: Vec<Word<'t>>) -> Vec<Word<'t>> {
    let mut all: Vec<Word<'t>> = Vec::new();
    for word in words {
        let digits = word.text.chars().take_while(char::is_ascii_digit).count();
        let tail = &word.text[digits..];
        let number = (3..=5).contains(&digits)
            && tail.len() <= 4
            && tail.chars().all(|c| c.is_ascii_uppercase() || c == '-');
        if let Some(last) = all.last_mut()
            && number
            && word.gap == " "
            && !last.owns
            && (2..=4).contains(&last.text.len())
            && last.text.chars().all(|c| c.is_ascii_uppercase())
            && !is_no_part(&format!("{}{}", last.text, word.text))
            && !matches!(
                last.text,
                "THE" | "AND" | "OF" | "NO" | "IN" | "EUR" | "USD" | "GBP" | "AT"
            )
        {
            last.to = word.to;
            last.text = &text[last.from..word.to];
            last.lower = last.text.to_lowercase();
            last.owns = word.owns;
            continue;
        }
        all.push(word);
    }
    all
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
fn name(words: &[Word<'_>], phrase: Phrase) -> String {
    let mut name = String::new();
    for at in phrase.first..=phrase.last {
        if at > phrase.first {
            name.push_str(words[at].gap);
        }
        name.push_str(words[at].text);
    }
    name
}

/// A maker that a sentence names for a part.
struct Named {
    strength: f64,
    name: String,
    from: usize,
    to: usize,
}

struct Told<'f> {
    all: &'f [Sentence<'f>],
    known: &'f Known,
    product: &'f BTreeSet<String>,
    /// Words of each sentence that are parts.
    places: Vec<Vec<usize>>,
}

impl Told<'_> {
    fn proposal(&self, candidate: &Candidate) -> Proposal {
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
            mentions: candidate.mentions.len(),
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
    fn known_makers(&self, makers: &mut Vec<Maker>) {
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
