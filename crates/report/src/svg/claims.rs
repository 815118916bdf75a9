//! Claims with a figure, each against its own limit.
//!
//! In: distances from the limit, in widths of what is allowed; beyond is positive. Out: a drawing and its
//! words. The scale is an inverse hyperbolic sine: nearly straight about the limit, so that a miss by a
//! hair and a hit differ, and logarithmic far out, so that a miss by thirty widths still fits.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, wrapped};
use crate::verdict_words;
use methods::Verdict;

/// One claim with a figure.
#[derive(Debug, Clone)]
pub(crate) struct ClaimLine {
    pub(crate) said: String,
    pub(crate) found: String,
    pub(crate) margin: String,
    pub(crate) verdict: Verdict,
    pub(crate) value: f64,
    pub(crate) interval: [f64; 2],
    pub(crate) said_at: Option<f64>,
    pub(crate) other_limit: Option<f64>,
}

const WIDTH: f64 = 620.0;
const LEFT: f64 = 196.0;
const RIGHT: f64 = 470.0;
const ROW: f64 = 31.0;
/// Height of the bar over what was found, and its least width, pixels.
const BAR: f64 = 7.0;
const LEAST: f64 = 9.0;
const TOP: f64 = 52.0;
/// Height of the scale above lines drawn alone.
const SCALE: f64 = 40.0;
/// Widths shown inside the limit and beyond it.
const INSIDE: f64 = -2.6;
const BEYOND: f64 = 40.0;

/// Draws the lines in the order given.
pub(crate) fn claims(lines: &[ClaimLine], alternative: &str) -> String {
    let mut canvas = Canvas::default();
    #[allow(clippy::cast_precision_loss, reason = "far fewer rows than 2^52")]
    let bottom = TOP + ROW * lines.len() as f64;
    for times in [1.0, 3.0, 10.0, 30.0] {
        let at = x(times);
        canvas.line(
            [at, TOP - 8.0, at, bottom],
            Stroke(InkClass::Line, 0.6, true),
        );
        let kind = Type::of(11.0).look(InkClass::Quiet).held(Held::Middle);
        canvas.text(at, TOP - 13.0, kind, &format!("{times} ×"));
    }
    let mut y = TOP;
    for line in lines {
        self::line(&mut canvas, line, y);
        y += ROW;
    }
    let limit = x(0.0);
    canvas.line(
        [limit, TOP - 40.0, limit, bottom],
        Stroke(InkClass::Ink, 1.6, false),
    );
    let head = |held| Type::of(11.5).held(held);
    canvas.text(limit - 6.0, TOP - 30.0, head(Held::End), "kept");
    canvas.text(limit + 6.0, TOP - 30.0, head(Held::Start), "beyond");
    canvas.finish(WIDTH, bottom + 4.0, alternative)
}

/// Says what the drawing shows.
pub(crate) fn claims_in_words(lines: &[ClaimLine]) -> String {
    let said = lines.iter().map(|line| {
        format!(
            "{}: {}, {}, {}.",
            line.said,
            line.found,
            line.margin,
            verdict_words(line.verdict)
        )
    });
    said.collect::<Vec<_>>().join(" ")
}

/// Draws one line alone, without words.
pub(crate) fn claim_strip(line: &ClaimLine) -> String {
    let mut canvas = Canvas::default();
    let middle = ROW / 2.0;
    let limit = x(0.0) - LEFT;
    for times in [1.0, 3.0, 10.0, 30.0] {
        let at = x(times) - LEFT;
        canvas.line(
            [at, middle - 12.0, at, middle + 12.0],
            Stroke(InkClass::Line, 0.6, true),
        );
    }
    bar(&mut canvas, line, middle, LEFT);
    canvas.line(
        [limit, middle - 14.0, limit, middle + 14.0],
        Stroke(InkClass::Ink, 1.6, false),
    );
    canvas.finish_hidden(RIGHT - LEFT, ROW)
}

