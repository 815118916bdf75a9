//! A strip for each series on one axis of ratios: a dot for each product, this one marked at one.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, number, width_of, wrapped};
use super::chart::{label, whisker};
use methods::{Chart, Point, Series};
use quantity::digits;

const WIDTH: f64 = 520.0;
const LEFT: f64 = 14.0;
const RIGHT: f64 = WIDTH - 14.0;
const TOP: f64 = 6.0;
const ROW: f64 = 48.0;
/// From the top of a row to its dots.
const DOTS: f64 = 31.0;
const RADIUS: f64 = 4.0;
/// Levels on which dots that would cover each other are set.
const LEVELS: [f64; 5] = [0.0, -5.0, 5.0, -8.0, 8.0];
/// The axis never ends nearer to this product than this, as a logarithm of ratios.
const NEAR: f64 = 0.08;

/// Draws the strips and describes them.
pub(super) fn draw(chart: &Chart) -> Option<(String, String)> {
    let points = chart.series.iter().flat_map(|s| &s.points);
    let logs = points.map(|p| p.value.log10()).filter(|x| x.is_finite());
    let (low, high) = logs.fold((-NEAR, NEAR), |(l, h), x| (l.min(x), h.max(x)));
    let (low, high) = (low - 0.02, high + 0.02);
    let x = |value: f64| LEFT + (RIGHT - LEFT) * (value.log10() - low) / (high - low);
    let mut canvas = Canvas::default();
    #[allow(clippy::cast_precision_loss, reason = "a few series")]
    let bottom = TOP + ROW * chart.series.len() as f64;
    axis(&mut canvas, [low, high], bottom, &x);
    let mut y = TOP;
    for series in &chart.series {
        strip(&mut canvas, series, y, &x);
        y += ROW;
    }
    let alternative = describe(chart);
    let svg = canvas.finish(WIDTH, bottom + 24.0, &alternative);
    Some((svg, alternative))
}

/// Ratios that a grid shows: as few as say where halves and doubles are.
fn ratios([low, high]: [f64; 2]) -> Vec<f64> {
    const FINE: [f64; 9] = [0.5, 0.6, 0.75, 0.9, 1.0, 1.1, 1.25, 1.5, 2.0];
    const COARSE: [f64; 11] = [0.01, 0.03, 0.1, 0.25, 0.5, 1.0, 2.0, 4.0, 10.0, 30.0, 100.0];
    let all: &[f64] = if high - low < 0.5 { &FINE } else { &COARSE };
    let inside = all
        .iter()
        .copied()
        .filter(|r| (low..=high).contains(&r.log10()));
    inside.collect()
}

fn axis(canvas: &mut Canvas, ends: [f64; 2], bottom: f64, x: &impl Fn(f64) -> f64) {
    let own = x(1.0);
    let mut free = f64::NEG_INFINITY;
    for ratio in ratios(ends) {
        let at = x(ratio);
        let own_line = (ratio - 1.0).abs() < 1e-9;
        let (look, width) = match own_line {
            true => (InkClass::Ink, 1.2),
            false => (InkClass::Line, 0.7),
        };
        canvas.line([at, TOP, at, bottom], Stroke(look, width, !own_line));
        let words = match own_line {
            true => "this product".to_string(),
            false => format!("{} ×", digits::decimal(ratio, digits::carried(ratio))),
        };
        let half = width_of(&words, 12.0, false) / 2.0;
        let middle = at.clamp(LEFT + half - 8.0, RIGHT - half + 8.0);
        let own_half = width_of("this product", 12.0, false) / 2.0;
        let beside_own = !own_line && (middle - own).abs() < half + own_half + 6.0;
        if middle - half > free && !beside_own {
            label(canvas, [middle, bottom + 16.0], Held::Middle, &words);
            free = middle + half + 6.0;
        }
    }
}

