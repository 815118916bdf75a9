//! What an answer comes to, and where a second look would change it.
//!
//! In: what is [`Said`] of one text. Out: its [`Verdict`], and what decides between the likeliest part and its rival.
//! Not here: sentences.

use super::Said;
use catalogue::Part;
use codes::Reading;
use marking::{Candidate, Clues, EntryKind, Refusal};
use methods::markings::{Apart, apart};

/// A marking that leaves even the likeliest part this improbable says too little to be an answer.
const TELLING: f64 = 0.1;

/// A rival less probable than this share of the likeliest is not asked about.
const RIVAL: f64 = 0.05;

/// What an answer comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict<'a> {
    /// Probably a known part, of which this is the likeliest.
    Part(&'a Candidate),
    /// One of the known parts, but too little was read to tell which; this is the likeliest.
    Open(&'a Candidate),
    /// No known part, but it may be read as a code: the line and its likeliest reading.
    Code(&'a str, &'a Reading),
    /// Nothing that is known fits; the nearest part if there is one.
    Nothing(Option<&'a Candidate>),
    /// It was not looked up.
    Refused(Refusal),
    /// No catalogue was there to look it up in, and it is no code.
    NoCatalogue,
}

/// What tells the likeliest part and its rival apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Decides {
    /// Characters of the marking, and the line they stand in when there are several, from 1.
    Characters {
        /// The line.
        line: Option<usize>,
        /// Where the names want different characters.
        places: Vec<Apart>,
    },
    /// Something of the part that is not written on it: what it is, and its value for both.
    Fact {
        /// What of the part.
        what: &'static str,
        /// Its values, that of the likeliest first.
        values: Vec<String>,
    },
    /// What stands after the last character that was seen; the likeliest's first, empty for nothing.
    Ending([String; 2]),
    /// Nothing that is known of them.
    Nothing,
}

impl Said {
    /// Returns what the answer comes to.
    pub fn verdict(&self) -> Verdict<'_> {
        let code = || {
            let readings = self.codes.iter();
            readings
                .filter_map(|(line, readings)| Some((line.as_str(), readings.first()?)))
                .max_by(|a, b| a.1.likelihood.total_cmp(&b.1.likelihood))
                .map(|(line, reading)| Verdict::Code(line, reading))
        };
        let Some(answer) = &self.parts else {
            return code().unwrap_or(Verdict::NoCatalogue);
        };
        match (answer.candidates.first(), answer.refusal) {
            (Some(best), _) if answer.none < 0.5 && best.probability >= TELLING => {
                Verdict::Part(best)
            }
            (Some(best), _) if answer.none < 0.5 => code().unwrap_or(Verdict::Open(best)),
            (_, Some(refusal)) => code().unwrap_or(Verdict::Refused(refusal)),
            (nearest, None) => code().unwrap_or(Verdict::Nothing(nearest)),
        }
    }

    /// Returns whether something known fits.
    pub fn is_answered(&self) -> bool {
        matches!(self.verdict(), Verdict::Part(_) | Verdict::Code(..))
    }

    /// Returns the likeliest part's rival, if one is to be reckoned with.
    pub fn rival(&self) -> Option<&Candidate> {
        let second = self.parts.as_ref()?.candidates.get(1);
        second.filter(|second| self.is_rival(second))
    }

    /// Returns whether a candidate is to be reckoned with.
    pub fn is_rival(&self, candidate: &Candidate) -> bool {
        let best = self.parts.as_ref().and_then(|a| a.candidates.first());
        best.is_some_and(|best| candidate.probability >= RIVAL * best.probability)
    }

    /// Returns what decides between the likeliest part and its rival; `None` without a rival.
    pub fn decides(&self, parts: &[Part]) -> Option<Decides> {
        self.decides_against(self.rival()?, parts)
    }

    /// Returns what decides between the likeliest part and another.
    pub fn decides_against(&self, rival: &Candidate, parts: &[Part]) -> Option<Decides> {
        let best = self.parts.as_ref()?.candidates.first()?;
        let length = best.alignment.len();
        let comparable = (best.line, best.joined) == (rival.line, rival.joined);
        let places = if comparable {
            apart(best, rival)
        } else {
            Vec::new()
        };
        let (seen, unseen): (Vec<Apart>, Vec<Apart>) = places.into_iter().partition(|p| p.seen);
        if !seen.is_empty() && seen.len() < length {
            let several = self.question.seen.lines.len() > 1 && !best.joined;
            let line = several.then_some(best.line + 1);
            return Some(Decides::Characters { line, places: seen });
        }
        let fact = fact([best, rival].into_iter(), parts, &self.question.clues);
        Some(match (fact, unseen.into_iter().next()) {
            (Decides::Nothing, Some(ending)) => Decides::Ending([ending.one, ending.other]),
            (fact, _) => fact,
        })
    }

    /// Returns what decides between relatives whose names differ in what was not seen.
    pub fn decides_among(&self, members: &[usize], parts: &[Part]) -> Decides {
        let candidates = self.parts.as_ref().map_or(&[][..], |a| &a.candidates);
        let members = members.iter().filter_map(|at| candidates.get(*at));
        fact(members, parts, &self.question.clues)
    }
}

/// Returns the packages in which a part can carry the name or code that was matched.
fn packages(candidate: &Candidate, part: &Part) -> Vec<String> {
    let same = |code: &&catalogue::TopCode| code.text == candidate.name;
    let on_code = part.codes.iter().filter(same);
    let on_code: Vec<String> = on_code.map(|code| code.package.clone()).collect();
    let known = candidate.kind == EntryKind::Code && on_code.iter().all(|p| !p.is_empty());
    if known {
        on_code
    } else {
        part.packages.clone()
    }
}

/// Values of one thing that can be told from the outside, and whether it is known already.
type Outside<'a> = (
    &'static str,
    bool,
    &'a dyn Fn(&Candidate, &Part) -> Vec<String>,
);

/// Returns the first thing that can be told from the outside, is not known yet and differs.
fn fact<'a>(
    candidates: impl Iterator<Item = &'a Candidate> + Clone,
    parts: &[Part],
    known: &Clues,
) -> Decides {
    let one = |text: Option<String>| text.filter(|t| !t.is_empty()).into_iter().collect();
    let outside: [Outside<'_>; 4] = [
        ("package", known.package.is_some(), &packages),
        ("number of pins", known.pins.is_some(), &|_, part| {
            one(part.pins.map(|n| n.to_string()))
        }),
        ("size of the body", known.body_mm.is_some(), &|_, part| {
            one(part.body_mm.map(|[l, w]| format!("{l} × {w} mm")))
        }),
        ("maker", known.maker.is_some(), &|_, part| {
            one(Some(part.maker.clone()))
        }),
    ];
    for (what, _, of) in outside.into_iter().filter(|(_, is_known, _)| !is_known) {
        let found: Option<Vec<Vec<String>>> = candidates
            .clone()
            .map(|c| Some(of(c, parts.get(c.part)?)).filter(|values| !values.is_empty()))
            .collect();
        let Some(found) = found else { continue };
        let mut values: Vec<String> = Vec::new();
        let apart = found.iter().enumerate().all(|(n, own)| {
            let fresh = !own.iter().any(|value| values.contains(value));
            // Relatives may share one; the likeliest shares none.
            let counts = fresh || n > 1;
            values.extend(
                own.iter()
                    .filter(|v| !found[..n].concat().contains(v))
                    .cloned(),
            );
            counts
        });
        if apart && found.len() > 1 {
            return Decides::Fact { what, values };
        }
    }
    Decides::Nothing
}
