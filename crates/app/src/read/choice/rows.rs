//! The rows that a marking offers: equal markings here, known parts, and those that name none.
//!
//! In: what is said of a marking. Out: rows with what is recorded when each is taken.
//! Not here: in which order they stand, and which is marked (`choice`).

use super::{Asked, Choice, First, Sort, first, word};
use crate::desk::View;
use crate::read::Said;
use catalogue::Part;
use marking::{Candidate, ClueKind, EntryKind, Factor, Pair};
use methods::words::percent;
use record::marking::Seen;
use record::{Certainty, Identity, Item};

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
pub(super) fn also(view: &View, asked: &Asked, seen: &Seen) -> Vec<String> {
    let open = |item: &&Item| item.part.as_ref().is_some_and(|p| p.identity.is_none());
    let items = same(view, asked, seen).into_iter().filter(open);
    items.map(|item| item.id.clone()).collect()
}

/// Rows that take over what was decided for an equal marking; one for each identity.
pub(super) fn as_on(view: &View, asked: &Asked, seen: &Seen) -> Vec<Choice> {
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

pub(super) fn open_row() -> Choice {
    plain_row(Sort::Open, "As seen, identity open".to_string(), None)
}

pub(super) fn unknown_row(known: usize, none: f64) -> Choice {
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

pub(super) fn candidate_row(
    candidate: &Candidate,
    part: &Part,
    said: &Said,
    decides: Option<&str>,
) -> Choice {
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
