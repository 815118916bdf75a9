//! Bars, row by row; as parts of a whole each begins where the one before it ends, and the whole
//! stands above as one stacked bar.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, wrapped};
use super::chart::{spread, value, whisker};
use methods::{Chart, Form, Point, Standing};
use quantity::digits;

/// Where names end, bars end, and values end; pixels.
pub(super) struct Room {
    left: f64,
    right: f64,
    width: f64,
}

/// Beside text.
pub(super) const LINE: Room = Room {
    left: 172.0,
    right: 396.0,
    width: 520.0,
};
/// On a narrow page.
pub(super) const UPRIGHT: Room = Room {
    left: 138.0,
    right: 228.0,
    width: 340.0,
};
const ROW: f64 = 24.0;
/// With more rows than this only the first level is drawn.
const MOST: usize = 26;

/// One piece of the bar, in the unit of the chart.
struct Piece<'a> {
    point: &'a Point,
    from: f64,
    length: f64,
    uncertainty: f64,
}

impl Piece<'_> {
    fn end(&self) -> f64 {
        self.from + self.length
    }

    fn stands_out(&self) -> bool {
        self.point.standing == Standing::Contradicted
    }
}

/// Draws the bars and describes them; `None` where none has a length.
pub(super) fn draw(chart: &Chart, room: &Room) -> Option<(String, String)> {
    let mut pieces = pieces(chart);
    if pieces.len() > MOST {
        pieces.retain(|p| p.point.level == 1);
    }
    let ends = pieces.iter().map(|p| p.end() + p.uncertainty);
    let greatest = ends.fold(0.0, f64::max);
    if greatest <= 0.0 {
        return None;
    }
    let x = |value: f64| room.left + (room.right - room.left) * (value / greatest).clamp(0.0, 1.0);
    let mut canvas = Canvas::default();
    let mut y = 8.0;
    if chart.form == Form::Parts {
        stacked(&mut canvas, chart, &pieces, y, (&x, room));
        y += 42.0;
    }
    let mut shade = false;
    for piece in &pieces {
        if piece.point.level <= 1 {
            shade = !shade;
        }
        row(&mut canvas, chart, piece, (y, shade), (&x, room));
        let two_lines = piece.stands_out() || name_lines(piece, room).len() > 1;
        y += if two_lines { ROW + 14.0 } else { ROW };
    }
    let alternative = describe(chart, &pieces);
    let svg = canvas.finish(room.width, y + 4.0, &alternative);
    Some((svg, alternative))
}

/// Finds where each piece begins: as a part of a whole behind its neighbour, else at zero.
fn pieces(chart: &Chart) -> Vec<Piece<'_>> {
    let mut out = Vec::new();
    for series in &chart.series {
        // `next[level]` is where the next piece of that level begins.
        let mut next: Vec<f64> = Vec::new();
        for point in series.points.iter().filter(|p| p.value.is_finite()) {
            let level = point.level;
            next.resize(next.len().max(level + 2), 0.0);
            let from = match chart.form {
                Form::Parts => next[level],
                Form::Bars
                | Form::Intervals
                | Form::Lines
                | Form::Steps
                | Form::Ratios
                | Form::Octaves
                | Form::Dots
                | Form::Strips => 0.0,
            };
            // A small negative value can come out of a difference; it takes no room.
            let length = point.value.max(0.0);
            out.push(Piece {
                point,
                from,
                length,
                uncertainty: spread(point),
            });
            next[level] = from + length;
            next[level + 1] = from;
        }
    }
    out
}

/// Draws the whole bar: pieces of the first level side by side.
fn stacked(
    canvas: &mut Canvas,
    chart: &Chart,
    pieces: &[Piece<'_>],
    y: f64,
    (x, room): (&impl Fn(f64) -> f64, &Room),
) {
    canvas.text(0.0, y + 18.0, Type::of(13.0).bold(), "All pieces");
    let level = usize::from(pieces.iter().any(|p| p.point.level == 1));
    let mut end: f64 = 0.0;
    let side_by_side = pieces.iter().filter(|p| p.point.level == level);
    for (i, piece) in side_by_side.enumerate() {
        let look = if i % 2 == 0 {
            InkClass::TintStrong
        } else {
            InkClass::Tint
        };
        let (a, b) = (x(piece.from), x(piece.end()));
        bar(canvas, piece, [a, y, b - a, 26.0], look);
        end = end.max(piece.end());
    }
    if let Some(whole) = pieces.iter().find(|p| p.point.level == 0) {
        let u = whole.uncertainty;
        whisker(canvas, [x(end - u), x(end + u)], y + 13.0);
        let unit = chart.values.unit.symbol();
        let text = format!("{} {unit}", digits::written(whole.length, u));
        let kind = Type::of(13.0).bold().held(Held::End);
        canvas.text(room.width, y + 18.0, kind, &text);
    }
}

fn row(
    canvas: &mut Canvas,
    chart: &Chart,
    p: &Piece<'_>,
    (y, shade): (f64, bool),
    (x, room): (&impl Fn(f64) -> f64, &Room),
) {
    let mut kind = Type::of(12.0);
    kind.bold = p.point.level == 0;
    if p.stands_out() {
        kind = kind.look(InkClass::Accent);
    }
    for (line, base) in name_lines(p, room).iter().zip([14.0, 28.0]) {
        canvas.text(indent(p), y + base, kind, line);
    }
    let look = if shade {
        InkClass::TintStrong
    } else {
        InkClass::Tint
    };
    let height = if p.point.level < 2 { 14.0 } else { 8.0 };
    let (a, b) = (x(p.from), x(p.end()));
    bar(canvas, p, [a, y + 10.0 - height / 2.0, b - a, height], look);
    let ends = [p.end() - p.uncertainty, p.end() + p.uncertainty];
    whisker(canvas, ends.map(x), y + 10.0);
    let kind = kind.held(Held::End);
    canvas.text(room.width, y + 14.0, kind, &value(chart, p.point));
    if p.stands_out() {
        canvas.text(room.width, y + 29.0, kind, &p.point.remark);
    }
}

/// Indents a piece by its level; pixels.
fn indent(p: &Piece<'_>) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "a few levels")]
    let level = p.point.level.min(8) as f64;
    14.0 * level
}

/// Breaks a piece's name into the one or two lines it is printed in.
fn name_lines(p: &Piece<'_>, room: &Room) -> Vec<String> {
    let width = room.left - 10.0 - indent(p);
    wrapped(&p.point.words, width, 12.0, p.point.level == 0, 2)
}

/// One bar: dashed where inferred, in the accent where it is contradicted.
fn bar(canvas: &mut Canvas, piece: &Piece<'_>, place: [f64; 4], look: InkClass) {
    let is_inferred = piece.point.standing == Standing::Inferred;
    let (outline, width) = if piece.stands_out() {
        (InkClass::Accent, 2.0)
    } else {
        (InkClass::Ink, 0.8)
    };
    let fill = if is_inferred { InkClass::Paper } else { look };
    canvas.rect(place, Some(fill), Some(Stroke(outline, width, is_inferred)));
}

fn describe(chart: &Chart, pieces: &[Piece<'_>]) -> String {
    let said: Vec<String> = pieces
        .iter()
        .map(|p| {
            let value = value(chart, p.point);
            let remark = match p.point.remark.as_str() {
                "" => String::new(),
                remark => format!(", {remark}"),
            };
            format!("{} {value}{remark}", p.point.words)
        })
        .collect();
    let what = methods::words::capital(&chart.values.quantity);
    format!("{what}: {}.", said.join("; "))
}
