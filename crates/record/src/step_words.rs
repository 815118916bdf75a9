//! What the words of somebody who is about to open a product say: proposals of a step, the likeliest first.
//!
//! In: the words as typed (`pry front ring with pick at 60 °C`); what is recorded already. Out: [`StepProposal`]s: a
//! planned step that is meant, or the keys of a new one. What comes free, whether it goes back and what is dangerous
//! are proposed from the sort of act and the item tree; a person takes or changes them.
//! Source of the words and of what usually goes back: common practice of workshops, from memory.
//! Not here: what a step ends (`methods`); writing it.

mod act;
mod thing;

use crate::{Action, Dossier, Hazard, Item, Step, id_of};
use quantity::{Dimension, Stated};
use serde::Serialize;
use serde_json::{Map, Value as Json, json};

/// One way to read the words.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct StepProposal {
    /// The planned step that is meant, where one is.
    pub planned: Option<String>,
    /// The keys of the step, its id included.
    pub entry: Map<String, Json>,
    /// What it says, in words: `pry`, `Front ring with lens`, `opening pick, as before`.
    pub says: Vec<String>,
    /// Other items that may be meant.
    pub instead: Vec<String>,
    /// The step that freed the item already.
    pub freed_in: Option<String>,
}

/// Reads the words; nothing where there are none.
pub fn read_step(text: &str, dossier: &Dossier) -> Vec<StepProposal> {
    let text = text.trim();
    if text.is_empty() {
        return Vec::new();
    }
    let lower = text.to_lowercase();
    // Some capital letters take other numbers of bytes than their small ones.
    let lower = match lower.len() == text.len() {
        true => lower,
        false => text.to_ascii_lowercase(),
    };
    let parts = Parts::of(text, &lower);
    let (action, verb) = act::action(&parts.words);
    let named: Vec<&str> = parts
        .words
        .iter()
        .copied()
        .filter(|word| Some(*word) != verb)
        .collect();
    let things = thing::named(&named, action, dossier);
    let mut read: Vec<StepProposal> = planned(action, &things, dossier);
    read.push(fresh(text, action, &parts, &things, dossier));
    read
}

/// The words of a step by what they are about.
struct Parts<'t> {
    /// What is done to what.
    words: Vec<&'t str>,
    /// What it is done with, in its own letters.
    tool: Option<&'t str>,
    temperature: Option<String>,
}

impl<'t> Parts<'t> {
    /// Reads the words as typed, and the same in small letters, byte for byte as long.
    fn of(text: &'t str, lower: &'t str) -> Self {
        let all: Vec<&str> = lower.split_whitespace().collect();
        let temperature = (0..all.len()).find_map(|at| {
            let ends = (at + 1..=all.len().min(at + 2)).rev();
            let read = |end: usize| {
                let words = all[at..end].join(" ").to_uppercase();
                let words = words.trim_end_matches(['.', ',']).to_string();
                Stated::parse_as(&words, Dimension::TEMPERATURE).ok()?;
                Some((at, words))
            };
            ends.into_iter().find_map(read)
        });
        let cut = |word: &str| lower.find(&format!(" {word} "));
        let with = ["with", "using"].iter().find_map(|word| {
            let at = cut(word)?;
            Some((at, at + word.len() + 2))
        });
        // The temperature begins with the word before it, or by itself.
        let hot = temperature.as_ref().map(|(at, _)| {
            let own = start_of(lower, &all, *at);
            let said = [" at ", " to "].iter();
            let said = said
                .filter_map(|word| lower.rfind(word))
                .filter(|said| *said < own);
            said.max().unwrap_or(own)
        });
        let end = [with.map(|(at, _)| at), hot].into_iter().flatten().min();
        let about = &lower[..end.unwrap_or(lower.len())];
        let tool = with.map(|(_, from)| {
            let end = hot.filter(|hot| *hot > from).unwrap_or(lower.len());
            text[from..end].trim().trim_end_matches(['.', ','])
        });
        let is_end = |c: char| !c.is_alphanumeric();
        let words = about.split_whitespace().map(|w| w.trim_matches(is_end));
        Self {
            words: words.filter(|word| !word.is_empty()).collect(),
            tool: tool.filter(|tool| !tool.is_empty()),
            temperature: temperature.map(|(_, words)| words),
        }
    }
}

/// Returns where a word of a text begins; `words` are its words.
fn start_of(text: &str, words: &[&str], at: usize) -> usize {
    let mut from = 0;
    for (n, word) in words.iter().enumerate() {
        from += text[from..].find(word).unwrap_or_default();
        if n == at {
            break;
        }
        from += word.len();
    }
    from
}

