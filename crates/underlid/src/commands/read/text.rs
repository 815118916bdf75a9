//! The answer for people: one sentence that says it, then the parts it may be, then what the text may say as a
//! code. What is less likely, and the weighing of each part, stand behind `--all`.

use super::candidates::candidates;
use super::headline::{SURE, headline, no_catalogue};
use super::rows::Rows;
use app::read::{Reader, Said, Verdict};
use methods::words::percent;
use record::visible;
use report::{Marked, Tone};

/// Readings of a code shown for each line unless all are asked for.
const READINGS: usize = 2;
/// A less likely reading is shown only when all is asked for, but for the likeliest.
const LEAST: f64 = 0.05;

pub(super) fn text(said: &Said, reader: &Reader, all: bool, width: usize) -> Marked {
    let mut rows = Rows::new(width);
    let asked = visible(&said.question.text);
    rows.sentence(Tone::Bold, &format!("{asked}: {}", headline(said, reader)));
    match &said.parts {
        None if said.verdict() != Verdict::NoCatalogue => {
            rows.sentence(Tone::Quiet, &format!("({})", no_catalogue(reader)));
        }
        Some(answer) if answer.refusal.is_none() && !answer.candidates.is_empty() => {
            rows.space();
            candidates(&mut rows, answer, reader, all);
        }
        _ => {}
    }
    for (n, (line, found)) in said.codes.iter().enumerate() {
        if !found.is_empty() && (all || !is_the_name(said, n, line)) {
            let alone = said.codes.len() == 1 && matches!(said.verdict(), Verdict::Code(..));
            rows.space();
            if !alone {
                rows.sentence(Tone::Plain, &format!("As a code, “{line}” may say:"));
            }
            readings(&mut rows, found, all);
        }
    }
    rows.finish()
}

/// Whether a line is the part number, so that nobody asks what it says as a code.
fn is_the_name(said: &Said, n: usize, line: &str) -> bool {
    let lines = &said.question.seen.lines;
    let whole = |place: usize| lines.get(place).and_then(|l| l.plain());
    match said.verdict() {
        Verdict::Part(best) if best.probability >= SURE => {
            let own = whole(best.line).as_deref() == Some(line) && n <= best.line;
            own && !line.contains(char::is_whitespace)
        }
        _ => false,
    }
}

/// Lists the likeliest readings of a code, each with its standard and the reason.
pub(super) fn readings(rows: &mut Rows, readings: &[codes::Reading], all: bool) {
    let mut left_out = 0;
    for (n, reading) in readings.iter().enumerate() {
        if !all && n > 0 && (n >= READINGS || reading.likelihood < LEAST) {
            left_out += 1;
            continue;
        }
        rows.row(
            Tone::Plain,
            &percent(reading.likelihood),
            &reading.meaning,
            "",
        );
        if all || n == 0 {
            rows.below(
                Tone::Quiet,
                &format!("{}; {}", reading.standard, reading.because),
            );
        }
        if let Some(caution) = &reading.caution {
            rows.below(Tone::Accent, &format!("! {caution}"));
        }
    }
    match left_out {
        0 => {}
        1 => rows.note("--all shows one less likely"),
        n => rows.note(&format!("--all shows {n} less likely")),
    }
}
