//! What an answer comes to, and where a second look would change it.
//!
//! In: what is [`Said`] of one text. Out: its [`Verdict`], and what decides between the likeliest part and its rival.
//! Not here: sentences.

use super::Said;
use catalogue::Part;
use codes::Reading;
use marking::{Candidate, Refusal};
use methods::markings::{Apart, apart};

/// A rival less probable than this share of the likeliest is not asked about.
const RIVAL: f64 = 0.02;

/// What an answer comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict<'a> {
    /// Probably a known part, of which this is the likeliest.
    Part(&'a Candidate),
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
        /// Which column of a catalogue.
        column: &'static str,
        /// The value of the likeliest.
        one: String,
        /// The value of its rival.
        other: String,
    },
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
            (Some(best), _) if answer.none < 0.5 => Verdict::Part(best),
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
        let [best, second, ..] = &self.parts.as_ref()?.candidates[..] else {
            return None;
        };
        (second.probability >= RIVAL * best.probability).then_some(second)
    }

    /// Returns what decides between the likeliest part and its rival; `None` without a rival.
    pub fn decides(&self, parts: &[Part]) -> Option<Decides> {
        let best = self.parts.as_ref()?.candidates.first()?;
        let rival = self.rival()?;
        let length = best.alignment.len();
        if (best.line, best.joined) == (rival.line, rival.joined) {
            let mut places = apart(best, rival);
            // What neither of them saw cannot be looked at again.
            places.retain(|place| place.seen);
            if !places.is_empty() && places.len() < length {
                let several = self.question.seen.lines.len() > 1 && !best.joined;
                let line = several.then_some(best.line + 1);
                return Some(Decides::Characters { line, places });
            }
        }
        let (one, other) = (parts.get(best.part)?, parts.get(rival.part)?);
        Some(fact(one, other))
    }
}

/// Returns the first thing that can be told from the outside and differs.
fn fact(one: &Part, other: &Part) -> Decides {
    let seen_outside: [(&'static str, fn(&Part) -> String); 4] = [
        ("package", |part| part.packages.join(" or ")),
        ("pins", |part| {
            part.pins.map(|n| n.to_string()).unwrap_or_default()
        }),
        ("body", |part| {
            let sides = part.body_mm.map(|[l, w]| format!("{l} × {w} mm"));
            sides.unwrap_or_default()
        }),
        ("maker", |part| part.maker.clone()),
    ];
    for (column, of) in seen_outside {
        let (one, other) = (of(one), of(other));
        if !one.is_empty() && !other.is_empty() && one != other {
            return Decides::Fact { column, one, other };
        }
    }
    Decides::Nothing
}
