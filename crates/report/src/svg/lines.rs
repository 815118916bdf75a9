//! Values over an axis: lines from point to point, or steps; each series told by its mark and name. Both axes may be
//! ones of ratios, on which a tenfold is as far everywhere.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, number, width_of, wrapped};
use super::chart::{label, ticks};
use methods::{Axis, Chart, Form, Point, Series, Standing};
use quantity::digits;

const WIDTH: f64 = 520.0;
const HEIGHT: f64 = 300.0;
/// Around it is room for the labels of the axes and the names of the series.
const LEFT: f64 = 64.0;
const RIGHT: f64 = 400.0;
const TOP: f64 = 38.0;
/// Base line of the names of parts of the axis, between its quantity and the drawing.
const NAMES: f64 = 32.0;
/// Size of their letters.
const NAME: f64 = 11.0;
/// A part below this share of the one before it may be passed over by that one's name.
const SHORT: f64 = 0.25;
/// Room for the name of a series.
const NAMED: f64 = 34.0;
const BOTTOM: f64 = 254.0;
/// Radius of a dot.
const DOT: f64 = 3.2;
/// So many marks at most on a line.
const MARKS: usize = 8;

/// Ends of the drawn range, and how a value falls on the paper.
struct Scale {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
    ratios: bool,
}

impl Scale {
    /// A scale of ratios, on which values must be above zero.
    fn of_ratios(values: impl Iterator<Item = f64>, from: f64, to: f64) -> Option<Self> {
        let logs = values.filter(|v| *v > 0.0).map(f64::log10);
        let scale = Self::of(logs, from, to)?;
        Some(Self {
            ratios: true,
            ..scale
        })
    }

    fn of(values: impl Iterator<Item = f64>, from: f64, to: f64) -> Option<Self> {
        let values = values.filter(|v| v.is_finite());
        let ends = (f64::INFINITY, f64::NEG_INFINITY);
        let (low, high) = values.fold(ends, |(l, h), v| (l.min(v), h.max(v)));
        (low < high).then_some(Self {
            low,
            high,
            from,
            to,
            ratios: false,
        })
    }

    /// Where lines of a grid stand: on a scale of ratios powers of ten, with 2 and 5 between where these are few.
    fn ticks(&self, most: u8) -> Vec<f64> {
        if !self.ratios {
            return ticks(self.low, self.high, most);
        }
        let steps: &[f64] = match self.high - self.low {
            decades if decades <= 2.0 => &[1.0, 2.0, 5.0],
            _ => &[1.0],
        };
        let powers = self.low.floor() as i32..=self.high.floor() as i32;
        let all = powers.flat_map(|power| steps.iter().map(move |step| step * 10_f64.powi(power)));
        all.filter(|tick| (self.low..=self.high).contains(&tick.log10()))
            .collect()
    }

    fn at(&self, value: f64) -> f64 {
        let value = if self.ratios { value.log10() } else { value };
        let share = (value.clamp(self.low, self.high) - self.low) / (self.high - self.low);
        self.from + (self.to - self.from) * share
    }
}

/// Draws the series and describes them; `None` where the points lie in one line along an axis.
pub(super) fn draw(chart: &Chart) -> Option<(String, String)> {
    let over = chart.over.as_ref()?;
    let points = || chart.series.iter().flat_map(|s| &s.points);
    let over_values = points().filter_map(|p| p.at);
    let x = match chart.form {
        Form::Ratios => Scale::of_ratios(over_values, LEFT, RIGHT)?,
        _ => Scale::of(over_values, LEFT, RIGHT)?,
    };
    let told = |p: &Point| [Some(p.value), p.low, p.high, p.limit];
    let values = points().flat_map(told).flatten();
    let y = match chart.form {
        Form::Ratios => Scale::of_ratios(values, BOTTOM, TOP)?,
        _ => Scale::of(values, BOTTOM, TOP)?,
    };
    let mut canvas = Canvas::default();
    axes(&mut canvas, [over, &chart.values], &x, &y);
    divisions(&mut canvas, chart, &x);
    let mut free = TOP;
    for (n, series) in chart.series.iter().enumerate() {
        #[allow(clippy::cast_precision_loss, reason = "a few series")]
        let after = NAMED * (chart.series.len() - 1 - n) as f64;
        let lowest = HEIGHT - NAMED - after;
        free = one(&mut canvas, chart.form, series, n, [free, lowest], [&x, &y]);
    }
    let alternative = describe(chart, over);
    let svg = canvas.finish(WIDTH, HEIGHT, &alternative);
    Some((svg, alternative))
}

