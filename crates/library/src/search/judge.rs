//! What meets a [`Find`]: plain functions of it and of one [`Indexed`].
//!
//! Not here: in which order dossiers are asked (keepers).

use super::fold::{key, name_words, words};
use super::indexed::{Indexed, Part, Thing};
use super::pattern::Pattern;
use super::wanted::{Find, Judged, Ranged};
use super::{Holding, Verdicts};
use record::marking::Seen;
use std::collections::BTreeSet;
use std::ops::Bound;

/// How well words are met: 0 by the names of the product, 1 by whole words, 2 by beginnings of words.
pub(crate) type Tier = u8;

/// How many tiers there are.
pub(crate) const TIERS: Tier = 3;

/// The columns whose words are those of the product's names.
pub(crate) const NAMED: &str = "product";

/// Words of a dossier by where they stand.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Columns {
    /// Names of the product: its own, model, maker, category.
    pub(crate) product: BTreeSet<String>,
    pub(crate) category: BTreeSet<String>,
    pub(crate) part: BTreeSet<String>,
    pub(crate) maker: BTreeSet<String>,
    pub(crate) role: BTreeSet<String>,
    pub(crate) rest: BTreeSet<String>,
}

impl Columns {
    pub(crate) fn of(indexed: &Indexed) -> Self {
        let mut all = Self::default();
        for name in [&indexed.product, &indexed.model, &indexed.maker] {
            all.product.extend(name_words(name));
        }
        all.product.extend(words(&indexed.category));
        all.category.extend(words(&indexed.category));
        all.maker.extend(name_words(&indexed.maker));
        for thing in &indexed.things {
            all.rest.extend(words(&thing.text));
            all.rest.extend(words(&thing.id));
            let Some(part) = &thing.part else { continue };
            all.part.extend(name_words(&part.name));
            all.maker.extend(name_words(&part.maker));
            all.role.extend(words(&part.role));
            all.rest.extend(name_words(&part.package));
            all.rest.extend(marking_words(part));
        }
        all
    }

    fn any(&self, met: impl Fn(&BTreeSet<String>) -> bool) -> bool {
        let columns = [
            &self.product,
            &self.category,
            &self.part,
            &self.maker,
            &self.role,
            &self.rest,
        ];
        columns.into_iter().any(met)
    }
}

/// The words of the lines of a marking that were read whole.
fn marking_words(part: &Part) -> Vec<String> {
    let lines = Seen::of_lines(&part.marking).unwrap_or_default().lines;
    let plain = lines.iter().filter_map(record::marking::Line::plain);
    plain.flat_map(|line| name_words(&line)).collect()
}

fn begins(words: &BTreeSet<String>, beginning: &str) -> bool {
    let next = words
        .range::<str, _>((Bound::Included(beginning), Bound::Unbounded))
        .next();
    next.is_some_and(|word| word.starts_with(beginning))
}

fn all_begin(words: &BTreeSet<String>, beginnings: &[String]) -> bool {
    beginnings.iter().all(|beginning| begins(words, beginning))
}

/// Returns how well a dossier meets what is asked; `None` where it does not.
pub(crate) fn tier(find: &Find, indexed: &Indexed) -> Option<Tier> {
    let verdicts = find.verdicts.iter().all(|counted| {
        let count = count(&indexed.verdicts, counted.judged);
        (counted.least..=counted.most).contains(&count)
    });
    let figures = find.figures.iter().all(|ranged| figure(ranged, indexed));
    if !verdicts || !figures {
        return None;
    }
    let category = || words(&indexed.category).into_iter().collect();
    if !find.category.is_empty() && !all_begin(&category(), &find.category) {
        return None;
    }
    if !some_thing(find, indexed) {
        return None;
    }
    let words = &find.words;
    if words.is_empty() {
        return Some(0);
    }
    let columns = Columns::of(indexed);
    if all_begin(&columns.product, words) {
        return Some(0);
    }
    if words.iter().all(|word| columns.any(|c| c.contains(word))) {
        return Some(1);
    }
    let begun = words.iter().all(|word| columns.any(|c| begins(c, word)));
    begun.then_some(2)
}

pub(crate) fn count(verdicts: &Verdicts, judged: Judged) -> u32 {
    match judged {
        Judged::Holds => verdicts.holds,
        Judged::Fails => verdicts.fails,
        Judged::Undecided => verdicts.undecided,
        Judged::NeedsEvidence => verdicts.needs_evidence,
    }
}

fn figure(ranged: &Ranged, indexed: &Indexed) -> bool {
    indexed.figures.iter().any(|figure| {
        figure.kind == ranged.kind
            && figure.dimension == ranged.dimension
            && figure.high >= ranged.low
            && figure.low <= ranged.high
    })
}

/// Whether something is asked that one thing has to meet.
fn asks_a_thing(find: &Find) -> bool {
    let words = [&find.part, &find.maker, &find.role];
    find.marking.is_some() || words.iter().any(|words| !words.is_empty())
}

