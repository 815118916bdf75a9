//! Intervals, one row each, against the limit they are held to.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, number, wrapped};
use super::chart::{label, ticks};
use methods::{Chart, Point, Standing};
use quantity::digits;

const WIDTH: f64 = 500.0;
const ROW: f64 = 66.0;
const TOP: f64 = 26.0;
const LEFT: f64 = 10.0;
const RIGHT: f64 = WIDTH - 10.0;

/// Draws the rows in the order given and describes them.
pub(super) fn draw(chart: &Chart) -> Option<(String, String)> {
    let series = chart.series.iter();
    let rows: Vec<&Point> = series
        .flat_map(|s| &s.points)
        .filter(|p| ends(p).iter().all(|end| end.is_finite()))
        .collect();
    let least = rows.iter().map(|p| ends(p)[0]).fold(0.0, f64::min);
    let limits: Vec<f64> = rows.iter().filter_map(|p| p.limit).collect();
    let limit = limits.iter().copied().fold(0.0, f64::max);
    // Beyond twice the limit a row is cut and says so by an arrow.
    let most = if limit > 0.0 {
        2.0 * limit
    } else {
        f64::INFINITY
    };
    let furthest = rows.iter().map(|p| ends(p)[1]);
    let greatest = furthest.fold(1.25 * limit, f64::max).min(most);
    if rows.is_empty() || greatest <= least {
        return None;
    }
    let x = |value: f64| {
        let share = (value.clamp(least, greatest) - least) / (greatest - least);
        LEFT + (RIGHT - LEFT) * share
    };
    let mut canvas = Canvas::default();
    #[allow(clippy::cast_precision_loss, reason = "far fewer rows than 2^52")]
    let bottom = TOP + ROW * rows.len() as f64;
    let common = (limits.len() == rows.len())
        .then_some(limit)
        .filter(|limit| {
            limits
                .iter()
                .all(|other| (other - limit).abs() < 1e-9 * limit.abs())
        });
    grid(&mut canvas, chart, [least, greatest], common, bottom, &x);
    let mut y = TOP;
    for point in &rows {
        row(
            &mut canvas,
            point,
            y,
            [greatest, common.unwrap_or(f64::NAN)],
            &x,
        );
        y += ROW;
    }
    let alternative = describe(chart, &rows);
    let svg = canvas.finish(WIDTH, bottom + 4.0, &alternative);
    Some((svg, alternative))
}

/// Low, high of a point; its value where it has no ends.
fn ends(point: &Point) -> [f64; 2] {
    [point.low, point.high].map(|end| end.unwrap_or(point.value))
}

/// Draws round values as thin lines, the limit of all rows as a strong one with its name.
fn grid(
    canvas: &mut Canvas,
    chart: &Chart,
    [least, greatest]: [f64; 2],
    common: Option<f64>,
    bottom: f64,
    x: &impl Fn(f64) -> f64,
) {
    let unit = chart.values.unit.symbol();
    let told = |value: f64| {
        let text = format!("{} {unit}", digits::decimal(value, digits::carried(value)));
        text.trim_end().to_string()
    };
    for value in ticks(least, greatest, 4) {
        if common.is_some_and(|limit| (value - limit).abs() < 1e-9 * limit.abs()) {
            continue;
        }
        let at = x(value);
        canvas.line(
            [at, TOP - 8.0, at, bottom],
            Stroke(InkClass::Line, 0.7, true),
        );
        let held = if at < LEFT + 20.0 {
            Held::Start
        } else if at > RIGHT - 20.0 {
            Held::End
        } else {
            Held::Middle
        };
        label(canvas, [at, 12.0], held, &told(value));
    }
    if let Some(limit) = common {
        let at = x(limit);
        canvas.line(
            [at, TOP - 8.0, at, bottom],
            Stroke(InkClass::Ink, 1.5, false),
        );
        let name = chart.series.first().map_or("", |s| s.words.as_str());
        let text = if name.is_empty() {
            told(limit)
        } else {
            format!("{name} = {}", told(limit))
        };
        let kind = Type::of(12.0).held(Held::Middle);
        canvas.text(at.min(RIGHT - 55.0), 12.0, kind, &text);
    }
}

/// Draws one row: words, what was found, the interval and, if it is not that of all rows, its limit.
fn row(
    canvas: &mut Canvas,
    point: &Point,
    y: f64,
    [greatest, common]: [f64; 2],
    x: &impl Fn(f64) -> f64,
) {
    let look = if point.standing == Standing::Contradicted {
        InkClass::Accent
    } else {
        InkClass::Ink
    };
    let fit = |text: &str, bold| wrapped(text, WIDTH - 24.0, 12.5, bold, 1).join("");
    // The grid is kept out of the words.
    canvas.rect(
        [6.0, y + 2.0, WIDTH - 12.0, 36.0],
        Some(InkClass::Paper),
        None,
    );
    canvas.text(10.0, y + 15.0, Type::of(12.5), &fit(&point.words, false));
    let kind = Type::of(12.5).bold().look(look);
    canvas.text(10.0, y + 32.0, kind, &fit(&point.remark, true));
    let middle = y + 50.0;
    let upright = |canvas: &mut Canvas, at: f64, half: f64, stroke| {
        canvas.line([x(at), middle - half, x(at), middle + half], stroke);
    };
    let [low, high] = ends(point);
    let stroke = Stroke(look, 2.0, false);
    canvas.line([x(low), middle, x(high), middle], stroke);
    for end in [low, high].into_iter().filter(|end| *end <= greatest) {
        upright(canvas, end, 8.0, stroke);
    }
    if common.is_nan()
        && let Some(limit) = point.limit
    {
        upright(canvas, limit, 14.0, Stroke(InkClass::Ink, 1.5, false));
    }
    if high > greatest {
        let tip = x(greatest);
        let [a, b, c, d] = [tip, tip - 9.0, middle - 5.0, middle + 5.0].map(number);
        let data = format!("M{b} {c}L{a} {}L{b} {d}Z", number(middle));
        canvas.path(&data, Some(look), None);
    }
    if point.value <= greatest {
        canvas.circle([x(point.value), middle, 3.8], Some(look), None);
    }
}

fn describe(chart: &Chart, rows: &[&Point]) -> String {
    let unit = chart.values.unit.symbol();
    let told = |point: &Point| {
        let [low, high] = ends(point);
        let decimals = digits::decimals((high - low) / 2.0).unwrap_or(0);
        let [value, low, high] = [point.value, low, high].map(|v| digits::decimal(v, decimals));
        format!(
            "{}: {}; {value} {unit} of the limit, {low} {unit} to {high} {unit}.",
            point.words, point.remark
        )
    };
    let said: Vec<String> = rows.iter().map(|point| told(point)).collect();
    said.join(" ")
}