fn strip(canvas: &mut Canvas, series: &Series, y: f64, x: &impl Fn(f64) -> f64) {
    let (own, others): (Vec<&Point>, Vec<&Point>) =
        series.points.iter().partition(|p| p.place.is_some());
    let remark = own.first().map_or("", |p| p.remark.as_str());
    canvas.rect(
        [LEFT - 8.0, y + 1.0, WIDTH - 12.0, 16.0],
        Some(InkClass::Paper),
        None,
    );
    canvas.text(LEFT, y + 13.0, Type::of(12.5).bold(), &series.words);
    let room = WIDTH - 40.0 - width_of(&series.words, 12.5, true);
    let fit = wrapped(remark, room, 12.5, false, 1).join("");
    canvas.text(RIGHT, y + 13.0, Type::of(12.5).held(Held::End), &fit);
    let middle = y + DOTS;
    canvas.line(
        [LEFT, middle, RIGHT, middle],
        Stroke(InkClass::Line, 0.7, false),
    );
    let mut dots: Vec<f64> = others
        .iter()
        .map(|p| x(p.value))
        .filter(|at| at.is_finite())
        .collect();
    dots.sort_by(f64::total_cmp);
    let mut last = [f64::NEG_INFINITY; LEVELS.len()];
    for at in dots {
        let free = last
            .iter()
            .position(|end| at - end > 2.0 * RADIUS)
            .unwrap_or(0);
        last[free] = at;
        canvas.circle(
            [at, middle + LEVELS[free], RADIUS],
            Some(InkClass::TintStrong),
            Some(Stroke(InkClass::Quiet, 0.8, false)),
        );
    }
    for point in own {
        if let Some((low, high)) = point.low.zip(point.high).filter(|(low, _)| *low > 0.0) {
            whisker(canvas, [x(low), x(high)], middle);
        }
        let at = x(point.value);
        let (left, right, up, down) = (at - 7.0, at + 7.0, middle - 7.0, middle + 7.0);
        let [at, left, right, up, down, middle] = [at, left, right, up, down, middle].map(number);
        let data = format!("M{at} {up}L{right} {middle}L{at} {down}L{left} {middle}Z");
        canvas.path(
            &data,
            Some(InkClass::Ink),
            Some(Stroke(InkClass::Paper, 1.2, false)),
        );
    }
    ends(canvas, &others, middle, x);
}

/// Names the products at both ends, where there is room.
fn ends(canvas: &mut Canvas, others: &[&Point], middle: f64, x: &impl Fn(f64) -> f64) {
    let finite = || {
        others
            .iter()
            .filter(|p| p.value.is_finite() && p.value > 0.0)
    };
    let least = finite().min_by(|a, b| a.value.total_cmp(&b.value));
    let most = finite().max_by(|a, b| a.value.total_cmp(&b.value));
    let name = |p: &Point| wrapped(&p.words, 150.0, 10.5, false, 1).join("");
    let mut taken = f64::NEG_INFINITY;
    if let Some(p) = least.filter(|p| p.value < 1.0) {
        let text = name(p);
        let at = x(p.value) - RADIUS;
        canvas.text(
            at,
            middle + 17.0,
            Type::of(10.5).look(InkClass::Quiet),
            &text,
        );
        taken = at + width_of(&text, 10.5, false);
    }
    if let Some(p) = most.filter(|p| p.value > 1.0) {
        let text = name(p);
        let at = x(p.value) + RADIUS;
        if at - width_of(&text, 10.5, false) > taken + 8.0 {
            let kind = Type::of(10.5).look(InkClass::Quiet).held(Held::End);
            canvas.text(at, middle + 17.0, kind, &text);
        }
    }
}

fn describe(chart: &Chart) -> String {
    let mut told = vec![format!("{}.", chart.caption.trim_end_matches('.'))];
    for series in &chart.series {
        let own = series.points.iter().find(|p| p.place.is_some());
        let others = series.points.len() - usize::from(own.is_some());
        let remark = own.map_or("", |p| p.remark.as_str());
        told.push(format!(
            "{}: {remark}, beside {others} others.",
            series.words
        ));
    }
    told.join(" ")
}
