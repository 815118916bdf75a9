//! What came out of measures: text for people, JSON for programs.

use crate::arguments::Format;
use app::measure::{NewReference, Outcome};
use report::words::percent;
use std::fmt::Write as _;

/// Writes what a photo's scale is with one more thing of known size.
pub(super) fn scale(new: &NewReference, format: Format) -> String {
    match format {
        Format::Json => format!(
            "{:#}\n",
            serde_json::json!({
                "photo": new.photo,
                "reference": new.reference,
                "mm-per-pixel": new.mm_per_px,
                "notes": new.notes,
                "found": new.found,
            })
        ),
        Format::Text => {
            let mut text = format!(
                "{} in photograph {}: {:.5} mm per pixel there\n",
                new.reference.name, new.photo, new.mm_per_px
            );
            for line in new.found.iter().chain(&new.notes) {
                text += &format!("  {line}\n");
            }
            text
        }
    }
}

/// Most inputs that are told one by one.
const MOST_INPUTS: usize = 6;

/// Writes results, then what failed.
pub(super) fn told(results: &[Outcome], failed: &[String], format: Format) -> String {
    match format {
        Format::Json => {
            let measures: Vec<_> = results
                .iter()
                .map(|r| {
                    serde_json::json!({
                        "measure": r.measure, "figures": r.figures, "notes": r.notes,
                    })
                })
                .collect();
            format!(
                "{:#}\n",
                serde_json::json!({ "measures": measures, "failed": failed })
            )
        }
        Format::Text => {
            let mut out = String::new();
            let mut notes: Vec<&str> = Vec::new();
            for result in results {
                text(&mut out, result);
                for note in &result.notes {
                    if !notes.contains(&note.as_str()) {
                        notes.push(note);
                    }
                }
            }
            for line in failed {
                // Writing to a String cannot fail.
                let _ = writeln!(out, "No answer: {line}");
            }
            for note in notes {
                let _ = writeln!(out, "Assumed: {note}");
            }
            out
        }
    }
}

fn text(out: &mut String, result: &Outcome) {
    let measure = &result.measure;
    for figure in &result.figures {
        let _ = writeln!(out, "{}: {}", figure.name, figure.text);
        let _ = writeln!(
            out,
            "  measure {}, photograph {}, {} points",
            measure.id,
            measure.photo,
            measure.at.len()
        );
        if let Some(interval) = report::words::interval(figure) {
            let coverage = percent(figure.interval.probability);
            let _ = writeln!(out, "  {coverage} interval: {interval}");
        }
        if !measure.snapped.is_empty()
            && let Some(note) = &measure.note
        {
            let _ = writeln!(out, "  {note}");
        }
        for line in &figure.working {
            let _ = writeln!(out, "  {line}");
        }
        for input in figure.inputs.iter().take(MOST_INPUTS) {
            let _ = writeln!(
                out,
                "  {:>5.1} % of the variance: {} = {}",
                100.0 * input.variance_share,
                input.name,
                input.text
            );
        }
        out.push('\n');
    }
    if let Some(old) = &measure.replaces {
        let _ = writeln!(
            out,
            "  takes the place of {old}, which stays in the record\n"
        );
    }
}
