//! What is done: the act that a word names, what usually goes back, what is usually dangerous.
//!
//! Source: common practice, from memory.

use crate::{Action, Hazard, Undo};

/// Words by the act they name; the word or phrase stands by itself, in any form of the verb.
const ACTS: &[(Action, &[&str])] = &[
    (Action::Unsolder, &["unsolder", "desolder"]),
    (Action::Unscrew, &["unscrew", "undo", "screws", "screw"]),
    (Action::Unclip, &["unclip", "unsnap", "release", "snap"]),
    (Action::Unplug, &["unplug", "disconnect"]),
    (Action::Heat, &["heat", "warm"]),
    (Action::Pry, &["pry", "prise", "prize", "lever", "wedge"]),
    (Action::Peel, &["peel", "strip"]),
    (
        Action::Cut,
        &["cut", "saw", "slice", "slit", "grind", "mill", "drill"],
    ),
    (Action::Dissolve, &["dissolve", "soak"]),
    (Action::Weigh, &["weigh"]),
    (Action::Pull, &["pull", "slide", "draw"]),
    (Action::Lift, &["lift", "take", "remove"]),
];

/// Returns the act, and the word that names it.
pub(super) fn action<'t>(words: &[&'t str]) -> (Action, Option<&'t str>) {
    let named = |word: &str| {
        let mut acts = ACTS.iter();
        acts.find(|(_, verbs)| verbs.iter().any(|verb| is_form_of(word, verb)))
            .map(|(action, _)| *action)
    };
    // The verb comes first where one speaks in short; else wherever it stands.
    let found = words.iter().find_map(|word| Some((named(word)?, *word)));
    found.map_or((Action::Other, None), |(action, word)| (action, Some(word)))
}

/// Returns whether a word is a verb in one of its forms: cut, cuts, cutting; pry, pried.
fn is_form_of(word: &str, verb: &str) -> bool {
    let stem = verb.trim_end_matches(['e', 'y']);
    let Some(ending) = word.strip_prefix(stem) else {
        return false;
    };
    let doubled = stem.chars().next_back();
    let ending = match doubled.filter(|c| ending.starts_with(*c)) {
        Some(c) => &ending[c.len_utf8()..],
        None => ending,
    };
    word == verb
        || matches!(
            ending,
            "s" | "es" | "ies" | "ed" | "ied" | "ing" | "ying" | "n"
        )
}

/// The act as the step line says it.
pub(super) fn words(action: Action) -> &'static str {
    match action {
        Action::Heat => "heat",
        Action::Pry => "pry",
        Action::Unclip => "unclip",
        Action::Unscrew => "unscrew",
        Action::Peel => "peel",
        Action::Unplug => "unplug",
        Action::Unsolder => "unsolder",
        Action::Cut => "cut",
        Action::Lift => "lift",
        Action::Pull => "pull",
        Action::Dissolve => "dissolve",
        Action::Weigh => "weigh",
        Action::Other => "another act",
        Action::Unknown => "act not known",
    }
}

/// Returns whether it usually goes back together.
pub(super) fn undo(action: Action, glued: bool) -> Undo {
    match action {
        Action::Unclip | Action::Unscrew | Action::Unplug | Action::Weigh | Action::Heat => {
            Undo::Yes
        }
        Action::Lift | Action::Pull | Action::Pry if !glued => Undo::Yes,
        Action::Lift | Action::Pull | Action::Pry => Undo::WithNewMaterial,
        Action::Peel | Action::Unsolder | Action::Dissolve => Undo::WithNewMaterial,
        Action::Cut => Undo::No,
        Action::Other | Action::Unknown => Undo::Unknown,
    }
}

/// Words by the danger they name.
const DANGERS: &[(Hazard, &[&str])] = &[
    (
        Hazard::Blade,
        &["blade", "knife", "scalpel", "saw", "cutter", "razor"],
    ),
    (Hazard::Heat, &["iron", "plate", "gun", "heater"]),
    (
        Hazard::Solvent,
        &["alcohol", "acetone", "solvent", "isopropanol", "remover"],
    ),
    (Hazard::Mains, &["mains", "adapter", "inlet"]),
    (Hazard::Laser, &["laser"]),
    (Hazard::GlassSplinters, &["glass"]),
    (Hazard::ChargedCapacitor, &["flash", "capacitor"]),
];

/// Returns what the act and the words say is dangerous.
pub(super) fn hazards(action: Action, words: &[&str]) -> Vec<Hazard> {
    let of_act = match action {
        Action::Heat | Action::Unsolder => Some(Hazard::Heat),
        Action::Cut => Some(Hazard::Blade),
        Action::Dissolve => Some(Hazard::Solvent),
        _ => None,
    };
    let words = || words.iter().flat_map(|part| part.split_whitespace());
    let of_words = DANGERS.iter().filter(|(_, named)| {
        let mut words = words();
        words.any(|word| named.contains(&word))
    });
    of_act
        .into_iter()
        .chain(of_words.map(|(hazard, _)| *hazard))
        .collect()
}

/// Returns whether the act can hurt a cell beside it.
pub(super) fn may_hurt(action: Action) -> bool {
    matches!(
        action,
        Action::Heat
            | Action::Pry
            | Action::Unsolder
            | Action::Cut
            | Action::Dissolve
            | Action::Peel
            | Action::Other
            | Action::Unknown
    )
}
