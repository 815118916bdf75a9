//! What a marking may be, to choose from while it is typed.
//!
//! In: a dossier under the hand, the text as far as it is typed, what was measured of the body. Out: rows to choose
//! from, which one is marked, and what a second look would decide.
//! Not here: what is written when a row is taken (`plates`).
//!
//! Which row is marked is decided in [`first`] alone. From [`READ`] on the likeliest part is taken as read; from
//! [`HALF`] on as inferred; below that the row that leaves the identity open stands first, and where more than half
//! speaks for no known part, the row that says so.

use super::{CluesAsText, Decides, Question, Said, Verdict, ask};
use crate::Problem;
use crate::desk::{self, View};
use catalogue::Part;
use codes::Context;
use marking::{Candidate, ClueKind, EntryKind, Factor, Pair, Scratch};
use methods::words::percent;
use record::marking::Seen;
use record::{Certainty, Identity, Item};
use serde::{Deserialize, Serialize};
use std::cell::RefCell;
use std::sync::Arc;

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

thread_local! {
    /// What a search works in; made once a thread, as it grows with the catalogue.
    static SCRATCH: RefCell<Scratch> = RefCell::default();
}

/// As [`choices`], beside those who wait.
///
/// # Errors
/// A fault of the program.
pub async fn choose(view: Arc<View>, asked: Asked) -> Result<Choices, Problem> {
    desk::blocking(move || {
        let said = SCRATCH.with_borrow_mut(|scratch| choices(&view, &asked, scratch));
        Ok(said)
    })
    .await
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

/// Other items with the same marking.
fn same<'v>(view: &'v View, asked: &Asked, seen: &Seen) -> Vec<&'v Item> {
    let items = view.dossier.items.iter();
    items
        .filter(|item| asked.item.as_deref() != Some(item.id.as_str()))
        .filter(|item| {
            let marking = item.part.as_ref().map(|part| &part.marking);
            marking.is_some_and(|lines| {
                !lines.is_empty() && Seen::of_lines(lines).is_ok_and(|other| other == *seen)
            })
        })
        .collect()
}

/// The items with the same marking whose identity is open.
fn also(view: &View, asked: &Asked, seen: &Seen) -> Vec<String> {
    let open = |item: &&Item| item.part.as_ref().is_some_and(|p| p.identity.is_none());
    let items = same(view, asked, seen).into_iter().filter(open);
    items.map(|item| item.id.clone()).collect()
}

/// Rows that take over what was decided for an equal marking; one for each identity.
fn as_on(view: &View, asked: &Asked, seen: &Seen) -> Vec<Choice> {
    let mut rows: Vec<Choice> = Vec::new();
    for item in same(view, asked, seen) {
        let Some(facts) = item.part.as_ref() else {
            continue;
        };
        let Some(identity) = &facts.identity else {
            continue;
        };
        let is_new = |row: &Choice| row.identity.as_ref().map(|i| &i.name) != Some(&identity.name);
        if !rows.iter().all(is_new) {
            continue;
        }
        let certainty = match identity.certainty {
            Certainty::Read => "read",
            Certainty::Inferred => "inferred",
            Certainty::Assumed => "assumed",
            Certainty::Unknown => "unknown how",
        };
        let called = item.designator.as_deref().unwrap_or(&item.name);
        rows.push(Choice {
            sort: Sort::AsOn,
            name: format!("as on {}: {}", item.name, identity.name),
            letters: Vec::new(),
            percent: None,
            word: None,
            about: certainty.to_string(),
            against: Vec::new(),
            identity: Some(Identity {
                because: Some(format!("same marking as {called}")),
                evidence: Vec::new(),
                ..identity.clone()
            }),
            package: facts.package.clone(),
            pins: facts.pins,
            role: item.role.clone(),
            unlike: false,
        });
    }
    let unlike = rows.len() > 1;
    rows.iter_mut().for_each(|row| row.unlike = unlike);
    rows
}

fn plain_row(sort: Sort, name: String, probability: Option<f64>) -> Choice {
    Choice {
        sort,
        name,
        letters: Vec::new(),
        percent: probability.map(percent),
        word: probability.map(word),
        about: String::new(),
        against: Vec::new(),
        identity: None,
        package: None,
        pins: None,
        role: None,
        unlike: false,
    }
}

fn open_row() -> Choice {
    plain_row(Sort::Open, "As seen, identity open".to_string(), None)
}

fn unknown_row(known: usize, none: f64) -> Choice {
    let name = match known {
        0 => "No part is known here".to_string(),
        1 => "Not the one known part".to_string(),
        n => format!("None of the {} known parts", counted(n)),
    };
    plain_row(Sort::Unknown, name, Some(none).filter(|_| known > 0))
}

/// Writes a number with a narrow space between thousands.
fn counted(n: usize) -> String {
    let digits = n.to_string();
    if digits.len() < 5 {
        return digits;
    }
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push('\u{202f}');
        }
        text.push(digit);
    }
    text
}

