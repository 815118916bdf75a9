//! Whether a named thing is in the product, and by which item.
//!
//! In: a dossier, the kind of a presence claim, a name. Out: items, strongest match first, with evidence.
//! Not here: whether the claim holds.

use super::places;
use record::{Certainty, ClaimKind, Dossier, Item, ItemKind};

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
    pub evidence: Vec<String>,
}

/// Returns the items, strongest match first, in which `names` is found for a presence claim of `kind`.
///
/// For parts the identity (exact, or beginning with the name where at least four characters are given)
/// comes first; for interfaces, radio standards and functions what the item provides, its role and its
/// name. Case, spaces and punctuation do not matter; words must be whole.
pub fn presence<'d>(dossier: &'d Dossier, kind: ClaimKind, names: &str) -> Vec<Presence<'d>> {
    let wanted = words(names);
    if wanted.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<Presence<'d>> = dossier
        .items
        .iter()
        .filter_map(|item| {
            let by = matched(item, kind, names, &wanted)?;
            Some(Presence {
                item,
                by,
                evidence: places(item),
            })
        })
        .collect();
    // Stable: items of equal strength stay in the order of the record.
    found.sort_by_key(|p| std::cmp::Reverse(p.by));
    found
}

fn matched(item: &Item, kind: ClaimKind, names: &str, wanted: &[String]) -> Option<Match> {
    let says = |text: &str| contains(&words(text), wanted);
    if item.provides.iter().any(|p| says(p)) {
        return Some(Match::Provides);
    }
    if let Some(identity) = item.part.as_ref().and_then(|p| p.identity.as_ref()) {
        let (whole, name) = (squeezed(&identity.name), squeezed(names));
        // Part numbers carry suffixes for package and packing.
        let begins = name.chars().count() >= 4 && whole.starts_with(&name);
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
fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(String::from)
        .collect()
}

fn squeezed(text: &str) -> String {
    words(text).concat()
}

/// Whether `wanted` stands in `text` as a run of whole words.
fn contains(text: &[String], wanted: &[String]) -> bool {
    !wanted.is_empty() && text.windows(wanted.len()).any(|w| w == wanted)
}
