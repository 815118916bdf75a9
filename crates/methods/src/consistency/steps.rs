//! Steps: what comes free comes free once and out of something; what follows a step needs it done.

use super::Contradiction;
use crate::{Cancelled, Case};
use record::{Action, Place, Reading, ReadingSubject, Step};
use std::collections::BTreeMap;

/// Returns the contradictions between steps, and between steps, readings and photographs.
pub(super) fn found(case: &Case<'_>) -> Result<Vec<Contradiction>, Cancelled> {
    let mut found = Vec::new();
    let mut freed: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (at, step) in case.dossier.steps.iter().enumerate() {
        case.go_on()?;
        for id in &step.frees {
            freed.entry(id).or_default().push(at);
            found.extend(from_itself(case, step, id));
        }
        found.extend(out_of_turn(case, at, step));
    }
    for (id, at) in &freed {
        found.extend(freed_twice(case, id, at));
    }
    let after_plan = |after: &Option<String>| planned(case, after.as_deref()?);
    for reading in &case.dossier.readings {
        case.go_on()?;
        if let Some(step) = after_plan(&reading.after) {
            let what = format!(
                "Reading {} ({}) was taken after the step “{}”, which is not done",
                reading.id, reading.value, step.text
            );
            found.push(after_a_plan(Place::reading(&reading.id), what, step));
        }
        found.extend(before_it_was_free(case, reading, &freed));
    }
    for photo in &case.dossier.photos {
        if let Some(step) = after_plan(&photo.after) {
            let what = format!(
                "The photograph “{}” was taken after the step “{}”, which is not done",
                photo.caption, step.text
            );
            found.push(after_a_plan(Place::photo(&photo.id), what, step));
        }
    }
    Ok(found)
}

fn planned<'d>(case: &Case<'d>, step: &str) -> Option<&'d Step> {
    let step = &case.dossier.steps[case.lookup().step(step)?];
    // What is taken while it runs belongs to it.
    step.is_planned().then_some(step)
}

fn after_a_plan(about: Place, what: String, step: &Step) -> Contradiction {
    Contradiction {
        rule: "after-a-plan",
        about,
        subject: format!("whether “{}” is done", step.text),
        what,
        so: format!(
            "What can still be measured depends on it. Set done = true for step {}, or correct `after`",
            step.id
        ),
        places: vec![Place::step(&step.id)],
        with: None,
    }
}

/// A step that is done waits for one that is not.
fn out_of_turn(case: &Case<'_>, at: usize, step: &Step) -> Option<Contradiction> {
    let after = step.after.as_ref().filter(|_| step.done)?;
    let waits = after.iter().find_map(|id| planned(case, id))?;
    debug_assert!(at > 0, "a step waits for steps above it");
    let what = format!(
        "The step “{}” is done and must come after “{}”, which is not done",
        step.text, waits.text
    );
    Some(after_a_plan(Place::step(&step.id), what, waits))
}

/// The whole product comes free of nothing; and what is worked on comes free of itself only by an act
/// that takes it out of its place.
fn from_itself(case: &Case<'_>, step: &Step, id: &str) -> Option<Contradiction> {
    let item = case.item(id)?;
    // An act that nobody knows may have taken it out.
    let takes_out = !matches!(step.action, Action::Weigh | Action::Other);
    let what = if item.parent.is_none() {
        format!(
            "The step “{}” frees {}, which is the whole product and in nothing",
            step.text, item.name
        )
    } else if step.on.as_deref() == Some(id) && !takes_out {
        format!(
            "The step “{}” works on {} and frees it from itself: its action does not say that it comes out of \
             something",
            step.text, item.name
        )
    } else {
        return None;
    };
    Some(Contradiction {
        rule: "freed-from-itself",
        about: Place::step(&step.id),
        subject: format!("what {} is freed from", item.name),
        what,
        so: "The way to each piece is found from what the steps free. Name in `on` what it is freed from, or \
             the `action` that takes it out, or correct `frees`"
            .to_string(),
        places: vec![Place::item(id)],
        with: Some(id.to_string()),
    })
}

fn freed_twice(case: &Case<'_>, id: &str, at: &[usize]) -> Option<Contradiction> {
    let item = case.item(id)?;
    let there = case.tree().count(item).number()?;
    if at.len() <= usize::try_from(there).unwrap_or(usize::MAX) {
        return None;
    }
    let steps: Vec<&Step> = at.iter().map(|&k| &case.dossier.steps[k]).collect();
    let names: Vec<String> = steps.iter().map(|s| format!("“{}”", s.text)).collect();
    Some(Contradiction {
        rule: "freed-twice",
        about: Place::item(id),
        subject: format!("when {} comes free", item.name),
        what: format!(
            "{} comes free in {}, but it can come free only {}",
            item.name,
            names.join(" and again in "),
            match there {
                1 => "once".to_string(),
                n => format!("{n} times, once for each piece"),
            }
        ),
        so: "The way to it and the time it takes depend on which step is meant. Correct `frees` of one step"
            .to_string(),
        places: steps.iter().map(|s| Place::step(&s.id)).collect(),
        with: None,
    })
}

/// A piece is on the scale alone, or missing from a whole, only after it came free.
fn before_it_was_free(
    case: &Case<'_>,
    reading: &Reading,
    freed: &BTreeMap<&str, Vec<usize>>,
) -> Option<Contradiction> {
    let before = reading.before.as_deref()?;
    let at = case.lookup().step(before)?;
    if reading.what != ReadingSubject::Mass {
        return None;
    }
    let comes_free = |id: &str| freed.get(id)?.iter().min().copied();
    let late = |id: &str| comes_free(id).filter(|&free| free >= at);
    let (id, free, how) = match late(&reading.item) {
        Some(free) => (reading.item.as_str(), free, "was weighed"),
        None => reading.without.iter().find_map(|gone| {
            let free = late(gone)?;
            Some((gone.as_str(), free, "was missing from what was weighed"))
        })?,
    };
    let (name, step) = (case.tree().name(id), &case.dossier.steps[free]);
    Some(Contradiction {
        rule: "before-it-was-free",
        about: Place::reading(&reading.id),
        subject: format!("when {name} came free"),
        what: format!(
            "{name} {how} before the step “{}” (reading {}), but it comes free only in “{}”",
            case.dossier.steps[at].text, reading.id, step.text
        ),
        so: "Until when its mass can be measured, and what lay on the scale, depend on it. Correct `before` of \
             the reading, or `frees` of the step"
            .to_string(),
        places: vec![
            Place::item(id),
            Place::step(&step.id),
            Place::step(&case.dossier.steps[at].id),
        ],
        with: None,
    })
}
