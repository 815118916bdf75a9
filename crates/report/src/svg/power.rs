//! The power path: boxes by assembly, power flowing downwards, limits in words.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, number, width_of, wrapped};
use super::layout::{Layout, Piece, Rect, Wire, place};
use methods::{PathRole, PowerEdge, PowerMap, PowerNode};
use std::collections::BTreeMap;

const BOX: f64 = 168.0;
const PAD: f64 = 10.0;
/// Height of the strip above a group's boxes that holds its title.
const TITLE: f64 = 10.0;
const LINE_HEIGHT: f64 = 15.0;

/// The lines of one box.
struct Labels {
    name: Vec<String>,
    sort: PathRole,
    limits: Vec<String>,
    binds: bool,
}

/// Draws the map; `group_name` gives the reader's name of a group.
pub(crate) fn power(
    map: &PowerMap,
    group_name: &dyn Fn(&str) -> String,
    alternative: &str,
) -> String {
    let mut groups: Vec<&str> = Vec::new();
    for group in map.nodes.iter().filter_map(|n| n.group.as_deref()) {
        if !groups.contains(&group) {
            groups.push(group);
        }
    }
    let words: Vec<Labels> = map.nodes.iter().map(words).collect();
    let boxes: Vec<Piece> = map
        .nodes
        .iter()
        .zip(&words)
        .map(|(node, words)| Piece {
            width: BOX,
            height: height(words),
            group: node
                .group
                .as_deref()
                .and_then(|g| groups.iter().position(|x| *x == g)),
        })
        .collect();
    let number_of: BTreeMap<&str, usize> = map
        .nodes
        .iter()
        .enumerate()
        .map(|(i, n)| (n.item.as_str(), i))
        .collect();
    let edges: Vec<(&PowerEdge, Vec<String>)> = map
        .edges
        .iter()
        .filter(|e| {
            number_of.contains_key(e.from.as_str()) && number_of.contains_key(e.to.as_str())
        })
        .map(|e| (e, label(e)))
        .collect();
    let wires: Vec<Wire> = edges
        .iter()
        .map(|(edge, lines)| Wire {
            from: number_of[edge.from.as_str()],
            to: number_of[edge.to.as_str()],
            label: label_size(lines),
        })
        .collect();
    let layout = place(&boxes, &wires);
    draw(
        &layout,
        &edges,
        &wires,
        &words,
        &|g| group_name(groups[g]),
        alternative,
    )
}

fn words(node: &PowerNode) -> Labels {
    Labels {
        name: wrapped(&node.name, BOX - 2.0 * PAD, 13.0, true, 3),
        sort: node.sort,
        limits: node
            .limits
            .iter()
            .flat_map(|l| wrapped(&l.printed(), BOX - 2.0 * PAD, 12.0, false, 3))
            .collect(),
        binds: node.binds,
    }
}

fn height(words: &Labels) -> f64 {
    let lines = words.name.len() + 1 + words.limits.len() + usize::from(words.binds);
    #[allow(clippy::cast_precision_loss, reason = "a few lines")]
    let text = LINE_HEIGHT * lines as f64;
    text + 2.0 * PAD - 3.0
}

fn label(edge: &PowerEdge) -> Vec<String> {
    let mut lines = wrapped(&edge.label.printed(), 130.0, 12.0, false, 3);
    if edge.binds {
        lines.push("limits the path".into());
    }
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
    layout: &Layout,
    edges: &[(&PowerEdge, Vec<String>)],
    wires: &[Wire],
    words: &[Labels],
    group_name: &dyn Fn(usize) -> String,
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
        let title = wrapped(&group_name(*group), w - 12.0, 12.0, true, 1).join("");
        canvas.text(
            x + 7.0,
            y + 15.0,
            Type::of(12.0).bold().look(InkClass::Quiet),
            &title,
        );
    }
    for ((edge, _), points) in edges.iter().zip(&layout.wires) {
        wire(&mut canvas, edge.binds, points);
    }
    for (place, words) in layout.boxes.iter().zip(words) {
        node(&mut canvas, *place, words);
    }
    for (((edge, lines), wire), at) in edges.iter().zip(wires).zip(&layout.labels) {
        if let (Some((x, y)), false) = (at, lines.is_empty()) {
            let (w, h) = wire.label;
            canvas.rect(
                [x - w / 2.0, y - h / 2.0, w, h],
                Some(InkClass::Paper),
                None,
            );
            let mut base = y - h / 2.0 + 13.0;
            for line in lines {
                let mut kind = Type::of(12.0).held(Held::Middle);
                kind.bold = edge.binds;
                canvas.text(*x, base, kind, line);
                base += 14.0;
            }
        }
    }
    canvas.finish_in_size(layout.width, layout.height, alternative)
}

/// Draws a link: it leaves and reaches boxes vertically, so that it cuts no corner of a neighbour.
fn wire(canvas: &mut Canvas, binds: bool, points: &[(f64, f64)]) {
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
        Some(Stroke(InkClass::Ink, if binds { 2.4 } else { 1.4 }, false)),
    );
    let [l, r, x, y, t] = [last.0 - 4.5, last.0 + 4.5, last.0, last.1, tip.1].map(number);
    canvas.path(
        &format!("M{l} {t}L{r} {t}L{x} {y}Z"),
        Some(InkClass::Ink),
        None,
    );
}

fn node(canvas: &mut Canvas, [x, y, w, h]: Rect, words: &Labels) {
    let sort = match words.sort {
        PathRole::Contact => "from outside",
        PathRole::Converter => "converter",
        PathRole::Cell => "cell",
        PathRole::Load => "load",
        PathRole::Pass => "passes power",
        PathRole::Unknown => "not known what it does",
    };
    let fill = match words.sort {
        PathRole::Cell => InkClass::Tint,
        _ => InkClass::Paper,
    };
    let outline = if words.binds {
        // The accent is for contradictions; what limits a path is framed heavily.
        Stroke(InkClass::Ink, 3.2, false)
    } else {
        // Open is what is not known.
        Stroke(InkClass::Ink, 1.2, words.sort == PathRole::Unknown)
    };
    canvas.rect([x, y, w, h], Some(fill), Some(outline));
    let mut base = y + PAD + 9.0;
    for line in &words.name {
        canvas.text(x + PAD, base, Type::of(13.0).bold(), line);
        base += LINE_HEIGHT;
    }
    canvas.text(x + PAD, base, Type::of(11.5).look(InkClass::Quiet), sort);
    base += LINE_HEIGHT;
    for line in &words.limits {
        canvas.text(x + PAD, base, Type::of(12.0), line);
        base += LINE_HEIGHT;
    }
    if words.binds {
        canvas.text(x + PAD, base, Type::of(12.0).bold(), "limits the path");
    }
}