fn candidate_row(candidate: &Candidate, part: &Part, said: &Said, decides: Option<&str>) -> Choice {
    let p = candidate.probability;
    let package = candidate.package.and_then(|at| part.packages.get(at));
    let package = package.or(part.packages.first()).cloned();
    let agrees = |clue: ClueKind| {
        let mut factors = candidate.factors.iter();
        factors.any(|f| f.clue == clue && f.log_odds > 0.0)
    };
    let mut about: Vec<String> = [&part.maker, &part.role]
        .into_iter()
        .filter(|text| !text.is_empty())
        .cloned()
        .collect();
    if candidate.kind != EntryKind::Name {
        about.push(format!("marked {}", candidate.name));
    }
    if let Some(package) = &package {
        let agrees = agrees(ClueKind::Package) || agrees(ClueKind::Body);
        let agrees = if agrees { " agrees" } else { "" };
        about.push(format!("{package}{agrees}"));
    }
    let against = candidate.factors.iter().filter(|f| f.log_odds < 0.0);
    let against: Vec<String> = against.map(|f| contradicts(f, part, said)).collect();
    let certainty = match first(Some(p), 0.0) {
        First::Part(certainty) => certainty,
        First::Open | First::Unknown => Certainty::Inferred,
    };
    let filled = |text: &String| Some(text.clone()).filter(|t| !t.is_empty());
    let because = match certainty {
        Certainty::Read => None,
        _ => Some(because(candidate, p, &about, &against, decides)),
    };
    Choice {
        letters: letters(candidate, &part.name),
        percent: Some(percent(p)),
        word: Some(word(p)),
        about: about.join(" · "),
        against,
        identity: Some(Identity {
            name: part.name.clone(),
            maker: filled(&part.maker),
            certainty,
            because,
            evidence: Vec::new(),
        }),
        package,
        pins: part.pins,
        role: filled(&part.role),
        ..plain_row(Sort::Part, part.name.clone(), None)
    }
}

/// What is proposed as the reason of an identity that was not read.
fn because(
    candidate: &Candidate,
    p: f64,
    about: &[String],
    against: &[String],
    decides: Option<&str>,
) -> String {
    let same = |pair: &&Pair| matches!(pair, Pair::Same { .. });
    let read = candidate.alignment.iter().filter(same).count();
    let mut words = vec![format!(
        "{read} of {} characters agree, {}",
        candidate.alignment.len(),
        percent(p)
    )];
    words.extend(about.iter().filter(|t| t.ends_with(" agrees")).cloned());
    words.extend(against.iter().map(|text| format!("though {text}")));
    words.extend(decides.map(|text| text.trim_end_matches('.').to_lowercase()));
    words.join("; ")
}

/// Says what speaks against a part.
fn contradicts(factor: &Factor, part: &Part, said: &Said) -> String {
    let clues = &said.question.clues;
    match (factor.clue, part.body_mm, clues.body_mm) {
        (ClueKind::Body, Some([long, short]), Some(seen)) => {
            let seen = [seen[0].max(seen[1]), seen[0].min(seen[1])];
            let (by_length, by_width) = (long - seen[0], short - seen[1]);
            let (by, [more, less]) = match by_length.abs() >= by_width.abs() {
                true => (by_length, ["longer", "shorter"]),
                false => (by_width, ["wider", "narrower"]),
            };
            let word = if by > 0.0 { more } else { less };
            format!("its body is {:.1} mm {word}", by.abs())
        }
        (ClueKind::Package, ..) => match part.packages.first() {
            Some(package) => format!("it comes in {package}"),
            None => "its package is another".to_string(),
        },
        (ClueKind::Body, ..) => "its body is another".to_string(),
        (ClueKind::Pins, ..) => "its pins are others".to_string(),
        (ClueKind::Pitch, ..) => "its pitch is another".to_string(),
        (ClueKind::Maker, ..) => "its maker is another".to_string(),
        (ClueKind::Role, ..) => "it does something else".to_string(),
        (ClueKind::SeenBefore, ..) => "it was not seen with these neighbours".to_string(),
        (ClueKind::Room, ..) => "the text has no room on its body".to_string(),
    }
}

/// The letters of a name, and which are not as seen; none where something else than the name was matched.
fn letters(candidate: &Candidate, name: &str) -> Vec<(char, bool)> {
    if candidate.kind != EntryKind::Name {
        return Vec::new();
    }
    let wanted = candidate.alignment.iter().filter_map(|pair| match *pair {
        Pair::Same { .. } => Some(false),
        Pair::Swapped { .. } | Pair::Open { .. } | Pair::Lost { .. } | Pair::Missing { .. } => {
            Some(true)
        }
        Pair::Extra { .. } | Pair::Added { .. } => None,
    });
    let mut wanted = wanted.fuse();
    name.chars()
        .map(|c| {
            let other = c.is_alphanumeric() && wanted.next().unwrap_or(false);
            (c, other)
        })
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
