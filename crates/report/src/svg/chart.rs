//! Any chart, by its form.
//!
//! In: a chart as plain data. Out: its drawing and what it shows in words.
//! Not here: what is charted; captions.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, number};
use super::{intervals, lines, parts, strips};
use methods::{Chart, Form, Point};
use quantity::{GAP, digits, format_measured};

/// Draws a chart and describes it; `None` where there is nothing to draw.
pub(crate) fn chart(chart: &Chart) -> Option<(String, String)> {
    let finite = |p: &Point| p.value.is_finite();
    if !chart.series.iter().flat_map(|s| &s.points).any(finite) {
        return None;
    }
    match chart.form {
        Form::Parts | Form::Bars => parts::draw(chart, &parts::LINE),
        Form::Intervals => intervals::draw(chart),
        Form::Strips => strips::draw(chart),
        Form::Lines | Form::Steps | Form::Ratios | Form::Octaves | Form::Dots => lines::draw(chart),
    }
}

/// Draws the same for a narrow page; none where the drawing is narrow enough, or may be no narrower.
pub(crate) fn chart_upright(chart: &Chart) -> Option<String> {
    match chart.form {
        Form::Parts | Form::Bars => parts::draw(chart, &parts::UPRIGHT).map(|(svg, _)| svg),
        _ => None,
    }
}

/// Returns the half width of a whisker of two arms; zero without one.
pub(super) fn spread(point: &Point) -> f64 {
    let ends = point.low.zip(point.high);
    let half = ends.map_or(0.0, |(low, high)| (high - low) / 2.0);
    if half.is_finite() { half.max(0.0) } else { 0.0 }
}

/// Decimals of values without an interval, at most.
const MOST_DECIMALS: usize = 3;

/// Writes the value of a point with its interval in the unit of its axis; those without one have equal decimals.
pub(super) fn value(chart: &Chart, point: &Point) -> String {
    if point.low.is_none() && point.high.is_none() {
        let all = chart.series.iter().flat_map(|s| &s.points);
        let decimals = all.map(|p| digits::carried(p.value)).max();
        let decimals = decimals.unwrap_or(0).min(MOST_DECIMALS);
        let value = digits::decimal(point.value, decimals);
        let symbol = chart.values.unit.symbol();
        return format!("{value}{GAP}{symbol}").trim_end().to_string();
    }
    let ends = (
        point.low.unwrap_or(point.value),
        point.high.unwrap_or(point.value),
    );
    format_measured(point.value, ends, &chart.values.unit)
}

/// Returns round numbers between two ends, both at or inside them: steps of 1, 2 or 5.
pub(super) fn ticks(low: f64, high: f64, most: u8) -> Vec<f64> {
    let room = (high - low) / f64::from(most.max(1));
    if !(room.is_finite() && room > 0.0) {
        return vec![low];
    }
    let power = 10.0_f64.powf(room.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|s| s * power);
    let step = steps.into_iter().find(|s| *s >= room * (1.0 - 1e-9));
    let step = step.unwrap_or(10.0 * power);
    // At most one more than asked for, so the numbers are small.
    let (first, last) = ((low / step - 1e-9).ceil(), (high / step + 1e-9).floor());
    let mut ticks = Vec::new();
    let mut at = first;
    while at <= last {
        ticks.push(at * step);
        at += 1.0;
    }
    ticks
}

/// Draws a whisker across a row at `y`, both in pixels.
pub(super) fn whisker(canvas: &mut Canvas, [a, b]: [f64; 2], y: f64) {
    if b - a < 1.5 {
        return;
    }
    let [l, r, m, t, d] = [a, b, y, y - 4.0, y + 4.0].map(number);
    let data = format!("M{l} {t}L{l} {d}M{l} {m}L{r} {m}M{r} {t}L{r} {d}");
    canvas.path(&data, None, Some(Stroke(InkClass::Ink, 1.4, false)));
}

/// Writes a label of an axis.
pub(super) fn label(canvas: &mut Canvas, [x, y]: [f64; 2], held: Held, text: &str) {
    canvas.text(x, y, Type::of(12.0).look(InkClass::Quiet).held(held), text);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_stay_inside() {
        assert_eq!(ticks(0.0, 125.0, 4), [0.0, 50.0, 100.0]);
        assert_eq!(ticks(0.0, 200.0, 4), [0.0, 50.0, 100.0, 150.0, 200.0]);
        assert_eq!(
            ticks(3.0, 4.2, 6),
            [
                3.0,
                3.2,
                3.4000000000000004,
                3.6,
                3.8000000000000003,
                4.0,
                4.2
            ]
        );
        assert_eq!(ticks(5.0, 5.0, 4), [5.0]);
    }
}