/// Returns the planned steps with this act at one of these things.
fn planned(action: Action, things: &[&Item], dossier: &Dossier) -> Vec<StepProposal> {
    let mut waiting = dossier.steps.iter().filter(|s| s.is_planned());
    let is_meant = |step: &&Step| {
        let touched = step.on.iter().chain(&step.frees).chain(&step.destroys);
        let mut touched = touched.map(String::as_str);
        step.action == action && touched.any(|id| things.iter().take(1).any(|t| t.id == id))
    };
    let Some(step) = waiting.find(is_meant) else {
        return Vec::new();
    };
    let entry = match serde_json::to_value(step) {
        Ok(Json::Object(entry)) => entry,
        _ => return Vec::new(),
    };
    let mut says = vec!["as planned".to_string(), step.text.clone()];
    says.extend(step.tool.clone());
    says.push(step.undo.says().to_string());
    vec![StepProposal {
        planned: Some(step.id.clone()),
        entry,
        says,
        instead: Vec::new(),
        freed_in: None,
    }]
}

fn fresh(
    text: &str,
    action: Action,
    parts: &Parts<'_>,
    things: &[&Item],
    dossier: &Dossier,
) -> StepProposal {
    let on = things.first().copied();
    let (tool, before) = tool(action, parts.tool, dossier);
    let mut entry = Map::new();
    entry.insert("id".to_string(), json!(free_id(text, dossier)));
    entry.insert("action".to_string(), json!(action));
    entry.insert("text".to_string(), json!(sentence(text)));
    let mut says = vec![act::words(action).to_string()];
    if let Some(on) = on {
        entry.insert("on".to_string(), json!(on.id));
        says.push(on.name.clone());
    }
    if let Some(tool) = &tool {
        entry.insert("tool".to_string(), json!(tool));
        let before = if before { ", as before" } else { "" };
        says.push(format!("{tool}{before}"));
    }
    if let Some(temperature) = &parts.temperature {
        entry.insert("temperature".to_string(), json!(temperature));
        says.push(temperature.clone());
    }
    let fasteners = match (action, on) {
        (Action::Unscrew, Some(on)) => thing::fasteners(on, dossier),
        _ => Vec::new(),
    };
    if !fasteners.is_empty() {
        entry.insert("fasteners".to_string(), json!(fasteners));
    }
    let frees = thing::freed(action, on, &fasteners, dossier);
    if !frees.is_empty() {
        entry.insert("frees".to_string(), json!(frees));
    }
    let undo = act::undo(action, thing::is_glued(on, dossier));
    entry.insert("undo".to_string(), json!(undo));
    says.push(undo.says().to_string());
    let with = parts.tool.map(str::to_lowercase);
    let words: Vec<&str> = parts.words.iter().copied().chain(with.as_deref()).collect();
    let hazards = hazards(action, &words, parts.temperature.is_some(), on, dossier);
    if !hazards.is_empty() {
        entry.insert("hazards".to_string(), json!(hazards));
    }
    let freed_in = on.and_then(|on| {
        let mut steps = dossier.steps.iter().filter(|step| step.done);
        steps.find(|step| step.frees.contains(&on.id))
    });
    StepProposal {
        planned: None,
        entry,
        says,
        instead: things.iter().skip(1).map(|t| t.id.clone()).collect(),
        freed_in: freed_in.map(|step| step.id.clone()),
    }
}

/// Returns the tool as it is called in the record, and whether it is that of the step before with this act.
fn tool(action: Action, typed: Option<&str>, dossier: &Dossier) -> (Option<String>, bool) {
    let known = || {
        let steps = dossier.steps.iter().rev();
        steps.filter_map(|step| Some((step.action, step.tool.as_deref()?)))
    };
    match typed {
        Some(typed) => {
            let lower = typed.to_lowercase();
            let holds = |tool: &str| {
                let tool = tool.to_lowercase();
                tool == lower || tool.split(' ').any(|word| word == lower)
            };
            let same = known().find(|(_, tool)| holds(tool));
            (
                Some(same.map_or(typed, |(_, tool)| tool).to_string()),
                false,
            )
        }
        None => {
            let same = known().find(|(other, _)| *other == action);
            (same.map(|(_, tool)| tool.to_string()), same.is_some())
        }
    }
}

fn hazards(
    action: Action,
    words: &[&str],
    hot: bool,
    on: Option<&Item>,
    dossier: &Dossier,
) -> Vec<Hazard> {
    let mut found = act::hazards(action, words);
    if hot {
        found.push(Hazard::Heat);
    }
    if act::may_hurt(action) && thing::cell_in_reach(on, dossier) {
        found.push(Hazard::LithiumCell);
    }
    found.sort_unstable();
    found.dedup();
    found
}

fn free_id(text: &str, dossier: &Dossier) -> String {
    let id = id_of(text);
    let mut numbered = (2..).map(|n| format!("{id}-{n}"));
    let taken = |id: &str| dossier.step(id).is_some();
    match taken(&id) {
        false => id,
        true => numbered.find(|id| !taken(id)).unwrap_or(id),
    }
}

/// The words as a sentence of the record: a capital first, a full stop behind.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters
        .next()
        .into_iter()
        .flat_map(char::to_uppercase)
        .collect();
    let rest = letters.as_str();
    let stop = if rest.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    format!("{first}{rest}{stop}")
}

#[cfg(test)]
mod tests;
