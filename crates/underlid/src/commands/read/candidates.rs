//! The parts that a marking may belong to: relatives under one head, what they share beside the head, what tells
//! them apart beside each.

use super::rows::Rows;
use app::read::{Family, Reader, families};
use catalogue::Part;
use marking::{Answer, Candidate, EntryKind};
use methods::markings::aligned;
use methods::words::percent;
use report::Tone;

/// Families and members shown unless all are asked for.
const FAMILIES: usize = 4;
const MEMBERS: usize = 4;
/// What is less probable is shown only when all is asked for, but for the likeliest.
const LEAST: f64 = 0.005;
/// A clue that speaks so strongly against a part, in nats, is told with it.
const AGAINST: f64 = -1.0;

/// What is known of a part, in the order in which it is told.
type Facts = Vec<String>;

pub(super) fn candidates(rows: &mut Rows, answer: &Answer, reader: &Reader, all: bool) {
    let found = families(answer, reader.known().parts());
    let mut hidden = 0;
    for (n, family) in found.iter().enumerate() {
        let worth = n == 0 || (n < FAMILIES && family.probability >= LEAST);
        if all || worth {
            hidden += show(rows, family, answer, reader, all);
        } else {
            hidden += family.members.len();
        }
    }
    if answer.unlisted >= LEAST {
        rows.row(Tone::Quiet, &percent(answer.unlisted), "others", "");
    }
    let known = match reader.known().parts().len() {
        1 => "one part is known".to_string(),
        n => format!("{n} parts are known"),
    };
    rows.row(Tone::Quiet, &percent(answer.none), "none of these", &known);
    if !all && !answer.candidates.is_empty() {
        let rest = match hidden {
            0 => "--all shows what speaks for each".to_string(),
            1 => "--all shows one more part, and what speaks for each".to_string(),
            n => format!("--all shows {n} more parts, and what speaks for each"),
        };
        rows.note(&rest);
    }
}

/// Shows a family; returns how many of its members were left out.
fn show(rows: &mut Rows, family: &Family, answer: &Answer, reader: &Reader, all: bool) -> usize {
    let parts = reader.known().parts();
    let candidate = |at: usize| &answer.candidates[at];
    let facts: Vec<Facts> = family
        .members
        .iter()
        .map(|at| {
            let candidate = candidate(*at);
            let part = parts.get(candidate.part);
            part.map_or_else(Vec::new, |part| known(part, candidate.package))
        })
        .collect();
    let worth = |n: usize| {
        let probability = candidate(family.members[n]).probability;
        all || n == 0 || (n < MEMBERS && probability >= LEAST)
    };
    let shown = (0..family.members.len()).filter(|n| worth(*n));
    if shown.clone().count() == 1 {
        let at = family.members[0];
        let candidate = candidate(at);
        let told = matched(candidate, reader)
            .into_iter()
            .chain(facts[0].clone());
        rows.row(
            tone(at),
            &percent(candidate.probability),
            &reader.name(candidate),
            &filled(told.collect()),
        );
        explain(rows, candidate, reader, all);
        return family.members.len() - 1;
    }
    let shared = |fact: usize| facts.iter().all(|f| f.get(fact) == facts[0].get(fact));
    let of_all = (0..facts[0].len()).filter(|fact| shared(*fact));
    let of_all: Facts = of_all.map(|fact| facts[0][fact].clone()).collect();
    rows.row(
        tone(family.members[0]),
        &percent(family.probability),
        &family.head,
        &filled(of_all),
    );
    for n in shown.clone() {
        let candidate = candidate(family.members[n]);
        let own = facts[n]
            .iter()
            .enumerate()
            .filter(|(fact, _)| !shared(*fact));
        let own = own.map(|(_, fact)| fact.clone());
        let told = matched(candidate, reader).into_iter().chain(own);
        rows.member(
            &percent(candidate.probability),
            &reader.name(candidate),
            &filled(told.collect()),
        );
        explain(rows, candidate, reader, all);
    }
    family.members.len() - shown.count()
}

fn tone(place: usize) -> Tone {
    if place == 0 { Tone::Bold } else { Tone::Plain }
}

/// What is known of a part; empty where it is not, so that the same fact stands at the same place. The package that
/// agrees best with the one that was asked for stands first.
fn known(part: &Part, asked: Option<usize>) -> Facts {
    let mut packages: Vec<&str> = part.packages.iter().map(String::as_str).collect();
    if let Some(asked) = asked.filter(|n| *n < packages.len()) {
        packages[..=asked].rotate_right(1);
    }
    vec![
        part.maker.clone(),
        part.role.clone(),
        packages.join(" or "),
        match part.pins {
            None => String::new(),
            Some(1) => "1 pin".to_string(),
            Some(n) => format!("{n} pins"),
        },
        part.body_mm
            .map(|[l, w]| format!("{l} × {w} mm"))
            .unwrap_or_default(),
        part.description.clone(),
    ]
}

fn filled(mut facts: Facts) -> String {
    facts.retain(|fact| !fact.is_empty());
    facts.join(", ")
}

/// Says by what other name a part was found, and on which package a code of it stands.
fn matched(candidate: &Candidate, reader: &Reader) -> Option<String> {
    match candidate.kind {
        EntryKind::Name => None,
        EntryKind::Alias => Some(format!("also called {}", candidate.name)),
        EntryKind::Code => {
            let part = reader.known().parts().get(candidate.part)?;
            let same = part.codes.iter().filter(|c| c.text == candidate.name);
            let on: Vec<&str> = same
                .map(|code| code.package.as_str())
                .filter(|package| !package.is_empty())
                .collect();
            Some(if on.is_empty() {
                format!("marked {}", candidate.name)
            } else {
                format!("marked {} on {}", candidate.name, on.join(" and "))
            })
        }
    }
}

/// Shows what speaks against a part, or all that was weighed.
fn explain(rows: &mut Rows, candidate: &Candidate, reader: &Reader, all: bool) {
    if !all {
        for factor in candidate.factors.iter().filter(|f| f.log_odds <= AGAINST) {
            let text = factor.to_string();
            let (says, _) = text.split_once(':').unwrap_or((&text, ""));
            rows.below(Tone::Accent, says);
        }
        return;
    }
    let [above, below] = aligned(candidate);
    if above != below {
        rows.below(Tone::Quiet, &format!("seen  {above}"));
        rows.below(Tone::Quiet, &format!("name  {below}"));
    }
    let factors: Vec<String> = candidate.factors.iter().map(ToString::to_string).collect();
    if !factors.is_empty() {
        rows.below(Tone::Quiet, &factors.join("; "));
    }
    let part = reader.known().parts().get(candidate.part);
    if let Some(part) = part.filter(|part| !part.known_from.is_empty()) {
        rows.below(Tone::Quiet, &format!("known from {}", part.known_from));
    }
}