/// Draws the scale that stands above lines drawn alone.
pub fn claim_scale() -> String {
    let mut canvas = Canvas::default();
    for times in [1.0, 3.0, 10.0, 30.0] {
        let at = x(times) - LEFT;
        canvas.line([at, 35.0, at, SCALE], Stroke(InkClass::Line, 0.6, true));
        let kind = Type::of(12.5).look(InkClass::Quiet).held(Held::Middle);
        canvas.text(at, 31.0, kind, &format!("{times} ×"));
    }
    let limit = x(0.0) - LEFT;
    canvas.line(
        [limit, 0.0, limit, SCALE],
        Stroke(InkClass::Ink, 1.6, false),
    );
    let head = |held| Type::of(12.5).held(held);
    canvas.text(limit - 6.0, 11.0, head(Held::End), "kept");
    canvas.text(limit + 6.0, 11.0, head(Held::Start), "beyond");
    canvas.finish_hidden(RIGHT - LEFT, SCALE)
}

fn x(distance: f64) -> f64 {
    let [low, high] = [INSIDE, BEYOND].map(f64::asinh);
    let share = (distance.clamp(INSIDE, BEYOND).asinh() - low) / (high - low);
    LEFT + (RIGHT - LEFT) * share
}

/// Draws band, print and what was found; `left` is taken off every place.
fn bar(canvas: &mut Canvas, line: &ClaimLine, middle: f64, left: f64) {
    let x = |distance: f64| x(distance) - left;
    let from = x(line.other_limit.unwrap_or(INSIDE));
    canvas.rect(
        [from, middle - 8.0, x(0.0) - from, 16.0],
        Some(InkClass::Tint),
        None,
    );
    if let Some(said) = line.said_at.filter(|at| (INSIDE..=BEYOND).contains(at)) {
        let at = x(said);
        canvas.line(
            [at, middle - 8.0, at, middle + 8.0],
            Stroke(InkClass::Quiet, 1.4, false),
        );
    }
    found(canvas, line.verdict, line.interval.map(x), middle);
}

fn line(canvas: &mut Canvas, line: &ClaimLine, y: f64) {
    let middle = y + ROW / 2.0;
    bar(canvas, line, middle, 0.0);
    let words = wrapped(&line.said, LEFT - 12.0, 12.0, false, 2);
    #[allow(clippy::cast_precision_loss, reason = "two lines")]
    let mut base = middle + 4.0 - 7.0 * (words.len() as f64 - 1.0);
    for part in &words {
        canvas.text(0.0, base, Type::of(12.0), part);
        base += 14.0;
    }
    let found = Type::of(12.0).bold().held(Held::End);
    canvas.text(WIDTH, middle - 3.0, found, &line.found);
    let margin = Type::of(11.0).look(match line.verdict {
        Verdict::Fails => InkClass::Accent,
        _ => InkClass::Quiet,
    });
    canvas.text(WIDTH, middle + 12.0, margin.held(Held::End), &line.margin);
}

/// Draws what was found as the mark of its verdict does: a bar over the interval, filled on its side of the limit,
/// open where the limit may lie in it, dots where evidence is missing.
fn found(canvas: &mut Canvas, verdict: Verdict, [low, high]: [f64; 2], middle: f64) {
    let half = ((high - low) / 2.0).max(LEAST / 2.0);
    let centre = (low + high) / 2.0;
    let bar = [centre - half, middle - BAR / 2.0, 2.0 * half, BAR];
    match verdict {
        Verdict::Fails => canvas.rect(bar, Some(InkClass::Accent), None),
        Verdict::Holds => canvas.rect(bar, Some(InkClass::Ink), None),
        Verdict::Undecided => {
            let outline = Some(Stroke(InkClass::Ink, 1.5, false));
            canvas.rect(bar, Some(InkClass::Paper), outline);
        }
        Verdict::NeedsEvidence => {
            for at in [centre - half, centre, centre + half] {
                canvas.circle([at, middle, 1.6], Some(InkClass::Ink), None);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_limit_lies_inside_and_far_values_at_the_edge() {
        assert!((x(INSIDE) - LEFT).abs() < 1e-9);
        assert!((x(1e9) - RIGHT).abs() < 1e-9);
        // asinh(2.6) of asinh(40) + asinh(2.6).
        let share = (x(0.0) - LEFT) / (RIGHT - LEFT);
        assert!((share - 0.277_57).abs() < 1e-5, "{share}");
    }
}