/// Names the parts of the axis above it and draws where one gives way to the next. A name may reach over parts that are
/// much shorter than its own, which then go unnamed here; the words beside the drawing name all.
fn divisions(canvas: &mut Canvas, chart: &Chart, x: &Scale) {
    let parts: Vec<(f64, &str)> = chart
        .divisions
        .iter()
        .filter(|part| part.at.is_finite())
        .map(|part| (x.at(part.at), part.words.as_str()))
        .collect();
    let end = |n: usize| parts.get(n + 1).map_or(RIGHT, |next| next.0);
    let mut free = LEFT;
    for (n, &(from, words)) in parts.iter().enumerate() {
        if n > 0 {
            let line = Stroke(InkClass::Quiet, 1.0, false);
            canvas.line([from, NAMES - 9.0, from, BOTTOM], line);
        }
        let own = end(n) - from;
        let short = |at: &usize| end(*at) - parts[*at].0 < SHORT * own;
        let last = (n + 1..parts.len()).take_while(short).last().unwrap_or(n);
        let room = match last + 1 == parts.len() && last > n {
            true => WIDTH,
            false => end(last),
        };
        let width = width_of(words, NAME, false) + 6.0;
        if from >= free && from + width <= room {
            let kind = Type::of(NAME).look(InkClass::Quiet);
            canvas.text(from + 4.0, NAMES, kind, words);
            free = from + width;
        }
    }
}

fn named(axis: &Axis) -> String {
    let unit = axis.unit.symbol();
    let quantity = methods::words::capital(&axis.quantity);
    if unit.is_empty() {
        quantity
    } else {
        format!("{quantity} / {unit}")
    }
}

fn axes(canvas: &mut Canvas, [over, values]: [&Axis; 2], x: &Scale, y: &Scale) {
    let grid = Stroke(InkClass::Line, 0.7, true);
    for value in x.ticks(6) {
        let at = x.at(value);
        canvas.line([at, TOP, at, BOTTOM], grid);
        let text = digits::decimal(value, digits::carried(value));
        label(canvas, [at, BOTTOM + 16.0], Held::Middle, &text);
    }
    for value in y.ticks(5) {
        let at = y.at(value);
        canvas.line([LEFT, at, RIGHT, at], grid);
        let text = digits::decimal(value, digits::carried(value));
        label(canvas, [LEFT - 6.0, at + 4.0], Held::End, &text);
    }
    let line = Stroke(InkClass::Ink, 1.0, false);
    canvas.line([LEFT, BOTTOM, RIGHT, BOTTOM], line);
    canvas.line([LEFT, TOP, LEFT, BOTTOM], line);
    let kind = Type::of(12.0);
    canvas.text(0.0, 14.0, kind, &named(values));
    canvas.text(RIGHT, HEIGHT - 8.0, kind.held(Held::End), &named(over));
}

