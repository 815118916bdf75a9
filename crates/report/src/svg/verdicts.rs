//! Verdicts at a glance: one row per verdict, one numbered mark per statement; shape and word tell
//! the verdict, colour only repeats it.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, number};
use crate::verdict_words;
use methods::Verdict;

const WIDTH: f64 = 524.0;
const LEFT: f64 = 176.0;
const PITCH: f64 = 34.0;
const ROW: f64 = 36.0;

/// Draws the verdicts in the order given, numbered from 1.
pub(crate) fn verdicts(verdicts: &[Verdict], alternative: &str) -> String {
    let mut canvas = Canvas::default();
    let mut y = 20.0;
    for kind in [
        Verdict::Holds,
        Verdict::Fails,
        Verdict::Undecided,
        Verdict::NeedsEvidence,
    ] {
        let numbers: Vec<usize> = (1..)
            .zip(verdicts)
            .filter(|(_, v)| **v == kind)
            .map(|(n, _)| n)
            .collect();
        if numbers.is_empty() {
            continue;
        }
        let look = if kind == Verdict::Fails {
            InkClass::Accent
        } else {
            InkClass::Ink
        };
        canvas.text(
            0.0,
            y + 5.0,
            Type::of(15.0).bold().look(look),
            verdict_words(kind),
        );
        let count = numbers.len().to_string();
        canvas.text(
            LEFT - 14.0,
            y + 5.0,
            Type::of(15.0).held(Held::End).look(InkClass::Quiet),
            &count,
        );
        for (at, n) in numbers.iter().enumerate() {
            // The row is full after as many marks as fit.
            let per_line = 10;
            if at > 0 && at % per_line == 0 {
                y += ROW;
            }
            #[allow(clippy::cast_precision_loss, reason = "less than ten")]
            let x = LEFT + PITCH * ((at % per_line) as f64) + 13.0;
            mark(&mut canvas, kind, x, y, *n);
        }
        y += ROW;
    }
    canvas.finish(WIDTH, y - 16.0, alternative)
}

fn mark(canvas: &mut Canvas, verdict: Verdict, x: f64, y: f64, n: usize) {
    let mut kind = Type::of(12.0).bold().held(Held::Middle);
    match verdict {
        Verdict::Holds => {
            canvas.circle([x, y, 13.0], Some(InkClass::Ink), None);
            kind = kind.look(InkClass::Paper);
        }
        Verdict::Fails => {
            let (l, r, t, b) = (x - 15.0, x + 15.0, y - 15.0, y + 15.0);
            let [x, y, l, r, t, b] = [x, y, l, r, t, b].map(number);
            let data = format!("M{x} {t}L{r} {y}L{x} {b}L{l} {y}Z");
            canvas.path(&data, Some(InkClass::Accent), None);
            kind = kind.look(InkClass::Paper);
        }
        Verdict::Undecided => {
            canvas.rect(
                [x - 12.0, y - 12.0, 12.0, 24.0],
                Some(InkClass::TintStrong),
                None,
            );
            let outline = Some(Stroke(InkClass::Ink, 1.5, false));
            canvas.rect([x - 12.0, y - 12.0, 24.0, 24.0], None, outline);
        }
        Verdict::NeedsEvidence => {
            canvas.circle([x, y, 12.5], None, Some(Stroke(InkClass::Ink, 1.5, true)));
        }
    }
    canvas.text(x, y + 4.3, kind, &n.to_string());
}
