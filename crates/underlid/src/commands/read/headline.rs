//! The answer in one sentence: what it most likely is, how sure that is, and where to look again.

use app::read::{Decides, Family, Reader, Said, Verdict, families};
use marking::{Candidate, Pair};
use methods::markings::Apart;
use methods::words::percent;

/// As good as sure: the sentence need not say "most likely".
pub(super) const SURE: f64 = 0.95;
/// Nothing is asked about an answer surer than this.
const SETTLED: f64 = 0.99;
/// Places named at most.
const PLACES: usize = 2;
/// Alternatives named at most.
const NAMED: usize = 4;

/// Returns the sentence, without what was asked.
pub(super) fn headline(said: &Said, reader: &Reader) -> String {
    let parts = reader.known().parts();
    let known = match parts.len() {
        1 => "the only known part".to_string(),
        n => format!("the {n} known parts"),
    };
    match said.verdict() {
        Verdict::Part(best) => {
            let answer = said.parts.as_ref();
            let families = answer.map_or_else(Vec::new, |a| families(a, parts));
            let family = families
                .iter()
                .find(|family| family.members.contains(&0))
                .filter(|family| family.members.len() > 1 && family.probability >= 0.5);
            match family {
                Some(family) if best.probability < 0.5 => relatives(said, family, reader),
                _ if best.probability >= SETTLED => likeliest(said, best, reader),
                _ => likeliest(said, best, reader) + &look(said, best, reader),
            }
        }
        Verdict::Open(best) => format!(
            "too little was read to tell; the likeliest of {known} is {}, {}",
            reader.name(best),
            percent(best.probability)
        ),
        Verdict::Code(line, reading) => {
            let of_line = match said.codes.len() {
                1 => String::new(),
                _ => format!(" “{line}”"),
            };
            let code = format!(
                "as a code{of_line}: {}, {}",
                reading.meaning.trim_end_matches('.'),
                percent(reading.likelihood)
            );
            match &said.parts {
                Some(answer) if answer.refusal.is_none() => format!("none of {known}; {code}"),
                _ => code,
            }
        }
        Verdict::Nothing(nearest) => {
            let none = said.parts.as_ref().map_or(1.0, |answer| answer.none);
            let nearest = nearest.map(|c| {
                format!(
                    "; the nearest is {}, {}",
                    reader.name(c),
                    percent(c.probability)
                )
            });
            format!(
                "none of {known}, {}{}",
                percent(none),
                nearest.unwrap_or_default()
            )
        }
        Verdict::Refused(refusal) => format!("not looked up: {refusal}"),
        Verdict::NoCatalogue => no_catalogue(reader).to_string(),
    }
}

/// Says why no part is looked up.
pub(super) fn no_catalogue(reader: &Reader) -> &'static str {
    if reader.has_catalogue() {
        "the catalogue holds no part, so that none is looked up"
    } else {
        "no catalogue was named, so that no part is looked up; name one with --catalogue FILE"
    }
}

/// Names a part, and its maker where another part of that name may be meant.
fn called(said: &Said, candidate: &Candidate, reader: &Reader) -> String {
    let name = reader.name(candidate);
    let mut all = said.parts.iter().flat_map(|answer| &answer.candidates);
    let parts = reader.known().parts();
    let maker = parts.get(candidate.part).map_or("", |p| p.maker.as_str());
    let another = all.any(|c| c.part != candidate.part && reader.name(c) == name);
    if another && !maker.is_empty() {
        format!("{name} by {maker}")
    } else {
        name
    }
}

fn likeliest(said: &Said, best: &Candidate, reader: &Reader) -> String {
    let name = called(said, best, reader);
    let sure = percent(best.probability);
    if best.probability >= SURE {
        return format!("{name}, {sure}");
    }
    if best.probability >= 0.5 {
        return format!("most likely {name}, {sure}");
    }
    match said.rival() {
        Some(rival) => format!(
            "{name}, {sure}, or {}, {}",
            called(said, rival, reader),
            percent(rival.probability)
        ),
        None => format!("perhaps {name}, {sure}"),
    }
}

/// Names relatives that the marking does not tell apart, and what does.
fn relatives(said: &Said, family: &Family, reader: &Reader) -> String {
    let candidates = said.parts.as_ref().map_or(&[][..], |a| &a.candidates);
    let likely: Vec<usize> = family
        .members
        .iter()
        .copied()
        .filter(|at| said.is_rival(&candidates[*at]))
        .collect();
    let names: Vec<String> = likely
        .iter()
        .map(|at| reader.name(&candidates[*at]))
        .collect();
    let parts = reader.known().parts();
    let look = said.decides_among(&likely, parts);
    // A character that was seen may speak against the whole family.
    let outside = (0..candidates.len()).find(|at| !family.members.contains(at));
    let outside = outside
        .map(|at| &candidates[at])
        .filter(|c| said.is_rival(c));
    let against = outside.and_then(|rival| said.decides_against(rival, parts));
    let against = match (against, candidates.first()) {
        (Some(Decides::Characters { line, places }), Some(best)) => characters(best, line, places),
        _ => String::new(),
    };
    format!(
        "most likely one of the {}, {}: {}{against}{}",
        family.head,
        percent(family.probability),
        or(&names),
        match look {
            Decides::Nothing => "; only the ending tells them apart".to_string(),
            look => look_at(&look),
        }
    )
}

