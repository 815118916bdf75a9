//! What must be filmed, and before which step.
//!
//! What a step ends is known from what the findings miss; what it destroys and frees, from the step.

use crate::Findings;
use crate::words::the;
use record::{Dossier, Item, Place, Step, Undo};
use std::collections::BTreeSet;

/// When something is to be seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "the words are plain")]
pub enum When {
    Before,
    During,
    After,
}

/// Whether it can still be filmed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// A photograph shows it.
    Seen,
    /// It can be filmed.
    ToFilm,
    /// The step was done.
    TooLate,
}

impl When {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Before => "before",
            Self::During => "during",
            Self::After => "after",
        }
    }
}

impl State {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::ToFilm => "to film",
            Self::TooLate => "too late",
        }
    }
}

/// One row of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shot {
    /// The step; none for what can be filmed at any time.
    pub step: Option<String>,
    /// The item.
    pub item: Option<String>,
    /// Before, during or after the step.
    pub when: When,
    /// What must be seen.
    pub see: String,
    /// What it settles.
    pub settles: Option<Place>,
    /// Whether the step ends the chance: nothing shows it afterwards.
    pub last_chance: bool,
    /// Whether it can still be filmed.
    pub state: State,
}

/// Lists what must be filmed, in the order of the opening; what can be filmed at any time first.
pub fn shots(dossier: &Dossier, findings: &Findings) -> Vec<Shot> {
    let mut found = missing(findings, None);
    for step in &dossier.steps {
        let of_step = missing(findings, Some(&Place::step(&step.id)));
        found.extend(of_step.into_iter().map(|shot| Shot {
            step: Some(step.id.clone()),
            last_chance: true,
            ..shot
        }));
        for item in step.destroys.iter().filter_map(|id| dossier.item(id)) {
            let see = format!("{} whole, which this step destroys", the(item));
            found.push(shot(step, Some(item), When::Before, see, true));
        }
        let on = step.on.as_deref().and_then(|id| dossier.item(id));
        if let Some(on) = on.filter(|_| step.undo == Undo::No && step.destroys.is_empty()) {
            let see = format!("{} as it is; this step cannot be undone", the(on));
            found.push(shot(step, Some(on), When::Before, see, true));
        }
        found.push(shot(
            step,
            on,
            When::During,
            step.text.trim().to_string(),
            true,
        ));
        for item in step.frees.iter().filter_map(|id| dossier.item(id)) {
            let see = format!("{} from all sides", the(item));
            found.push(shot(step, Some(item), When::After, see, false));
        }
    }
    found
}

fn shot(step: &Step, item: Option<&Item>, when: When, see: String, last_chance: bool) -> Shot {
    let shows = |evidence: &[record::Evidence]| evidence.iter().any(|e| e.0.starts_with("photo:"));
    let seen = match when {
        When::During => shows(&step.evidence),
        When::Before | When::After => item.is_some_and(|i| shows(&i.evidence)),
    };
    let state = match (seen, step.done && last_chance) {
        (true, _) => State::Seen,
        (false, true) => State::TooLate,
        (false, false) => State::ToFilm,
    };
    Shot {
        step: Some(step.id.clone()),
        item: item.map(|i| i.id.clone()),
        when,
        see,
        settles: None,
        last_chance,
        state,
    }
}

/// What findings miss that ends with a step, or with none, each once.
fn missing(findings: &Findings, step: Option<&Place>) -> Vec<Shot> {
    let mut met = BTreeSet::new();
    let all = findings
        .findings
        .iter()
        .flat_map(|f| f.missing.iter().map(move |m| (f, m)));
    all.filter(|(_, m)| m.before_step.as_ref() == step)
        .filter(|(_, m)| met.insert(m.measure.clone()))
        .map(|(finding, m)| Shot {
            step: None,
            item: finding
                .about
                .as_ref()
                .and_then(Place::item_id)
                .map(str::to_string),
            when: When::Before,
            see: m.measure.clone(),
            settles: m.settles.clone().or_else(|| finding.about.clone()),
            last_chance: false,
            state: if m.too_late {
                State::TooLate
            } else {
                State::ToFilm
            },
        })
        .collect()
}
