//! What it is done to: the items that the words may name, and what comes free with one.

use crate::{Action, Dossier, Item, ItemKind};

/// Words that name no thing.
const FILL: &[&str] = &[
    "the", "a", "an", "of", "off", "out", "up", "and", "from", "all", "its", "on", "in", "to",
    "round",
];

/// Returns the items that hold most of the words, the likeliest first.
pub(super) fn named<'d>(words: &[&str], action: Action, dossier: &'d Dossier) -> Vec<&'d Item> {
    let words: Vec<&str> = words
        .iter()
        .copied()
        .filter(|word| !FILL.contains(word))
        .collect();
    let held_in = |name: &str, item: &Item| {
        let name = name.to_lowercase();
        let own: Vec<&str> = name
            .split(|c: char| !c.is_alphanumeric())
            .chain(item.designator.as_deref())
            .collect();
        let held = words.iter();
        held.filter(|word| own.iter().any(|w| is_same(w, word)))
            .count()
    };
    // Of `front ring with lens` the front ring is meant before the lens.
    // A cell is meant before what is called after it, the protector of the cell.
    let held = |item: &Item| {
        let head = held_in(head(&item.name), item);
        (
            held_in(&item.name, item),
            head,
            held_in(noun(&item.name), item),
        )
    };
    let scored = dossier.items.iter().map(|item| (held(item), item));
    let mut scored: Vec<((usize, usize, usize), &Item)> =
        scored.filter(|((held, ..), _)| *held > 0).collect();
    let most = scored.iter().map(|((held, ..), _)| *held).max();
    scored.retain(|((held, ..), _)| Some(*held) == most);
    let best = scored.iter().map(|((_, head, _), _)| *head).max();
    let called = scored.iter().map(|((.., noun), _)| *noun).max();
    let mut items: Vec<(bool, bool, &Item)> = scored
        .into_iter()
        .map(|((_, head, noun), item)| (Some(noun) < called, Some(head) < best, item))
        .collect();
    items.sort_by_key(|(called_after, aside, item)| {
        (
            *called_after,
            is_free(item, dossier),
            *aside,
            !suits(action, item.kind),
            // What holds the others comes free first.
            depth(item, dossier),
        )
    });
    items.truncate(6);
    items.into_iter().map(|(.., item)| item).collect()
}

/// Returns the part of a name that says what the thing is: of `cell of the lamp` the cell.
fn head(name: &str) -> &str {
    let ends = [" with ", " of ", " for ", " under ", ", "];
    let end = ends.iter().filter_map(|word| name.find(word)).min();
    &name[..end.unwrap_or(name.len())]
}

/// Returns the word of a name that says what sort of thing it is: of `lamp cell protector U3` the protector.
fn noun(name: &str) -> &str {
    let is_word = |word: &&str| !word.chars().any(|c| c.is_ascii_digit());
    head(name).split(' ').rfind(is_word).unwrap_or_default()
}

/// Returns whether two words are the same, one of them or both in the plural, or in capitals.
fn is_same(a: &str, b: &str) -> bool {
    let stem = |word: &str| word.to_lowercase().trim_end_matches('s').to_string();
    !a.is_empty() && stem(a) == stem(b)
}

/// Returns whether a step that is done freed or destroyed it.
fn is_free(item: &Item, dossier: &Dossier) -> bool {
    let mut done = dossier.steps.iter().filter(|step| step.done);
    done.any(|step| step.frees.contains(&item.id) || step.destroys.contains(&item.id))
}

fn suits(action: Action, kind: ItemKind) -> bool {
    match action {
        Action::Unscrew => kind == ItemKind::Fastener,
        Action::Dissolve => kind == ItemKind::Adhesive,
        Action::Unplug => matches!(kind, ItemKind::Connector | ItemKind::Cable | ItemKind::Flex),
        _ => !matches!(kind, ItemKind::Fastener | ItemKind::Adhesive),
    }
}

fn depth(item: &Item, dossier: &Dossier) -> usize {
    above(item, dossier).count()
}

/// Returns what an item is in, from the nearest outwards.
fn above<'d>(item: &'d Item, dossier: &'d Dossier) -> impl Iterator<Item = &'d Item> {
    let up = |item: &&Item| item.parent.as_deref().and_then(|id| dossier.item(id));
    // A ring of parents is a mistake that the checks tell; here it only ends the walk.
    std::iter::successors(Some(item), up)
        .skip(1)
        .take(dossier.items.len())
}

/// Returns the fasteners that hold a thing: itself, or those in or beside it that are still there.
pub(super) fn fasteners(on: &Item, dossier: &Dossier) -> Vec<String> {
    if on.kind == ItemKind::Fastener {
        return vec![on.id.clone()];
    }
    let there = |item: &&Item| item.kind == ItemKind::Fastener && !is_free(item, dossier);
    let within = |id: &str| -> Vec<String> {
        let found = dossier
            .items
            .iter()
            .filter(|i| i.parent.as_deref() == Some(id));
        found.filter(there).map(|i| i.id.clone()).collect()
    };
    match (within(&on.id), on.parent.as_deref()) {
        (found, None) => found,
        (found, Some(_)) if !found.is_empty() => found,
        (_, Some(parent)) => within(parent),
    }
}

/// Returns what comes free: the thing itself where the act takes it off, the fasteners that are undone.
pub(super) fn freed(
    action: Action,
    on: Option<&Item>,
    fasteners: &[String],
    dossier: &Dossier,
) -> Vec<String> {
    match (action, on) {
        (Action::Unscrew, _) => fasteners.to_vec(),
        (Action::Heat | Action::Weigh | Action::Unplug | Action::Other | Action::Unknown, _) => {
            Vec::new()
        }
        (_, Some(on)) if on.parent.is_some() && !is_free(on, dossier) => vec![on.id.clone()],
        _ => Vec::new(),
    }
}

/// Returns whether glue holds a thing: in it, or beside it.
pub(super) fn is_glued(on: Option<&Item>, dossier: &Dossier) -> bool {
    let Some(on) = on else { return false };
    let glue = |item: &Item| item.kind == ItemKind::Adhesive && !is_free(item, dossier);
    let mut items = dossier.items.iter().filter(|item| glue(item));
    items.any(|item| {
        let parent = item.parent.as_deref();
        parent == Some(&on.id) || parent.is_some() && parent == on.parent.as_deref()
    })
}

/// Returns whether a cell that no step freed yet is worked on, or in the same part of the product.
pub(super) fn cell_in_reach(on: Option<&Item>, dossier: &Dossier) -> bool {
    let cells = dossier
        .items
        .iter()
        .filter(|item| item.kind == ItemKind::Cell);
    let mut cells = cells.filter(|cell| !is_free(cell, dossier));
    let Some(on) = on else {
        return cells.next().is_some();
    };
    let part = |item: &Item| {
        let mut up: Vec<String> = above(item, dossier).map(|i| i.id.clone()).collect();
        up.insert(0, item.id.clone());
        // The product itself holds everything.
        up.pop();
        up.pop()
    };
    let here = part(on);
    cells.any(|cell| here.is_none() || part(cell) == here)
}
