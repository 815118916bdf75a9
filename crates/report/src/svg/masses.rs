//! Masses: the whole as one stacked bar, and the same bar taken apart row by row.

use super::canvas::{Canvas, Held, Look, Stroke, Type, number, wrapped};
use crate::words::with_uncertainty;
use methods::MassRow;

const WIDTH: f64 = 520.0;
const LEFT: f64 = 172.0;
const RIGHT: f64 = 396.0;
const ROW: f64 = 24.0;
/// With more rows than this only the first level is drawn.
const MOST: usize = 26;

/// One piece of the bar: from and to in grams.
struct Piece<'a> {
    row: &'a MassRow,
    level: usize,
    from: f64,
    mass: f64,
    uncertainty: f64,
}

/// Draws the masses and describes them; `None` where no piece has a mass.
pub(crate) fn masses(rows: &[MassRow]) -> Option<(String, String)> {
    let mut pieces = pieces(rows, 2);
    if pieces.len() > MOST {
        pieces.retain(|p| p.level == 1);
    }
    let end = |p: &Piece<'_>| p.from + p.mass + p.uncertainty;
    let greatest = pieces.iter().map(end).fold(0.0, f64::max);
    if greatest <= 0.0 {
        return None;
    }
    let x = |grams: f64| LEFT + (RIGHT - LEFT) * (grams / greatest).clamp(0.0, 1.0);
    let mut canvas = Canvas::default();
    let mut y = 8.0;
    stacked(&mut canvas, &pieces, y, &x);
    y += 42.0;
    let mut shade = false;
    for piece in &pieces {
        if piece.level <= 1 {
            shade = !shade;
        }
        draw(&mut canvas, piece, y, shade, &x);
        let two_lines = piece.row.flagged || name_lines(piece).len() > 1;
        y += if two_lines { ROW + 14.0 } else { ROW };
    }
    let alternative = describe(&pieces);
    let svg = canvas.finish(WIDTH, y + 4.0, &alternative);
    Some((svg, alternative))
}

/// Finds pieces with a mass down to a level and where each begins in the bar.
fn pieces(rows: &[MassRow], deepest: usize) -> Vec<Piece<'_>> {
    let top = rows.iter().map(|r| r.depth).min().unwrap_or(0);
    // `next[level]` is where the next piece of that level begins.
    let mut next = vec![0.0; deepest + 2];
    let mut out = Vec::new();
    for row in rows {
        let level = row.depth - top;
        let Some((mass, uncertainty)) = row.adjusted else {
            continue;
        };
        if level > deepest || !mass.is_finite() || !uncertainty.is_finite() {
            continue;
        }
        // A small negative mass can come out of a difference; it takes no room.
        let mass = mass.max(0.0);
        let from: f64 = next[level];
        out.push(Piece {
            row,
            level,
            from,
            mass,
            uncertainty: uncertainty.max(0.0),
        });
        next[level] = from + mass;
        next[level + 1] = from;
    }
    out
}

/// Draws the whole bar: pieces of the first level side by side.
fn stacked(canvas: &mut Canvas, pieces: &[Piece<'_>], y: f64, x: &impl Fn(f64) -> f64) {
    canvas.text(0.0, y + 18.0, Type::of(13.0).bold(), "Stacked");
    let level = if pieces.iter().any(|p| p.level == 1) {
        1
    } else {
        0
    };
    let mut end: f64 = 0.0;
    for (i, piece) in pieces.iter().filter(|p| p.level == level).enumerate() {
        let look = if i % 2 == 0 {
            Look::TintStrong
        } else {
            Look::Tint
        };
        let (a, b) = (x(piece.from), x(piece.from + piece.mass));
        bar(canvas, piece, [a, y, b - a, 26.0], look);
        end = end.max(piece.from + piece.mass);
    }
    if let Some(whole) = pieces.iter().find(|p| p.level == 0) {
        let (mass, _) = with_uncertainty(whole.mass, whole.uncertainty);
        whisker(canvas, end, whole.uncertainty, y + 13.0, x);
        let text = format!("{mass} g");
        canvas.text(
            WIDTH,
            y + 18.0,
            Type::of(13.0).bold().held(Held::End),
            &text,
        );
    }
}

fn draw(canvas: &mut Canvas, p: &Piece<'_>, y: f64, shade: bool, x: &impl Fn(f64) -> f64) {
    let bold = p.level == 0;
    let mut kind = Type::of(12.0);
    kind.bold = bold;
    if p.row.flagged {
        kind = kind.look(Look::Accent);
    }
    for (line, base) in name_lines(p).iter().zip([14.0, 28.0]) {
        canvas.text(indent(p), y + base, kind, line);
    }
    let look = if shade { Look::TintStrong } else { Look::Tint };
    let height = if p.level < 2 { 14.0 } else { 8.0 };
    let (a, b) = (x(p.from), x(p.from + p.mass));
    bar(canvas, p, [a, y + 10.0 - height / 2.0, b - a, height], look);
    whisker(canvas, p.from + p.mass, p.uncertainty, y + 10.0, x);
    let (mass, u) = with_uncertainty(p.mass, p.uncertainty);
    canvas.text(
        WIDTH,
        y + 14.0,
        kind.held(Held::End),
        &format!("{mass} ± {u} g"),
    );
    if p.row.flagged {
        canvas.text(WIDTH, y + 29.0, kind.held(Held::End), "reading disagrees");
    }
}

/// Indents a piece by its level; pixels.
fn indent(p: &Piece<'_>) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "at most two")]
    let level = p.level as f64;
    14.0 * level
}

/// Breaks a piece's name into the one or two lines it is printed in.
fn name_lines(p: &Piece<'_>) -> Vec<String> {
    wrapped(&p.row.name, LEFT - 10.0 - indent(p), 12.0, p.level == 0, 2)
}

/// One bar: dashed where inferred, in the accent where the reading disagrees.
fn bar(canvas: &mut Canvas, piece: &Piece<'_>, place: [f64; 4], look: Look) {
    let outline = if piece.row.flagged {
        Look::Accent
    } else {
        Look::Ink
    };
    let width = if piece.row.flagged { 2.0 } else { 0.8 };
    let fill = if piece.row.inferred {
        Look::Paper
    } else {
        look
    };
    canvas.rect(
        place,
        Some(fill),
        Some(Stroke(outline, width, piece.row.inferred)),
    );
}

fn whisker(canvas: &mut Canvas, at: f64, u: f64, y: f64, x: &impl Fn(f64) -> f64) {
    let (a, b) = (x((at - u).max(0.0)), x(at + u));
    if b - a < 1.5 {
        return;
    }
    let [l, r, m, t, d] = [a, b, y, y - 4.0, y + 4.0].map(number);
    let data = format!("M{l} {t}L{l} {d}M{l} {m}L{r} {m}M{r} {t}L{r} {d}");
    canvas.path(&data, None, Some(Stroke(Look::Ink, 1.4, false)));
}

fn describe(pieces: &[Piece<'_>]) -> String {
    let said: Vec<String> = pieces
        .iter()
        .map(|p| {
            let (mass, u) = with_uncertainty(p.mass, p.uncertainty);
            let inferred = if p.row.inferred { ", inferred" } else { "" };
            let flagged = if p.row.flagged {
                ", reading disagrees"
            } else {
                ""
            };
            format!("{} {mass} ± {u} g{inferred}{flagged}", p.row.name)
        })
        .collect();
    format!("Masses: {}.", said.join("; "))
}
