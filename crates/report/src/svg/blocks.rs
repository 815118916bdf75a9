//! Block diagrams: boxes by assembly, arrows with what they carry. Power and signals are drawn alike.
//!
//! In: boxes and arrows in words. Out: a drawing in which no text leaves its box and no label lies on another.
//! Not here: what is drawn; where boxes stand (`layout`).

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, number, width_of, wrapped};
use super::layout::{Layout, Piece, Rect, Wire, packed};
use std::borrow::Cow;

const BOX: f64 = 186.0;
const PAD: f64 = 8.0;
/// Height of the strip above a group's boxes that holds its title.
const TITLE: f64 = 10.0;
const LINE_HEIGHT: f64 = 15.0;
/// Widest line of an arrow's words.
const LABEL: f64 = 150.0;
/// Width of the bar at the left of a box that is chosen.
const HELD: f64 = 5.0;
/// Width that a row of drawings should not pass on a page.
const ROW_WIDTH: f64 = 940.0;
/// Share of a drawing's width that an upright one may have and still be worth drawing.
const NARROWER: f64 = 0.8;
/// Height over width from which a diagram of several groups is parted.
const TALL: f64 = 1.5;

/// A box of a diagram.
#[derive(Debug, Clone, Default)]
pub(crate) struct BlockBox {
    /// Names, one below the other.
    pub(crate) names: Vec<String>,
    /// What it is, in secondary ink; may be empty.
    pub(crate) sort: String,
    /// What else is told of it.
    pub(crate) lines: Vec<String>,
    /// Whether it is filled.
    pub(crate) filled: bool,
    /// Whether it is framed heavily, and why in words.
    pub(crate) heavy: Option<&'static str>,
    /// Number of its group.
    pub(crate) group: Option<usize>,
    /// Whether it stands for a box of another part of the diagram.
    pub(crate) is_elsewhere: bool,
    /// Whether it is not known what it does.
    pub(crate) is_open: bool,
    /// On a page where boxes are chosen: what it stands for, and whether it is chosen.
    pub(crate) walked: Option<(String, bool)>,
}

/// An arrow of a diagram.
#[derive(Debug, Clone, Default)]
pub(crate) struct BlockWire {
    pub(crate) from: usize,
    pub(crate) to: usize,
    /// What it carries, line by line; may be empty.
    pub(crate) words: Vec<String>,
    /// Whether it is drawn heavily, and why in words.
    pub(crate) heavy: Option<&'static str>,
    /// Whether its line is broken.
    pub(crate) broken: bool,
}

/// The lines of one box.
struct Labels {
    names: Vec<String>,
    sort: Vec<String>,
    lines: Vec<String>,
    filled: bool,
    heavy: Option<&'static str>,
    is_elsewhere: bool,
    is_open: bool,
    walked: Option<(String, bool)>,
}

/// Boxes and arrows, ready to be drawn.
pub(crate) struct Diagram {
    pub(crate) boxes: Vec<BlockBox>,
    pub(crate) wires: Vec<BlockWire>,
    pub(crate) groups: Vec<String>,
    pub(crate) alternative: String,
}

impl Diagram {
    /// Returns the drawing.
    pub(crate) fn svg(&self) -> String {
        let (whole, wires) = self.whole();
        draw(&whole, &wires, &self.groups, &self.alternative)
    }

    /// The same for a narrow page, what hangs together one below the other; none where that is hardly narrower.
    pub(crate) fn upright(&self) -> Option<String> {
        let (boxes, wires) = parted(&self.boxes, &self.wires, &self.groups);
        let upright = laid_out(&boxes, &wires, 0.0);
        let (whole, _) = self.whole();
        let narrower = upright.layout.width < NARROWER * whole.layout.width;
        narrower.then(|| draw(&upright, &wires, &self.groups, &self.alternative))
    }

    /// Lays the diagram out for a page; one of several groups that would be tall is parted by them.
    fn whole(&self) -> (LaidOut, Cow<'_, [BlockWire]>) {
        let whole = laid_out(&self.boxes, &self.wires, ROW_WIDTH);
        if whole.layout.height > TALL * whole.layout.width && self.groups.len() > 1 {
            let (boxes, wires) = parted(&self.boxes, &self.wires, &self.groups);
            return (laid_out(&boxes, &wires, ROW_WIDTH), Cow::Owned(wires));
        }
        (whole, Cow::Borrowed(&self.wires))
    }
}

