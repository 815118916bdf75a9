//! The answer for people: candidates with the characters that differ marked, then what the text may
//! say as a code.

use app::read::Said;
use methods::Known;
use methods::markings::aligned;
use methods::words::percent;
use std::fmt::Write as _;

/// Readings of a code shown for each line.
const READINGS: usize = 6;

pub(super) fn text(said: &Said, known: &Known) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = writeln!(out, "{}", said.question.seen);
    match &said.parts {
        None => out.push_str(
            "\nNo catalogue was named, so that no part is looked up; name one with --catalogue FILE.\n",
        ),
        Some(answer) => parts(&mut out, answer, known),
    }
    for (line, readings) in &said.codes {
        if readings.is_empty() {
            continue;
        }
        let _ = writeln!(out, "\nAs a code, “{line}” may say:");
        self::readings(&mut out, readings);
    }
    out
}

fn parts(out: &mut String, answer: &marking::Answer, known: &Known) {
    if let Some(refusal) = answer.refusal {
        let _ = writeln!(out, "\nNot looked up: {refusal}.");
        return;
    }
    let _ = writeln!(out, "\nAmong {} known parts:", known.parts().len());
    let name = |c: &marking::Candidate| {
        known
            .parts()
            .get(c.part)
            .map_or_else(|| c.name.clone(), |p| p.name.clone())
    };
    let widest = answer.candidates.iter().map(|c| name(c).chars().count());
    let widest = widest.max().unwrap_or(0).max("none of these".len());
    for candidate in &answer.candidates {
        let part = known.parts().get(candidate.part);
        let what: Vec<&str> = part
            .map(|p| [p.maker.as_str(), p.role.as_str()])
            .into_iter()
            .flatten()
            .chain(part.and_then(|p| p.packages.first()).map(String::as_str))
            .filter(|t| !t.is_empty())
            .collect();
        let _ = writeln!(
            out,
            "  {:>8}  {:<widest$}  {}",
            percent(candidate.probability),
            name(candidate),
            what.join(", ")
        );
        let [above, below] = aligned(candidate);
        if above != below {
            let _ = writeln!(out, "            seen  {above}\n            name  {below}");
        }
        if !candidate.factors.is_empty() {
            let factors: Vec<String> = candidate.factors.iter().map(ToString::to_string).collect();
            let _ = writeln!(out, "            {}", factors.join("; "));
        }
    }
    if answer.unlisted >= 0.0005 {
        let _ = writeln!(
            out,
            "  {:>8}  {:<widest$}",
            percent(answer.unlisted),
            "others"
        );
    }
    let _ = writeln!(
        out,
        "  {:>8}  {:<widest$}",
        percent(answer.none),
        "none of these"
    );
}

/// Lists the likeliest readings of a code, each with its standard and the reason.
pub(super) fn readings(out: &mut String, readings: &[codes::Reading]) {
    // Writing to a String cannot fail.
    for reading in readings.iter().take(READINGS) {
        let _ = writeln!(
            out,
            "  {:>8}  {}",
            percent(reading.likelihood),
            reading.meaning
        );
        let _ = writeln!(out, "            {}; {}", reading.standard, reading.because);
        if let Some(caution) = &reading.caution {
            let _ = writeln!(out, "            ! {caution}");
        }
    }
    if readings.len() > READINGS {
        let _ = writeln!(
            out,
            "            and {} less likely, listed by --format json",
            readings.len() - READINGS
        );
    }
}
