//! What a sentence is about: the item it names or that its kind implies, and the mode of use.

use super::Words;
use crate::{ClaimKind, Dossier, Item, ItemKind};

/// What a statement is about, as far as the sentence and the record tell.
#[derive(Debug, Default)]
pub(super) struct About {
    /// The item, where one is named or only one can be meant.
    pub(super) item: Option<String>,
    /// Items that may be meant, where several can.
    pub(super) choices: Vec<String>,
    /// The mode that is named.
    pub(super) mode: Option<String>,
    /// Whether a verdict rests on the mode.
    pub(super) needs_mode: bool,
    /// Modes that are recorded.
    pub(super) modes: Vec<String>,
}

pub(super) fn of(kind: ClaimKind, words: &Words, dossier: &Dossier) -> About {
    let mut about = About::default();
    let may_be: Vec<&Item> = dossier
        .items
        .iter()
        .filter(|item| suits(kind, item))
        .collect();
    let named = named(words, dossier);
    let of_named = |item: &&&Item| named.is_some_and(|named| is_in(dossier, item, named));
    about.item = match kind {
        ClaimKind::Slogan | ClaimKind::Unknown => return about,
        // A cell or a socket: the one in the thing that is named, or the only one.
        _ if !may_be.is_empty() => {
            let within: Vec<&&Item> = may_be.iter().filter(of_named).collect();
            match (within.as_slice(), may_be.as_slice()) {
                ([one], _) => Some(one.id.clone()),
                (_, [one]) => Some(one.id.clone()),
                _ => None,
            }
        }
        _ => named.map(|item| item.id.clone()),
    };
    if about.item.is_none() {
        about.choices = may_be.iter().map(|item| item.id.clone()).collect();
    }
    about.needs_mode = matches!(kind, ClaimKind::RunTime | ClaimKind::QuickCharge);
    if about.needs_mode {
        about.modes = modes(dossier);
        about.mode = mode(words, &about.modes);
    }
    about
}

/// Returns whether a statement of this kind is about an item of this sort, where it is about one sort.
fn suits(kind: ClaimKind, item: &Item) -> bool {
    use ClaimKind as K;
    match kind {
        K::Capacity | K::Energy | K::RunTime | K::ChargingTime | K::QuickCharge | K::Recharges => {
            item.kind == ItemKind::Cell
        }
        K::Input | K::Output => item.kind == ItemKind::Connector && item.contact.is_some(),
        K::Cable => item.kind == ItemKind::Cable,
        _ => false,
    }
}

/// Returns the item whose name the sentence holds; of several the longest name.
fn named<'d>(words: &Words, dossier: &'d Dossier) -> Option<&'d Item> {
    let held = dossier.items.iter().filter(|item| {
        let name = item.name.to_lowercase();
        item.kind != ItemKind::Product && words.find(&name).is_some()
    });
    held.max_by_key(|item| item.name.len())
}

/// Returns whether an item is another, or in or on it.
fn is_in(dossier: &Dossier, item: &Item, other: &Item) -> bool {
    let mut at = Some(item);
    // A ring of parents is a mistake that the checks tell; here it only ends the walk.
    for _ in 0..dossier.items.len() {
        match at {
            Some(item) if item.id == other.id => return true,
            Some(item) => at = item.parent.as_deref().and_then(|id| dossier.item(id)),
            None => return false,
        }
    }
    false
}

/// Returns the modes of use that are recorded, each once.
fn modes(dossier: &Dossier) -> Vec<String> {
    let stated = dossier.modes.iter().map(|mode| mode.name.clone());
    let loads = dossier
        .items
        .iter()
        .flat_map(|item| &item.loads)
        .map(|load| load.mode.clone());
    let claimed = dossier
        .claims
        .iter()
        .filter_map(|claim| claim.says.mode.clone());
    let mut all: Vec<String> = Vec::new();
    for mode in stated.chain(loads).chain(claimed) {
        if !all.contains(&mode) {
            all.push(mode);
        }
    }
    all
}

/// Returns the mode that the sentence names: by its whole name, or by a word that no other mode has.
fn mode(words: &Words, modes: &[String]) -> Option<String> {
    let whole = modes
        .iter()
        .find(|mode| words.find(&mode.to_lowercase()).is_some());
    let by_word = || {
        modes.iter().find(|mode| {
            let lower = mode.to_lowercase();
            let mut own = lower.split(' ').filter(|word| word.len() > 1);
            own.any(|word| {
                let others = modes.iter().filter(|other| other != mode);
                let shared = others
                    .clone()
                    .any(|other| other.to_lowercase().split(' ').any(|theirs| theirs == word));
                !shared && words.find(word).is_some()
            })
        })
    };
    whole.or_else(by_word).cloned()
}