fn some_thing(find: &Find, indexed: &Indexed) -> bool {
    if !asks_a_thing(find) {
        return true;
    }
    let patterns = find.patterns();
    // The product itself is a thing of which only the maker is known.
    let product = Part {
        maker: indexed.maker.clone(),
        ..Part::default()
    };
    let mut parts = indexed
        .things
        .iter()
        .filter_map(|thing| thing.part.as_ref());
    meets(find, &patterns, &product) || parts.any(|part| meets(find, &patterns, part))
}

fn meets(find: &Find, patterns: &[Pattern], part: &Part) -> bool {
    let among = |words: Vec<String>, wanted: &[String]| {
        wanted.is_empty() || all_begin(&words.into_iter().collect(), wanted)
    };
    among(name_words(&part.maker), &find.maker)
        && among(words(&part.role), &find.role)
        && among(name_words(&part.name), &find.part)
        && {
            let lines = Pattern::of_lines(&part.marking);
            let fits = |asked: &Pattern| lines.iter().any(|line| asked.begins(line));
            patterns.iter().all(fits)
        }
}

impl Find {
    /// Returns the lines of the marking that is asked for, those of which something was read.
    pub(crate) fn patterns(&self) -> Vec<Pattern> {
        let lines = self.marking.iter().flat_map(|seen| &seen.lines);
        lines.filter_map(Pattern::of).collect()
    }

    /// Returns the things of a dossier that match, best first: those that meet what is asked of one thing, then those
    /// with the most words, whole ones before beginnings, in the order of the record.
    pub(crate) fn matched<'i>(&self, indexed: &'i Indexed) -> Vec<&'i Thing> {
        let patterns = self.patterns();
        let asks = asks_a_thing(self);
        if !asks && self.words.is_empty() {
            return Vec::new();
        }
        let mut ranked = Vec::new();
        for thing in &indexed.things {
            let part = thing.part.as_ref().filter(|_| asks);
            let met = part.is_some_and(|part| meets(self, &patterns, part));
            let own = match self.words.is_empty() {
                true => BTreeSet::new(),
                false => own_words(thing),
            };
            let begun = self.words.iter().filter(|word| begins(&own, word)).count();
            let whole = self.words.iter().filter(|word| own.contains(*word)).count();
            if met || begun > 0 {
                ranked.push(((met, begun, whole), thing));
            }
        }
        ranked.sort_by_key(|(rank, _)| std::cmp::Reverse(*rank));
        ranked.into_iter().map(|(_, thing)| thing).collect()
    }
}

fn own_words(thing: &Thing) -> BTreeSet<String> {
    let mut own: BTreeSet<String> = words(&thing.text).into_iter().collect();
    own.extend(words(&thing.id));
    if let Some(part) = &thing.part {
        own.extend(name_words(&part.name));
        own.extend(name_words(&part.maker));
        own.extend(words(&part.role));
        own.extend(name_words(&part.package));
        own.extend(marking_words(part));
    }
    own
}

/// Returns the things of a dossier that are of exactly this name, or by exactly this maker.
pub(crate) fn held<'i>(held: &Holding, indexed: &'i Indexed) -> Vec<&'i Thing> {
    let is = |part: &Part| match held {
        Holding::Part(name) => !name.is_empty() && key(&part.name) == key(name),
        Holding::Maker(name) => !name.is_empty() && key(&part.maker) == key(name),
    };
    let things = indexed.things.iter();
    things
        .filter(|thing| thing.part.as_ref().is_some_and(is))
        .collect()
}

/// Returns whether findings rest on a part of this name, or may.
pub(crate) fn rests_on(name: &str, indexed: &Indexed) -> bool {
    let own = key(name);
    if names(indexed).any(|known| key(known) == own && !own.is_empty()) {
        return true;
    }
    let Some(pattern) = Pattern::of_name(name) else {
        return false;
    };
    let mut parts = indexed
        .things
        .iter()
        .filter_map(|thing| thing.part.as_ref());
    parts.any(|part| {
        Pattern::of_lines(&part.marking)
            .iter()
            .any(|line| pattern.may_be(line))
    })
}

/// Returns the names of known parts that findings rest on.
pub(crate) fn names(indexed: &Indexed) -> impl Iterator<Item = &str> {
    let parts = indexed
        .things
        .iter()
        .filter_map(|thing| thing.part.as_ref());
    let own = parts.map(|part| part.name.as_str());
    own.chain(indexed.rests.iter().map(String::as_str))
}

impl Pattern {
    /// Returns the lines of a marking, those of which something was read.
    pub(crate) fn of_lines(marking: &[String]) -> Vec<Self> {
        let lines = Seen::of_lines(marking).unwrap_or_default().lines;
        lines.iter().filter_map(Self::of).collect()
    }
}