/// Draws one series; returns where the next name may stand.
fn one(
    canvas: &mut Canvas,
    form: Form,
    series: &Series,
    n: usize,
    [free, lowest]: [f64; 2],
    [x, y]: [&Scale; 2],
) -> f64 {
    let drawn: Vec<([f64; 2], &Point)> = series
        .points
        .iter()
        .filter(|p| p.value.is_finite())
        .filter_map(|p| Some(([x.at(p.at?), y.at(p.value)], p)))
        .collect();
    let mut data = String::new();
    let mut before: Option<[f64; 2]> = None;
    for ([px, py], point) in &drawn {
        let step = before.filter(|_| form == Form::Steps);
        data += &match (before, step) {
            (None, _) => format!("M{} {}", number(*px), number(*py)),
            (_, Some([_, old])) => format!(
                "L{} {}L{} {}",
                number(*px),
                number(old),
                number(*px),
                number(*py)
            ),
            (Some(_), None) => format!("L{} {}", number(*px), number(*py)),
        };
        before = Some([*px, *py]);
        if let Some((low, high)) = point.low.zip(point.high) {
            let ends = [*px, y.at(low), *px, y.at(high)];
            canvas.line(ends, Stroke(InkClass::Ink, 1.0, false));
        }
        if let Some(limit) = point.limit {
            let at = y.at(limit);
            let ends = [px - 4.0, at, px + 4.0, at];
            canvas.line(ends, Stroke(InkClass::Accent, 1.5, false));
        }
    }
    if form == Form::Dots && n == 0 {
        for ([px, py], _) in &drawn {
            let rim = Some(Stroke(InkClass::Quiet, 0.8, false));
            canvas.circle([*px, *py, DOT], Some(InkClass::TintStrong), rim);
        }
        return free;
    }
    // What was worked out is told from what was measured by its broken line.
    let inferred = drawn.iter().all(|(_, p)| p.standing == Standing::Inferred);
    let line = match inferred {
        true => Stroke(InkClass::Accent, 1.6, true),
        false => Stroke(InkClass::Ink, 1.6, false),
    };
    canvas.path(&data, None, Some(line));
    let apart = drawn.len().div_ceil(MARKS).max(1);
    for ([px, py], _) in drawn.iter().step_by(apart) {
        mark(canvas, n, [*px, *py]);
    }
    let Some(([_, last], _)) = drawn.last() else {
        return free;
    };
    // Names keep apart, in the order of the series, and leave room for those to come.
    let at = last.max(free).min(lowest.max(free));
    mark(canvas, n, [RIGHT + 12.0, at]);
    let lines = wrapped(&series.words, WIDTH - RIGHT - 22.0, 12.0, false, 2);
    for (line, base) in lines.iter().zip([4.0, 18.0]) {
        canvas.text(RIGHT + 22.0, at + base, Type::of(12.0), line);
    }
    at + NAMED
}

/// Draws the mark of a series, told by its shape and filling.
fn mark(canvas: &mut Canvas, n: usize, [x, y]: [f64; 2]) {
    let line = Some(Stroke(InkClass::Ink, 1.2, false));
    let fill = Some(if n % 4 < 2 {
        InkClass::Ink
    } else {
        InkClass::Paper
    });
    if n.is_multiple_of(2) {
        canvas.circle([x, y, 3.4], fill, line);
    } else {
        canvas.rect([x - 3.2, y - 3.2, 6.4, 6.4], fill, line);
    }
}

fn describe(chart: &Chart, over: &Axis) -> String {
    let told = |value: f64, axis: &Axis| {
        let text = digits::decimal(value, digits::carried(value));
        format!("{text} {}", axis.unit.symbol())
            .trim_end()
            .to_string()
    };
    let said: Vec<String> = chart
        .series
        .iter()
        .filter_map(|series| {
            let (first, last) = (series.points.first()?, series.points.last()?);
            Some(format!(
                "{}: {} at {}, {} at {}",
                series.words,
                told(first.value, &chart.values),
                told(first.at?, over),
                told(last.value, &chart.values),
                told(last.at?, over),
            ))
        })
        .collect();
    let what = methods::words::capital(&chart.values.quantity);
    let parts: Vec<String> = chart
        .divisions
        .iter()
        .map(|part| format!("{} from {}", part.words, told(part.at, over)))
        .collect();
    let parts = match parts.is_empty() {
        true => String::new(),
        false => format!(" {}.", methods::words::capital(&parts.join(", "))),
    };
    format!("{what} over {}. {}.{parts}", over.quantity, said.join("; "))
}
