//! Values over an axis: lines from point to point, or steps; each series told by its mark and name. Both axes may be
//! ones of ratios, on which a tenfold is as far everywhere; frequencies stand by octaves. The drawing is narrow: it fits
//! a telephone at its own size, and two stand beside each other on a page.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, number, width_of, wrapped};
use super::chart::{label, ticks};
use methods::{Axis, Chart, Form, Point, Series, Standing};
use quantity::digits;

const WIDTH: f64 = 324.0;
/// Around it is room for the labels of the axes; the names of the series stand below.
const LEFT: f64 = 46.0;
const RIGHT: f64 = 316.0;
const TOP: f64 = 38.0;
/// Base line of the names of parts of the axis, between its quantity and the drawing.
const NAMES: f64 = 32.0;
/// Size of their letters.
const NAME: f64 = 11.0;
/// A part below this share of the one before it may be passed over by that one's name.
const SHORT: f64 = 0.25;
/// Where names of series begin, below the axis, and the room of a row of them.
const KEY: f64 = BOTTOM + 52.0;
const NAMED: f64 = 17.0;
/// Room for the mark of a series before its name.
const MARKED: f64 = 12.0;
const BOTTOM: f64 = 198.0;
/// Nominal middles of octaves, hertz (IEC 61260-1:2014, annex E).
const OCTAVES_HZ: [f64; 11] = [
    16.0, 31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16_000.0,
];
/// So many marks at most on a line.
const MARKS: usize = 8;
/// Each point of a line of so many is marked, even where it is the only line.
const FEW: usize = 24;

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

    /// The middles of octaves inside the scale.
    fn octaves(&self) -> Vec<f64> {
        let inside = |hz: &f64| (self.low..=self.high).contains(&hz.log10());
        OCTAVES_HZ.into_iter().filter(inside).collect()
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
        Form::Ratios | Form::Octaves => Scale::of_ratios(over_values, LEFT, RIGHT)?,
        _ => Scale::of(over_values, LEFT, RIGHT)?,
    };
    let told = |p: &Point| [Some(p.value), p.low, p.high, p.limit];
    let values = points().flat_map(told).flatten();
    let y = match chart.form {
        Form::Ratios => Scale::of_ratios(values, BOTTOM, TOP)?,
        _ => Scale::of(values, BOTTOM, TOP)?,
    };
    let mut canvas = Canvas::default();
    let along = match chart.form {
        Form::Octaves => x.octaves(),
        _ => x.ticks(5),
    };
    axes(&mut canvas, [over, &chart.values], (&along, &x), &y);
    divisions(&mut canvas, chart, &x);
    for (n, series) in chart.series.iter().enumerate() {
        one(&mut canvas, chart.form, (n, series), [&x, &y]);
        let are_dots = chart.form == Form::Dots && n == 0;
        // A long line alone needs no marks to be told.
        if are_dots {
            continue;
        }
        if chart.series.len() > 1 || series.points.len() <= FEW {
            marks(&mut canvas, series, n, [&x, &y]);
        }
    }
    let height = key(&mut canvas, &chart.series);
    let alternative = describe(chart, over);
    let svg = canvas.finish_small(WIDTH, height, &alternative);
    Some((svg, alternative))
}

/// Names the series beside their marks, two in a row where their names are short; returns where they end.
fn key(canvas: &mut Canvas, series: &[Series]) -> f64 {
    let named = || {
        series
            .iter()
            .enumerate()
            .filter(|(_, s)| !s.words.is_empty())
    };
    let half = WIDTH / 2.0;
    let room = |width: f64| width - 2.0 * MARKED;
    let are_short = named().all(|(_, s)| width_of(&s.words, 12.0, false) <= room(half));
    let (mut at, mut end) = ([0.0, KEY], KEY - NAMED);
    for (n, series) in named() {
        mark(canvas, n, [at[0] + 4.0, at[1] - 4.0]);
        let width = room(if are_short { half } else { WIDTH });
        for line in wrapped(&series.words, width, 12.0, false, 1) {
            canvas.text(at[0] + MARKED + 2.0, at[1], Type::of(12.0), &line);
        }
        end = at[1];
        at = match are_short && at[0] < half {
            true => [half, at[1]],
            false => [0.0, at[1] + NAMED],
        };
    }
    end + 8.0
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
            canvas.line([from, TOP, from, BOTTOM], line);
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
            canvas.text(from, NAMES, kind, words);
            free = from + width;
        } else if last + 1 == parts.len() && RIGHT - width >= free {
            // The last one may end where the axis ends.
            let kind = Type::of(NAME).look(InkClass::Quiet).held(Held::End);
            canvas.text(RIGHT, NAMES, kind, words);
            free = RIGHT;
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

fn axes(canvas: &mut Canvas, [over, values]: [&Axis; 2], (along, x): (&[f64], &Scale), y: &Scale) {
    let grid = Stroke(InkClass::Line, 0.7, true);
    for &value in along {
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
    canvas.text(RIGHT, BOTTOM + 32.0, kind.held(Held::End), &named(over));
}

/// Draws one series.
fn one(canvas: &mut Canvas, form: Form, (n, series): (usize, &Series), [x, y]: [&Scale; 2]) {
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
        drawn.iter().for_each(|(at, _)| mark(canvas, n, *at));
        return;
    }
    // What was worked out is told from what was measured by its broken line.
    let inferred = drawn.iter().all(|(_, p)| p.standing == Standing::Inferred);
    let line = match inferred {
        true => Stroke(InkClass::Quiet, 1.6, true),
        false => Stroke(InkClass::Ink, 1.6, false),
    };
    canvas.path(&data, None, Some(line));
}

/// Draws marks along a series.
fn marks(canvas: &mut Canvas, series: &Series, n: usize, [x, y]: [&Scale; 2]) {
    let told = series.points.iter().filter(|p| p.value.is_finite());
    let at: Vec<[f64; 2]> = told
        .filter_map(|p| Some([x.at(p.at?), y.at(p.value)]))
        .collect();
    for at in at.iter().step_by(at.len().div_ceil(MARKS).max(1)) {
        mark(canvas, n, *at);
    }
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
