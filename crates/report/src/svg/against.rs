//! What was found against what is printed: one row per claim, the printed figure at 100 %.

use super::canvas::{Canvas, Held, Look, Stroke, Type, number, wrapped};
use crate::verdict_words;
use methods::Verdict;

/// One claim with a figure; `low`, `value`, `high` are shares of the printed figure.
#[derive(Debug, Clone)]
pub(crate) struct AgainstRow {
    pub(crate) label: String,
    pub(crate) verdict: Verdict,
    pub(crate) low: f64,
    pub(crate) value: f64,
    pub(crate) high: f64,
    pub(crate) found_text: String,
    pub(crate) printed_text: String,
    pub(crate) probability: String,
}

const WIDTH: f64 = 500.0;
const ROW: f64 = 66.0;
const TOP: f64 = 26.0;

/// Draws the rows in the order given.
pub(crate) fn against(rows: &[AgainstRow], alternative: &str) -> String {
    let mut canvas = Canvas::default();
    // Beyond twice the printed figure a row is cut and says so by an arrow.
    let greatest = rows.iter().map(|r| r.high).fold(1.25, f64::max).min(2.0);
    let (left, right) = (10.0, WIDTH - 10.0);
    let x = |share: f64| left + (right - left) * (share.clamp(0.0, greatest) / greatest);
    #[allow(clippy::cast_precision_loss, reason = "far fewer rows than 2^52")]
    let bottom = TOP + ROW * rows.len() as f64;
    for step in [0.0, 0.5, 1.0, 1.5, 2.0] {
        if step > greatest {
            continue;
        }
        let printed = (step - 1.0_f64).abs() < 1e-9;
        let line = if printed {
            Stroke(Look::Ink, 1.5, false)
        } else {
            Stroke(Look::Line, 0.7, true)
        };
        canvas.line([x(step), TOP - 8.0, x(step), bottom], line);
        let held = if step == 0.0 {
            Held::Start
        } else {
            Held::Middle
        };
        let held = if x(step) > right - 20.0 {
            Held::End
        } else {
            held
        };
        let label = if printed {
            "printed = 100 %".into()
        } else {
            format!("{:.0} %", step * 100.0)
        };
        let look = if printed { Look::Ink } else { Look::Quiet };
        let hx = if printed {
            x(step).min(right - 55.0)
        } else {
            x(step)
        };
        canvas.text(hx, 12.0, Type::of(12.0).look(look).held(held), &label);
    }
    let mut y = TOP;
    for row in rows {
        draw(&mut canvas, row, y, greatest, &x);
        y += ROW;
    }
    canvas.finish(WIDTH, bottom + 4.0, alternative)
}

fn draw(canvas: &mut Canvas, row: &AgainstRow, y: f64, greatest: f64, x: &impl Fn(f64) -> f64) {
    let look = if row.verdict == Verdict::Fails {
        Look::Accent
    } else {
        Look::Ink
    };
    let mut found = format!("{}, {}", row.found_text, verdict_words(row.verdict));
    if !row.probability.is_empty() {
        found = format!("{found} ({})", row.probability);
    }
    let fit = |text: &str, bold| wrapped(text, WIDTH - 24.0, 12.5, bold, 1).join("");
    // The grid is kept out of the words.
    canvas.rect([6.0, y + 2.0, WIDTH - 12.0, 36.0], Some(Look::Paper), None);
    canvas.text(10.0, y + 15.0, Type::of(12.5), &fit(&row.label, false));
    canvas.text(
        10.0,
        y + 32.0,
        Type::of(12.5).bold().look(look),
        &fit(&found, true),
    );
    let middle = y + 50.0;
    canvas.line(
        [x(row.low), middle, x(row.high), middle],
        Stroke(look, 2.0, false),
    );
    for end in [row.low, row.high] {
        if end <= greatest {
            canvas.line(
                [x(end), middle - 8.0, x(end), middle + 8.0],
                Stroke(look, 2.0, false),
            );
        }
    }
    if row.high > greatest {
        let tip = x(greatest);
        let [a, b, c, d] = [tip, tip - 9.0, middle - 5.0, middle + 5.0].map(number);
        canvas.path(
            &format!("M{b} {c}L{a} {}L{b} {d}Z", number(middle)),
            Some(look),
            None,
        );
    }
    if row.value <= greatest {
        canvas.circle([x(row.value), middle, 3.8], Some(look), None);
    }
}
