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

const WIDTH: f64 = 620.0;
const HEIGHT: f64 = 44.0;
const LEFT: f64 = 8.0;
const RIGHT: f64 = 560.0;
const LINE: f64 = 24.0;
/// Numbers need so much room; those of shorter steps are left out.
const ROOM: f64 = 15.0;

/// Draws the line and describes it; `None` where no step was timed.
pub(crate) fn timeline(steps: &[Timed]) -> Option<(String, String)> {
    let minutes = |step: &Timed| step.minutes.unwrap_or(0.0);
    let whole: f64 = steps.iter().map(minutes).sum();
    if !(whole > 0.0 && whole.is_finite()) {
        return None;
    }
    let at = |minutes: f64| LEFT + (RIGHT - LEFT) * minutes / whole;
    let mut canvas = Canvas::default();
    let ink = Stroke(InkClass::Ink, 1.2, false);
    let small = Type::of(10.0).look(InkClass::Quiet).held(Held::Middle);
    canvas.line([LEFT, LINE, RIGHT, LINE], ink);
    canvas.line([LEFT, LINE - 5.0, LEFT, LINE + 5.0], ink);
    let (mut done, mut free) = (0.0, f64::NEG_INFINITY);
    for step in steps {
        let (from, to) = (at(done), at(done + minutes(step)));
        done += minutes(step);
        let middle = f64::midpoint(from, to);
        canvas.line([to, LINE - 5.0, to, LINE + 5.0], ink);
        if middle - free >= ROOM {
            canvas.text(middle, LINE + 17.0, small, &step.number.to_string());
            free = middle;
        }
        if step.careful {
            let [left, right] = [middle - 4.0, middle + 4.0].map(number);
            let (foot, top) = (number(LINE - 7.0), number(LINE - 14.0));
            let triangle = format!("M{left} {foot}L{right} {foot}L{} {top}Z", number(middle));
            canvas.path(&triangle, Some(InkClass::Ink), None);
        }
    }
    let total = format!("{} min", digits::decimal(whole, 0));
    let end = Type::of(11.0).look(InkClass::Ink);
    canvas.text(RIGHT + 8.0, LINE + 4.0, end, &total);
    let careful = steps.iter().filter(|s| s.careful);
    let careful: Vec<String> = careful.map(|s| s.number.to_string()).collect();
    let mut alternative = format!("{total} in {} steps", steps.len());
    if !careful.is_empty() {
        alternative += &format!("; cautions at {}", methods::words::listed(careful));
    }
    alternative.push('.');
    // On a phone it is moved under the finger, not made too small to read.
    let svg = canvas.finish_in_size(WIDTH, HEIGHT, &alternative);
    Some((svg, alternative))
}
