//! What a marking may be, to choose from while it is typed.
//!
//! In: a dossier under the hand, the text as far as it is typed, what was measured of the body. Out: rows to choose
//! from, which one is marked, and what a second look would decide.
//! Not here: what is written when a row is taken (`plates`).
//!
//! Which row is marked is decided in [`first`] alone. From [`READ`] on the likeliest part is taken as read; from
//! [`HALF`] on as inferred; below that the row that leaves the identity open stands first, and where more than half
//! speaks for no known part, the row that says so.

mod rows;

use super::{CluesAsText, Decides, Question, Said, Verdict, ask};
use crate::Problem;
use crate::desk::{self, View, lock};
use codes::Context;
use marking::Scratch;
use methods::Known;
use methods::words::percent;
use record::{Certainty, Identity};
use rows::{also, as_on, candidate_row, open_row, unknown_row};
use serde::{Deserialize, Serialize};
use std::sync::{Arc, Mutex};

/// What is asked while a marking is typed.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default)]
pub struct Asked {
    /// The marking as far as it is typed.
    pub text: String,
    /// The package, where somebody saw it.
    pub package: Option<String>,
    /// Length and width of the body, mm.
    pub body_mm: Option<[f64; 2]>,
    /// The item that the part is on.
    pub board: Option<String>,
    /// The item itself, where it is recorded already.
    pub item: Option<String>,
}

/// Rows to choose from.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Choices {
    /// The rows, as they stand.
    pub rows: Vec<Choice>,
    /// The row that is marked.
    pub marked: usize,
    /// Probability of all that are not listed, in words.
    pub others: Option<String>,
    /// What a second look would decide.
    pub decides: Option<String>,
    /// Items with the same marking and without identity.
    pub also: Vec<String>,
    /// What it may say as a code.
    pub code: Option<String>,
    /// All of it in a sentence.
    pub told: String,
    /// Why the text cannot be read, and what to write instead.
    pub fault: Option<String>,
}

/// What a row stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sort {
    /// The same as on another item here.
    AsOn,
    /// The marking as seen, the identity open.
    Open,
    /// A known part.
    Part,
    /// None of the known parts.
    Unknown,
}

/// A row to choose.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// What it stands for.
    pub sort: Sort,
    /// What it is called.
    pub name: String,
    /// The name letter by letter, and whether each is another than was seen; only of a part with that name on it.
    pub letters: Vec<(char, bool)>,
    /// Its probability as printed.
    pub percent: Option<String>,
    /// Its probability in a word.
    pub word: Option<&'static str>,
    /// Maker, role, what agrees.
    pub about: String,
    /// What speaks against it.
    pub against: Vec<String>,
    /// What is recorded when it is taken.
    pub identity: Option<Identity>,
    /// Package of the part.
    pub package: Option<String>,
    /// Its pins.
    pub pins: Option<u32>,
    /// What it does.
    pub role: Option<String>,
    /// Whether equal markings have unlike identities here.
    pub unlike: bool,
}

/// From here on a part is as good as read.
pub const READ: f64 = 0.9;
/// From here on the likeliest is taken as inferred; below, the identity stays open.
pub const HALF: f64 = 0.5;
/// Candidates in view before the rows that name none.
const IN_VIEW: usize = 3;

/// Returns the word for a probability.
pub fn word(probability: f64) -> &'static str {
    match probability {
        p if p >= READ => "read",
        p if p >= 0.66 => "likely",
        p if p >= 0.33 => "even",
        p if p >= 0.1 => "unlikely",
        _ => "hardly",
    }
}

/// Which row stands first and is marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum First {
    /// The likeliest part, as sure as this.
    Part(Certainty),
    Open,
    Unknown,
}

/// Decides what is taken without a choice.
fn first(best: Option<f64>, none: f64) -> First {
    match best {
        Some(p) if p >= READ => First::Part(Certainty::Read),
        Some(p) if p >= HALF => First::Part(Certainty::Inferred),
        _ if none > HALF => First::Unknown,
        _ => First::Open,
    }
}

/// What searches work in, each in one search at a time: it grows with the catalogue, so that one that was used before
/// is worth more than a new one. There are never more than searches ran at once.
static SCRATCH: Mutex<Vec<Scratch>> = Mutex::new(Vec::new());

/// Searches with what an earlier search left.
fn search<T>(of: impl FnOnce(&mut Scratch) -> T) -> T {
    let mut scratch = lock(&SCRATCH).pop().unwrap_or_default();
    let found = of(&mut scratch);
    lock(&SCRATCH).push(scratch);
    found
}

/// Makes known parts ready, so that the first key of a marking is answered as soon as later ones.
pub(crate) fn warm(known: &Known) {
    known.warm();
    if known.parts().is_empty() {
        return;
    }
    if let Ok(question) = Question::new("A1?", &CluesAsText::default()) {
        search(|scratch| ask(question, Some(known.index()), &Context::default(), scratch));
    }
}