/// Lists alternatives, a few of them by name.
fn or(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [some @ .., last] if names.len() <= NAMED => format!("{} or {last}", some.join(", ")),
        _ => format!(
            "{} or {} more",
            names[..NAMED].join(", "),
            names.len() - NAMED
        ),
    }
}

fn look_at(decides: &Decides) -> String {
    match decides {
        Decides::Fact { what, values } => format!("; look at the {what}: {}", or(values)),
        Decides::Ending([one, other]) => {
            format!("; look for an ending: {}", alternatives(one, other))
        }
        _ => "; nothing that is listed tells them apart".to_string(),
    }
}

/// Says where to look again.
fn look(said: &Said, best: &Candidate, reader: &Reader) -> String {
    match said.decides(reader.known().parts()) {
        Some(Decides::Characters { line, places }) => characters(best, line, places),
        Some(other) => look_at(&other),
        None if best.probability < SURE => misread(best),
        None => String::new(),
    }
}

/// Names the characters to look at, first those that were not read for sure.
fn characters(best: &Candidate, line: Option<usize>, mut places: Vec<Apart>) -> String {
    let of_line = line.map_or_else(String::new, |n| format!(" of line {n}"));
    places.sort_by_key(|place| read_for_sure(best, place.place));
    if let [one] = &places[..] {
        let (at, either) = at(one);
        return format!("; look {at} {}{of_line}: {either}", one.place);
    }
    let named: Vec<String> = places.iter().take(PLACES).map(place).collect();
    format!("; look at characters {}{of_line}", named.join(" and "))
}

fn place(place: &Apart) -> String {
    format!(
        "{} ({})",
        place.place,
        alternatives(&place.one, &place.other)
    )
}

/// Says where one place is and what may stand there. Where both names go on with the same character, what differs
/// was lost before it.
fn at(place: &Apart) -> (&'static str, String) {
    let (one, other) = (&place.one, &place.other);
    if let (Some((a, last)), Some((b, same))) = (but_last(one), but_last(other))
        && last.eq_ignore_ascii_case(&same)
    {
        return ("before character", alternatives(a, b));
    }
    ("at character", alternatives(one, other))
}

fn but_last(text: &str) -> Option<(&str, char)> {
    let last = text.chars().next_back()?;
    Some((text.strip_suffix(last)?, last))
}

fn alternatives(one: &str, other: &str) -> String {
    match (one, other) {
        ("", only) => format!("none or {only}"),
        (only, "") => format!("{only} or none"),
        (one, other) => format!("{one} or {other}"),
    }
}

/// The characters seen, in order, with what the name has there.
fn seen(best: &Candidate) -> impl Iterator<Item = &Pair> {
    let unseen = |pair: &&Pair| !matches!(pair, Pair::Lost { .. } | Pair::Missing { .. });
    best.alignment.iter().filter(unseen)
}

fn read_for_sure(best: &Candidate, place: usize) -> bool {
    seen(best)
        .nth(place - 1)
        .is_some_and(|pair| matches!(pair, Pair::Same { .. }))
}

/// Names the first character that the name has otherwise.
fn misread(best: &Candidate) -> String {
    let otherwise = seen(best).enumerate().find_map(|(at, pair)| match *pair {
        Pair::Swapped { seen, name } => Some((at + 1, seen, name)),
        _ => None,
    });
    otherwise.map_or_else(String::new, |(place, seen, name)| {
        format!("; look at character {place}: {seen} or {name}")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(one: &str, other: &str, expected: &str) {
        let place = Apart {
            place: 4,
            one: one.into(),
            other: other.into(),
            seen: true,
        };
        let (at, either) = at(&place);
        assert_eq!(format!("{at} {}: {either}", place.place), expected);
    }

    #[test]
    fn a_character_lost_between_two_is_looked_for_before_the_second() {
        check("1", "2", "at character 4: 1 or 2");
        check("", "A", "at character 4: none or A");
        check("18", "28", "before character 4: 1 or 2");
        check("8", "A8", "before character 4: none or A");
        check("1µ", "2µ", "before character 4: 1 or 2");
    }
}
