//! Whether a named thing is in the product, and by which item.
//!
//! In: a case, the kind of a presence claim, a name. Out: items, strongest match first, with evidence.
//! Not here: whether the claim holds.
//!
//! The words of all items are listed once; a name is then looked for only in the items that have its first
//! word, or an identity that begins with it.

use crate::Case;
use crate::inputs::item_evidence;
use record::{Certainty, ClaimKind, Dossier, Item, ItemKind, Place};
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::ops::Bound;

/// Least number of characters of a name that an identity may begin with.
const LEAST_BEGINNING: usize = 4;

/// How a named thing was found in an item, strongest last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Match {
    /// The words occur in the item's name.
    Name,
    /// The item's role says so.
    Role,
    /// The item's identity says so.
    Identity(Certainty),
    /// The item is recorded as providing it.
    Provides,
}

/// One item in which a named thing was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Presence<'d> {
    /// The item.
    pub item: &'d Item,
    /// How it was found.
    pub by: Match,
    /// Places in the record: the item, its evidence, the evidence of its identity.
    pub evidence: Vec<Place>,
}

/// Returns the items, strongest match first, in which `names` is found for a presence claim of `kind`.
///
/// For parts the identity (exact, or beginning with the name where at least four characters are given)
/// comes first; for interfaces, radio standards and functions what the item provides, its role and its
/// name. Case, spaces and punctuation do not matter; words must be whole.
///
/// Only what is `inside` an item counts, if one is given.
pub fn presence<'d>(
    case: &Case<'d>,
    kind: ClaimKind,
    names: &str,
    inside: Option<&str>,
) -> Vec<Presence<'d>> {
    let wanted = words(names);
    let mut found: Vec<Presence<'d>> = case
        .named()
        .candidates(names, &wanted)
        .into_iter()
        .map(|at| &case.dossier.items[at])
        .filter(|item| inside.is_none_or(|id| case.tree().within(&item.id, id)))
        .filter_map(|item| {
            let by = matched(item, kind, names, &wanted)?;
            Some(Presence {
                item,
                by,
                evidence: item_evidence(item),
            })
        })
        .collect();
    // Stable: items of equal strength stay in the order of the record.
    found.sort_by_key(|p| std::cmp::Reverse(p.by));
    found
}

/// What the items of a dossier are called. Numbers are places in the list of items.
#[derive(Debug, Default)]
pub(crate) struct Named {
    by_word: HashMap<String, Vec<usize>>,
    by_identity: BTreeMap<String, Vec<usize>>,
    unidentified: Vec<usize>,
}

impl Named {
    /// Lists the words of every item.
    pub(crate) fn of(dossier: &Dossier) -> Self {
        let mut named = Self::default();
        for (at, item) in dossier.items.iter().enumerate() {
            let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
            let texts = item
                .provides
                .iter()
                .chain(item.role.as_ref())
                .chain([&item.name])
                .chain(identity.map(|i| &i.name));
            for word in texts.flat_map(|t| words(t)) {
                let items = named.by_word.entry(word).or_default();
                if items.last() != Some(&at) {
                    items.push(at);
                }
            }
            if item.part.is_some() && identity.is_none() {
                named.unidentified.push(at);
            }
            if let Some(identity) = identity {
                let name = squeezed(&identity.name);
                named.by_identity.entry(name).or_default().push(at);
            }
        }
        named
    }

    /// Returns how many parts have no identity, and the first few; only those inside an item if one is
    /// given.
    pub(crate) fn unidentified<'d>(
        &self,
        case: &Case<'d>,
        inside: Option<&str>,
        few: usize,
    ) -> (usize, Vec<&'d Item>) {
        let Some(inside) = inside else {
            let first = self.unidentified.iter().take(few);
            let first = first.map(|at| &case.dossier.items[*at]).collect();
            return (self.unidentified.len(), first);
        };
        let mut found = case.tree().inside(inside);
        found.retain(|i| i.part.as_ref().is_some_and(|p| p.identity.is_none()));
        let count = found.len();
        found.truncate(few);
        (count, found)
    }

    /// Returns the items in which a name may be found, in the order of the record.
    fn candidates(&self, names: &str, wanted: &[String]) -> BTreeSet<usize> {
        let Some(first) = wanted.first() else {
            return BTreeSet::new();
        };
        let mut found: BTreeSet<usize> = BTreeSet::new();
        found.extend(self.by_word.get(first).into_iter().flatten());
        let name = squeezed(names);
        let from = self
            .by_identity
            .range::<str, _>((Bound::Included(name.as_str()), Bound::Unbounded));
        let begins = from.take_while(|(whole, _)| whole.starts_with(&name));
        found.extend(begins.flat_map(|(_, items)| items));
        found
    }
}

fn matched(item: &Item, kind: ClaimKind, names: &str, wanted: &[String]) -> Option<Match> {
    let says = |text: &str| contains(&words(text), wanted);
    if item.provides.iter().any(|p| says(p)) {
        return Some(Match::Provides);
    }
    if let Some(identity) = item.part.as_ref().and_then(|p| p.identity.as_ref()) {
        let (whole, name) = (squeezed(&identity.name), squeezed(names));
        // Part numbers carry suffixes for package and packing.
        let begins = name.chars().count() >= LEAST_BEGINNING && whole.starts_with(&name);
        if whole == name || begins || says(&identity.name) {
            return Some(Match::Identity(identity.certainty));
        }
    }
    if item.role.as_deref().is_some_and(says) {
        return Some(Match::Role);
    }
    let named = says(&item.name) && !matches!(item.kind, ItemKind::Product | ItemKind::Assembly);
    (named && kind != ClaimKind::Radio).then_some(Match::Name)
}

/// Lower-case words of letters and digits.
pub(crate) fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(String::from)
        .collect()
}

fn squeezed(text: &str) -> String {
    words(text).concat()
}

/// Whether `wanted` stands in `text` as a run of whole words; `5 GHz` does not stand in `2.5 GHz`.
fn contains(text: &[String], wanted: &[String]) -> bool {
    let number =
        |word: Option<&String>| word.is_some_and(|w| w.chars().all(|c| c.is_ascii_digit()));
    let starts = |at: usize| at == 0 || !number(wanted.first()) || !number(text.get(at - 1));
    let mut runs = text.windows(wanted.len().max(1)).enumerate();
    !wanted.is_empty() && runs.any(|(at, run)| run == wanted && starts(at))
}