/// As [`choices`], beside those who wait.
///
/// # Errors
/// A fault of the program.
pub async fn choose(view: Arc<View>, asked: Asked) -> Result<Choices, Problem> {
    desk::blocking(move || Ok(search(|scratch| choices(&view, &asked, scratch)))).await
}

/// Says what a text may be, to choose from.
pub fn choices(view: &View, asked: &Asked, scratch: &mut Scratch) -> Choices {
    if asked.text.trim().is_empty() {
        return Choices::default();
    }
    let mut question = match question(asked) {
        Ok(question) => question,
        Err(problem) => {
            return Choices {
                fault: Some(format!("{}; {}", problem.message, problem.remedy)),
                ..Choices::default()
            };
        }
    };
    question.clues.body_mm = asked.body_mm.filter(|mm| mm.iter().all(|v| v.is_finite()));
    question.clues.seen_before = view.known.seen_beside(&beside(view, asked));
    let parts = view.known.parts();
    let index = (!parts.is_empty()).then(|| view.known.index());
    let said = ask(question, index, &Context::default(), scratch);
    let mut rows = as_on(view, asked, &said.question.seen);
    let candidates = said.parts.as_ref().map_or(&[][..], |a| &a.candidates);
    let none = said.parts.as_ref().map_or(1.0, |a| a.none);
    let first = first(candidates.first().map(|c| c.probability), none);
    let decides = said.decides(parts).and_then(|d| decides(&d));
    let mut known: Vec<Choice> = candidates
        .iter()
        .filter_map(|candidate| {
            let part = parts.get(candidate.part)?;
            Some(candidate_row(candidate, part, &said, decides.as_deref()))
        })
        .collect();
    let unknown = unknown_row(parts.len(), none);
    let rest = known.split_off(known.len().min(IN_VIEW));
    match first {
        First::Part(_) => {
            rows.extend(known);
            rows.extend([unknown, open_row()]);
        }
        First::Open => {
            rows.push(open_row());
            rows.extend(known);
            rows.push(unknown);
        }
        First::Unknown => {
            rows.push(unknown);
            rows.extend(known);
            rows.push(open_row());
        }
    }
    rows.extend(rest);
    let others = said.parts.as_ref().map(|a| a.unlisted);
    Choices {
        told: told(&rows, decides.as_deref()),
        rows,
        marked: 0,
        others: others.filter(|p| *p >= 0.001).map(percent),
        also: also(view, asked, &said.question.seen),
        code: code(&said),
        decides,
        fault: None,
    }
}

fn question(asked: &Asked) -> Result<Question, Problem> {
    let words = CluesAsText {
        package: asked.package.as_deref(),
        ..CluesAsText::default()
    };
    Question::new(&asked.text, &words)
}

/// Names of the parts that were read on the same board.
fn beside(view: &View, asked: &Asked) -> Vec<String> {
    let Some(board) = asked.board.as_deref() else {
        return Vec::new();
    };
    let on_board = view.dossier.items.iter().filter(|item| {
        item.parent.as_deref() == Some(board) && asked.item.as_deref() != Some(item.id.as_str())
    });
    let identities = on_board.filter_map(|item| item.part.as_ref()?.identity.as_ref());
    identities
        .filter(|identity| identity.certainty == Certainty::Read)
        .map(|identity| identity.name.clone())
        .collect()
}

/// Says what decides between the likeliest and its rival.
fn decides(by: &Decides) -> Option<String> {
    let or = |one: &str, other: &str| match (one, other) {
        ("", only) | (only, "") => format!("whether {only} is there"),
        (one, other) => format!("{one} or {other}"),
    };
    match by {
        Decides::Characters { line, places } => {
            let place = places.first()?;
            let line = line.map_or_else(String::new, |line| format!(" of line {line}"));
            Some(format!(
                "Character {}{line} decides: {}.",
                place.place,
                or(&place.one, &place.other)
            ))
        }
        Decides::Fact { what, values } => {
            Some(format!("The {what} decides: {}.", values.join(" or ")))
        }
        Decides::Ending([one, other]) => Some(format!("The ending decides: {}.", or(one, other))),
        Decides::Nothing => None,
    }
}

/// What a marking says as a code, where it is likelier one than a part number.
fn code(said: &Said) -> Option<String> {
    let Verdict::Code(line, reading) = said.verdict() else {
        return None;
    };
    let meaning = reading.meaning.trim_end_matches('.');
    Some(format!("{line} as a code: {meaning}"))
}

/// Says in a sentence what there is to choose from.
fn told(rows: &[Choice], decides: Option<&str>) -> String {
    let parts = rows.iter().filter(|row| row.sort == Sort::Part);
    let count = parts.clone().count();
    let mut text = match count {
        0 => "no candidate".to_string(),
        1 => "1 candidate".to_string(),
        n => format!("{n} candidates"),
    };
    if let Some(row) = rows.first() {
        text.push_str(&format!("; {}", row.name));
        text.extend(row.word.map(|word| format!(" {word}")));
    }
    text.extend(decides.map(|by| format!("; {}", by.trim_end_matches('.').to_lowercase())));
    text
}
