//! A line of time: each step as long as it took.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, number};
use quantity::digits;

/// A step and its time.
pub(crate) struct Timed {
    /// Number, from 1.
    pub(crate) number: usize,
    /// Minutes; none where nobody looked at a clock.
    pub(crate) minutes: Option<f64>,
    /// Whether it has a caution.
    pub(crate) careful: bool,
}

/// It fits a telephone at its own size: many steps run on in a second row.
const WIDTH: f64 = 324.0;
const ROW: f64 = 44.0;
const LEFT: f64 = 4.0;
const RIGHT: f64 = 276.0;
const LINE: f64 = 24.0;
/// Numbers need so much room; those of shorter steps are left out.
const ROOM: f64 = 15.0;
/// Most steps in one row.
const MOST: usize = 10;

/// Draws the line and describes it; `None` where no step was timed.
pub(crate) fn timeline(steps: &[Timed]) -> Option<(String, String)> {
    let minutes = |step: &Timed| step.minutes.unwrap_or(0.0);
    let whole: f64 = steps.iter().map(minutes).sum();
    if !(whole > 0.0 && whole.is_finite()) {
        return None;
    }
    let rows = if steps.len() > MOST { 2.0 } else { 1.0 };
    let row = whole / rows;
    // Where a moment lies; the end of a row is not the beginning of the next.
    let at = |minutes: f64| {
        let above = (minutes / row - 1e-9).floor().clamp(0.0, rows - 1.0);
        let share = (minutes - above * row) / row;
        [LEFT + (RIGHT - LEFT) * share, LINE + ROW * above]
    };
    let mut canvas = Canvas::default();
    let ink = Stroke(InkClass::Ink, 1.2, false);
    let small = Type::of(10.0).look(InkClass::Quiet).held(Held::Middle);
    let end = Type::of(11.0).look(InkClass::Ink);
    for n in [1.0, 2.0] {
        if n <= rows {
            let line = LINE + ROW * (n - 1.0);
            canvas.line([LEFT, line, RIGHT, line], ink);
            let done = format!("{} min", digits::decimal(n * row, 0));
            canvas.text(RIGHT + 6.0, line + 4.0, end, &done);
        }
    }
    canvas.line([LEFT, LINE - 5.0, LEFT, LINE + 5.0], ink);
    let (mut done, mut free) = (0.0, [f64::NEG_INFINITY, LINE]);
    for step in steps {
        let [middle, line] = at(done + minutes(step) / 2.0);
        done += minutes(step);
        let [to, below] = at(done);
        canvas.line([to, below - 5.0, to, below + 5.0], ink);
        if middle - free[0] >= ROOM || line > free[1] {
            canvas.text(middle, line + 17.0, small, &step.number.to_string());
            free = [middle, line];
        }
        if step.careful {
            let [left, right] = [middle - 4.0, middle + 4.0].map(number);
            let (foot, top) = (number(line - 7.0), number(line - 14.0));
            let triangle = format!("M{left} {foot}L{right} {foot}L{} {top}Z", number(middle));
            canvas.path(&triangle, Some(InkClass::Ink), None);
        }
    }
    let total = format!("{} min", digits::decimal(whole, 0));
    let careful = steps.iter().filter(|s| s.careful);
    let careful: Vec<String> = careful.map(|s| s.number.to_string()).collect();
    let mut alternative = format!("{total} in {} steps", steps.len());
    if !careful.is_empty() {
        alternative += &format!("; cautions at {}", methods::words::listed(careful));
    }
    alternative.push('.');
    let svg = canvas.finish_small(WIDTH, ROW * rows, &alternative);
    Some((svg, alternative))
}