/// Parts a diagram by its groups: an arrow from one to another ends in a box that names where it leads, and begins
/// again in one that names where it is from.
fn parted(
    boxes: &[BlockBox],
    wires: &[BlockWire],
    groups: &[String],
) -> (Vec<BlockBox>, Vec<BlockWire>) {
    let mut all = boxes.to_vec();
    let mut arrows = Vec::new();
    for wire in wires {
        let (from, to) = (&boxes[wire.from], &boxes[wire.to]);
        if from.group == to.group {
            arrows.push(wire.clone());
            continue;
        }
        let mut end = |word: &str, other: &BlockBox, group: Option<usize>| {
            let whose = other.group.map_or("", |g| groups[g].as_str());
            all.push(BlockBox {
                lines: vec![format!("{word} {}", other.names.join(", "))],
                sort: whose.to_string(),
                is_elsewhere: true,
                group,
                ..BlockBox::default()
            });
            all.len() - 1
        };
        let out = end("to", to, from.group);
        let back = end("from", from, to.group);
        arrows.push(BlockWire {
            to: out,
            ..wire.clone()
        });
        arrows.push(BlockWire {
            from: back,
            ..wire.clone()
        });
    }
    (all, arrows)
}

/// A diagram with its places.
struct LaidOut {
    layout: Layout,
    labels: Vec<Labels>,
    told: Vec<Vec<String>>,
    sized: Vec<Wire>,
}

fn laid_out(boxes: &[BlockBox], wires: &[BlockWire], row_width: f64) -> LaidOut {
    let labels: Vec<Labels> = boxes.iter().map(labels).collect();
    let pieces: Vec<Piece> = boxes
        .iter()
        .zip(&labels)
        .map(|(one, labels)| Piece {
            width: BOX,
            height: height(labels),
            group: one.group,
        })
        .collect();
    let told: Vec<Vec<String>> = wires.iter().map(label).collect();
    let sized: Vec<Wire> = wires
        .iter()
        .zip(&told)
        .map(|(wire, lines)| Wire {
            from: wire.from,
            to: wire.to,
            label: label_size(lines),
        })
        .collect();
    LaidOut {
        layout: packed(&pieces, &sized, row_width),
        labels,
        told,
        sized,
    }
}

fn labels(one: &BlockBox) -> Labels {
    let room = BOX - 2.0 * PAD;
    let several = one.names.len() > 1;
    let lines = one.lines.iter();
    Labels {
        names: one
            .names
            .iter()
            .flat_map(|name| wrapped(name, room, 13.0, true, if several { 2 } else { 3 }))
            .collect(),
        sort: wrapped(&one.sort, room, 11.5, false, 1),
        lines: lines
            .flat_map(|l| wrapped(l, room, 12.0, false, 4))
            .collect(),
        filled: one.filled,
        heavy: one.heavy,
        is_elsewhere: one.is_elsewhere,
        is_open: one.is_open,
        walked: one.walked.clone(),
    }
}

fn height(labels: &Labels) -> f64 {
    let lines = labels.names.len()
        + labels.sort.len()
        + labels.lines.len()
        + usize::from(labels.heavy.is_some());
    #[allow(clippy::cast_precision_loss, reason = "a few lines")]
    let text = LINE_HEIGHT * lines as f64;
    text + 2.0 * PAD - 3.0
}

fn label(wire: &BlockWire) -> Vec<String> {
    let words = wire.words.iter();
    let mut lines: Vec<String> = words
        .flat_map(|line| wrapped(line, LABEL, 12.0, false, 2))
        .collect();
    lines.retain(|line| !line.is_empty());
    lines.extend(wire.heavy.map(str::to_string));
    lines
}

fn label_size(lines: &[String]) -> (f64, f64) {
    let width = lines
        .iter()
        .map(|l| width_of(l, 12.0, true))
        .fold(0.0, f64::max);
    #[allow(clippy::cast_precision_loss, reason = "a few lines")]
    let height = 14.0 * lines.len() as f64;
    if lines.is_empty() {
        (0.0, 0.0)
    } else {
        (width + 8.0, height + 4.0)
    }
}

