//! Steps of opening under the hand: begun, finished, what one ends, the chapters of a film of them.
//!
//! In: a dossier, its findings, a moment. Out: edits, and what is told beside them.
//! Not here: reading typed words (`record::read_step`); until when something can be measured (`methods`).

use crate::{Taking, takings};
use jiff::ZonedDateTime;
use methods::{Detail, Findings};
use record::{Dossier, Edit, Item, ItemKind, Moment, Place, Position, Step, StepProposal};
use serde_json::{Value as Json, json};
use std::fmt::Write as _;

/// Returns a moment as a step notes it: to the second, with the offset that is in force here.
pub fn moment(at: &ZonedDateTime) -> String {
    at.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}

/// Returns the step whose clock runs; of several the last.
pub fn running(dossier: &Dossier) -> Option<&Step> {
    dossier.steps.iter().rfind(|step| step.is_running())
}

/// Returns the edits that begin a step: a planned one, or a new one behind all that was begun. It is not done before
/// its clock is stopped.
pub fn start(dossier: &Dossier, proposal: &StepProposal, at: &str) -> Vec<Edit> {
    if let Some(id) = &proposal.planned {
        let planned = dossier.step(id);
        return planned.map_or_else(Vec::new, |step| begin(step, at));
    }
    let mut entry = proposal.entry.clone();
    entry.insert("started".to_string(), json!(at));
    entry.insert("done".to_string(), json!(false));
    let begun = dossier.steps.iter().rfind(|step| !step.is_planned());
    let position = match begun {
        Some(step) => Position::After(Place::step(&step.id)),
        None if dossier.steps.is_empty() => Position::Last,
        None => Position::First,
    };
    vec![Edit::Add {
        to: Place::list_of_steps(),
        entry: Json::Object(entry),
        position,
    }]
}

/// Returns the edits that begin a step that is planned. How long it was to take is no reading of it.
pub fn begin(step: &Step, at: &str) -> Vec<Edit> {
    let mut edits = vec![set(&step.id, "started", json!(at), Some(Json::Null))];
    if let Some(duration) = &step.duration {
        let old = Some(json!(duration));
        edits.push(set(&step.id, "duration", Json::Null, old));
    }
    edits
}

/// Returns the edits that finish a step. It has to run still, so that of two who stop it one is told.
pub fn stop(id: &str, at: &str) -> Vec<Edit> {
    vec![
        set(id, "stopped", json!(at), Some(Json::Null)),
        set(id, "done", Json::Null, Some(json!(false))),
    ]
}

fn set(id: &str, key: &str, new: Json, old: Option<Json>) -> Edit {
    Edit::Set {
        at: Place::step(id).at(key),
        new,
        old,
    }
}

/// Returns what can no longer be measured after a step that is not done.
pub fn ends(dossier: &Dossier, findings: &Findings, step: &str) -> Vec<Taking> {
    let step = Place::step(step);
    let mut ends = takings(dossier, findings);
    ends.retain(|taking| taking.is_open() && taking.before.as_ref() == Some(&step));
    ends
}

/// Returns what is said of the dangers of a step.
pub fn cautions(findings: &Findings, step: &str) -> Vec<String> {
    let details = findings.findings.iter().flat_map(|f| &f.details);
    let mut rows = details.flat_map(|detail| match detail {
        Detail::Steps { rows } => rows.as_slice(),
        _ => &[],
    });
    let row = rows.find(|row| row.step == step);
    row.map(|row| row.cautions.clone()).unwrap_or_default()
}

/// Returns what may come free beside what a step frees already: what is in or beside the thing worked on and is still
/// in place.
pub fn may_come_free<'d>(dossier: &'d Dossier, step: &Step) -> Vec<&'d Item> {
    let free = |item: &Item| {
        let mut steps = dossier.steps.iter().filter(|s| s.done || s.is_running());
        steps.any(|s| s.frees.contains(&item.id) || s.destroys.contains(&item.id))
    };
    let touched: Vec<&Item> = step
        .on
        .iter()
        .chain(&step.frees)
        .filter_map(|id| dossier.item(id))
        .collect();
    let near = |item: &Item| {
        touched.iter().any(|on| {
            let inside = item.parent.as_deref() == Some(&on.id);
            let beside = item.parent.is_some() && item.parent == on.parent;
            inside || beside || on.id == item.id || on.parent.as_deref() == Some(&item.id)
        })
    };
    let items = dossier.items.iter();
    let items = items.filter(|item| item.parent.is_some() && item.kind != ItemKind::Product);
    items.filter(|item| near(item) && !free(item)).collect()
}

/// One chapter of a film of the opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Chapter {
    /// The step.
    pub step: String,
    /// Seconds from the start of the first step.
    pub from: i64,
    /// The end of it.
    pub to: i64,
    /// What is done.
    pub text: String,
}

/// Returns the steps that were timed as chapters, in the order of time.
pub fn chapters(dossier: &Dossier) -> Vec<Chapter> {
    let second = |moment: Moment| moment.timestamp().as_second();
    let timed = dossier.steps.iter().filter_map(|step| {
        let (from, to) = (second(step.started?), second(step.stopped?));
        (from <= to).then_some((from, to, step))
    });
    let mut timed: Vec<(i64, i64, &Step)> = timed.collect();
    timed.sort_by_key(|(from, to, _)| (*from, *to));
    let first = timed.first().map_or(0, |(from, _, _)| *from);
    let chapter = |(from, to, step): (i64, i64, &Step)| Chapter {
        step: step.id.clone(),
        from: from - first,
        to: to - first,
        text: step.text.clone(),
    };
    timed.into_iter().map(chapter).collect()
}

/// Writes chapters as a player reads them. `ahead` are the seconds of film before the first step.
/// Source: WebVTT, W3C: cue times, and the characters that a cue's text may not hold.
pub fn chapters_vtt(chapters: &[Chapter], ahead: u32) -> String {
    let time = |seconds: i64| {
        let seconds = seconds + i64::from(ahead);
        let (h, m, s) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
        format!("{h:02}:{m:02}:{s:02}.000")
    };
    let mut text = "WEBVTT\n".to_string();
    for (number, chapter) in (1..).zip(chapters) {
        let words = chapter.text.split_whitespace().collect::<Vec<_>>();
        let words = words.join(" ").replace('&', "&amp;").replace('<', "&lt;");
        let words = words.replace('>', "&gt;");
        // A cue lasts longer than nothing.
        let end = chapter.to.max(chapter.from + 1);
        let (from, to) = (time(chapter.from), time(end));
        // Writing to a String cannot fail.
        let _ = write!(text, "\n{number}\n{from} --> {to}\n{words}\n");
    }
    text
}

#[cfg(test)]
mod tests;