fn draw(
    LaidOut {
        layout,
        labels,
        told,
        sized,
    }: &LaidOut,
    wires: &[BlockWire],
    groups: &[String],
    alternative: &str,
) -> String {
    let mut canvas = Canvas::default();
    for (group, [x, y, w, h]) in &layout.groups {
        // The title stands in a strip of its own above the boxes.
        let (y, h) = (y - TITLE, h + TITLE);
        canvas.rect(
            [*x, y, *w, h],
            None,
            Some(Stroke(InkClass::Line, 1.0, true)),
        );
        let title = wrapped(&groups[*group], w - 12.0, 12.0, true, 1).join("");
        canvas.text(
            x + 7.0,
            y + 15.0,
            Type::of(12.0).bold().look(InkClass::Quiet),
            &title,
        );
    }
    for (one, points) in wires.iter().zip(&layout.wires) {
        wire(&mut canvas, (one.heavy.is_some(), one.broken), points);
    }
    for (place, labels) in layout.boxes.iter().zip(labels) {
        if let Some((of, is_held)) = &labels.walked {
            canvas.begin(if *is_held { "walked held" } else { "walked" }, of);
        }
        node(&mut canvas, *place, labels);
        if labels.walked.is_some() {
            canvas.end();
        }
    }
    for (((one, lines), size), at) in wires.iter().zip(told).zip(sized).zip(&layout.labels) {
        if let (Some((x, y)), false) = (at, lines.is_empty()) {
            let (w, h) = size.label;
            canvas.rect(
                [x - w / 2.0, y - h / 2.0, w, h],
                Some(InkClass::Paper),
                None,
            );
            let mut base = y - h / 2.0 + 13.0;
            for line in lines {
                let mut kind = Type::of(12.0).held(Held::Middle);
                kind.bold = one.heavy.is_some();
                canvas.text(*x, base, kind, line);
                base += 14.0;
            }
        }
    }
    canvas.finish_in_size(layout.width, layout.height, alternative)
}

/// Draws an arrow: it leaves and reaches boxes vertically, so that it cuts no corner of a neighbour.
fn wire(canvas: &mut Canvas, (heavy, broken): (bool, bool), points: &[(f64, f64)]) {
    let [first, .., last] = points else { return };
    let mut data = format!("M{} {}", number(first.0), number(first.1));
    let tip = (last.0, last.1 - 7.0);
    let down = last.1 >= first.1;
    let tip = if down { tip } else { (last.0, last.1 + 7.0) };
    let inner = &points[1..points.len() - 1];
    let mut from = *first;
    for to in inner.iter().chain([&tip]) {
        let middle = (from.1 + to.1) / 2.0;
        let [a, m, x, y] = [from.0, middle, to.0, to.1].map(number);
        data += &format!("C{a} {m} {x} {m} {x} {y}");
        from = *to;
    }
    canvas.path(
        &data,
        None,
        Some(Stroke(InkClass::Ink, if heavy { 2.4 } else { 1.4 }, broken)),
    );
    let [l, r, x, y, t] = [last.0 - 4.5, last.0 + 4.5, last.0, last.1, tip.1].map(number);
    canvas.path(
        &format!("M{l} {t}L{r} {t}L{x} {y}Z"),
        Some(InkClass::Ink),
        None,
    );
}

fn node(canvas: &mut Canvas, [x, y, w, h]: Rect, labels: &Labels) {
    let fill = match labels.filled {
        true => InkClass::Tint,
        false => InkClass::Paper,
    };
    let outline = match labels.heavy {
        // The accent is for contradictions; what limits a path is framed heavily.
        Some(_) => Stroke(InkClass::Ink, 3.2, false),
        None if labels.is_elsewhere => Stroke(InkClass::Line, 1.0, true),
        // What is not known is left open.
        None => Stroke(InkClass::Ink, 1.2, labels.is_open),
    };
    canvas.rect([x, y, w, h], Some(fill), Some(outline));
    if labels.walked.as_ref().is_some_and(|(_, is_held)| *is_held) {
        canvas.rect([x, y, HELD, h], Some(InkClass::Ink), None);
    }
    let mut base = y + PAD + 9.0;
    let mut write = |kind: Type, line: &str| {
        canvas.text(x + PAD, base, kind, line);
        base += LINE_HEIGHT;
    };
    for line in &labels.names {
        write(Type::of(13.0).bold(), line);
    }
    for line in &labels.sort {
        write(Type::of(11.5).look(InkClass::Quiet), line);
    }
    for line in &labels.lines {
        write(Type::of(12.0), line);
    }
    if let Some(why) = labels.heavy {
        write(Type::of(12.0).bold(), why);
    }
}
