//! Where the boxes, groups and links of a layered diagram stand.
//!
//! In: sizes, groups and links by index. Out: pixels. The same input gives the same places.
//! Not here: drawing; what the boxes mean.

use dagre::graph::{Graph, GraphOptions};
use dagre::layout::types::LabelPos;
use dagre::{EdgeLabel, LayoutOptions, NodeLabel, RankDir};
use std::collections::BTreeMap;

/// A box to place; pixels.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub(super) width: f64,
    pub(super) height: f64,
    /// Number of its group.
    pub(super) group: Option<usize>,
}

/// A link to route.
#[derive(Debug, Clone)]
pub(super) struct Wire {
    pub(super) from: usize,
    pub(super) to: usize,
    /// Width and height of its label; pixels.
    pub(super) label: (f64, f64),
}

/// A placed rectangle: left, top, width, height; pixels.
pub(super) type Rect = [f64; 4];

/// The outcome.
#[derive(Debug, Clone, Default)]
pub(super) struct Layout {
    pub(super) boxes: Vec<Rect>,
    /// One per group that has boxes, by group number.
    pub(super) groups: BTreeMap<usize, Rect>,
    /// Points that each link passes, first and last on the boxes' edges; empty if not routed.
    pub(super) wires: Vec<Vec<(f64, f64)>>,
    /// Middle of each label.
    pub(super) labels: Vec<Option<(f64, f64)>>,
    pub(super) width: f64,
    pub(super) height: f64,
}

/// Places what hangs together from top to bottom and sets the rest beside it, row by row; groups that share no arrow
/// each for themselves. A row should not be wider than `row_width`.
pub(super) fn packed(boxes: &[Piece], wires: &[Wire], row_width: f64) -> Layout {
    let (arrows, joined) = clusters(boxes, wires);
    let mut classes: BTreeMap<usize, BTreeMap<usize, Vec<usize>>> = BTreeMap::new();
    for (i, (cluster, class)) in arrows.iter().zip(&joined).enumerate() {
        let class = classes.entry(*class).or_default();
        class.entry(*cluster).or_default().push(i);
    }
    let parts = classes.into_values().map(|class| {
        let drawn = class.into_values().map(|mine| part(boxes, wires, &mine));
        shelved(drawn, row_width)
    });
    let Part {
        boxes: places,
        wires: points,
        labels,
        groups,
        width,
        height,
    } = shelved(parts.collect::<Vec<_>>().into_iter(), row_width);
    let mut out = Layout {
        boxes: vec![[0.0; 4]; boxes.len()],
        wires: vec![Vec::new(); wires.len()],
        labels: vec![None; wires.len()],
        groups,
        width,
        height,
    };
    for (i, rect) in places {
        out.boxes[i] = rect;
    }
    for (n, points) in points {
        out.wires[n] = points;
    }
    for (n, at) in labels {
        out.labels[n] = Some(at);
    }
    out
}

/// Some of the boxes and arrows, placed; each with its number in the whole.
#[derive(Default)]
struct Part {
    boxes: Vec<(usize, Rect)>,
    wires: Vec<(usize, Vec<(f64, f64)>)>,
    labels: Vec<(usize, (f64, f64))>,
    groups: BTreeMap<usize, Rect>,
    width: f64,
    height: f64,
}

/// Places the boxes of these numbers and the arrows between them.
fn part(boxes: &[Piece], wires: &[Wire], mine: &[usize]) -> Part {
    let own: Vec<Piece> = mine.iter().map(|i| boxes[*i].clone()).collect();
    let inner = |i: usize| mine.iter().position(|m| *m == i);
    let (numbers, arrows): (Vec<usize>, Vec<Wire>) = wires
        .iter()
        .enumerate()
        .filter_map(|(n, wire)| {
            let (from, to) = (inner(wire.from)?, inner(wire.to)?);
            let label = wire.label;
            Some((n, Wire { from, to, label }))
        })
        .unzip();
    let drawn = place(&own, &arrows);
    let labels = numbers.iter().copied().zip(drawn.labels);
    Part {
        boxes: mine.iter().copied().zip(drawn.boxes).collect(),
        labels: labels.filter_map(|(n, at)| Some((n, at?))).collect(),
        wires: numbers.into_iter().zip(drawn.wires).collect(),
        groups: drawn.groups,
        width: drawn.width,
        height: drawn.height,
    }
}

/// Sets parts side by side, row by row.
fn shelved(parts: impl Iterator<Item = Part>, row_width: f64) -> Part {
    let mut out = Part::default();
    let (mut x, mut y, mut row) = (0.0_f64, 0.0_f64, 0.0_f64);
    for part in parts {
        if x > 0.0 && x + part.width > row_width {
            (x, y, row) = (0.0, y + row, 0.0);
        }
        let at = |(px, py): (f64, f64)| (px + x, py + y);
        let moved = |[l, t, w, h]: Rect| [l + x, t + y, w, h];
        let boxes = part.boxes.into_iter().map(|(i, rect)| (i, moved(rect)));
        out.boxes.extend(boxes);
        let wires = part.wires.into_iter();
        let wires = wires.map(|(n, points)| (n, points.into_iter().map(at).collect()));
        out.wires.extend(wires);
        out.labels
            .extend(part.labels.into_iter().map(|(n, label)| (n, at(label))));
        for (group, rect) in part.groups {
            let rect = moved(rect);
            let whole = out.groups.entry(group).or_insert(rect);
            *whole = around(*whole, rect);
        }
        x += part.width;
        row = row.max(part.height);
        out.width = out.width.max(x);
        out.height = out.height.max(y + row);
    }
    out
}

/// Returns for each box the number of what arrows join it with, and of the groups that arrows join.
fn clusters(boxes: &[Piece], wires: &[Wire]) -> (Vec<usize>, Vec<usize>) {
    fn join(of: &mut [usize], a: usize, b: usize) {
        let (keep, drop) = (of[a].min(of[b]), of[a].max(of[b]));
        of.iter_mut()
            .filter(|c| **c == drop)
            .for_each(|c| *c = keep);
    }
    let mut by_arrow: Vec<usize> = (0..boxes.len()).collect();
    let mut by_group = by_arrow.clone();
    for a in 0..boxes.len() {
        let alike = |b: &usize| boxes[*b].group.is_some() && boxes[*b].group == boxes[a].group;
        if let Some(b) = (0..a).find(alike) {
            join(&mut by_group, a, b);
        }
    }
    let known = |w: &&Wire| w.from < boxes.len() && w.to < boxes.len();
    for wire in wires.iter().filter(known) {
        join(&mut by_arrow, wire.from, wire.to);
        join(&mut by_group, wire.from, wire.to);
    }
    // Groups that arrows join are framed by one drawing, whatever else lies in them.
    let several = |class: usize| {
        let members = (0..boxes.len()).filter(|i| by_group[*i] == class);
        let mut groups: Vec<Option<usize>> = members.map(|i| boxes[i].group).collect();
        groups.dedup();
        groups.len() > 1
    };
    for i in 0..boxes.len() {
        if several(by_group[i]) {
            by_arrow[i] = by_group[i];
        }
    }
    (by_arrow, by_group)
}

/// Returns the rectangle around two.
fn around(a: Rect, b: Rect) -> Rect {
    let (left, top) = (a[0].min(b[0]), a[1].min(b[1]));
    let right = (a[0] + a[2]).max(b[0] + b[2]);
    let bottom = (a[1] + a[3]).max(b[1] + b[3]);
    [left, top, right - left, bottom - top]
}

/// Places everything from top to bottom in the direction of the links.
pub(super) fn place(boxes: &[Piece], wires: &[Wire]) -> Layout {
    let mut graph: Graph<NodeLabel, EdgeLabel> = Graph::with_options(GraphOptions {
        directed: true,
        multigraph: true,
        compound: true,
    });
    let node = |i: usize| format!("n{i:05}");
    let cluster = |g: usize| format!("g{g:05}");
    for (i, b) in boxes.iter().enumerate() {
        let label = NodeLabel {
            width: b.width,
            height: b.height,
            ..NodeLabel::default()
        };
        graph.set_node(node(i), Some(label));
    }
    for (i, b) in boxes.iter().enumerate() {
        if let Some(group) = b.group {
            if !graph.has_node(&cluster(group)) {
                graph.set_node(cluster(group), Some(NodeLabel::default()));
            }
            graph.set_parent(&node(i), Some(&cluster(group)));
        }
    }
    for (i, wire) in wires.iter().enumerate() {
        if wire.from == wire.to || wire.from >= boxes.len() || wire.to >= boxes.len() {
            continue;
        }
        let label = EdgeLabel {
            width: wire.label.0,
            height: wire.label.1,
            // On the line: the room reserved is then where the line passes.
            labelpos: LabelPos::Center,
            ..EdgeLabel::default()
        };
        graph.set_edge(
            node(wire.from),
            node(wire.to),
            Some(label),
            Some(&format!("w{i:05}")),
        );
    }
    let options = LayoutOptions {
        rankdir: RankDir::TB,
        nodesep: 26.0,
        edgesep: 16.0,
        ranksep: 30.0,
        marginx: 8.0,
        marginy: 8.0,
        ..LayoutOptions::default()
    };
    dagre::layout(&mut graph, Some(options));
    let rect = |name: &str| {
        let n = graph.node(name)?;
        let (x, y) = (n.x?, n.y?);
        let all = [x - n.width / 2.0, y - n.height / 2.0, n.width, n.height];
        all.iter().all(|v| v.is_finite()).then_some(all)
    };
    let mut out = Layout::default();
    for (i, piece) in boxes.iter().enumerate() {
        let fallback = [0.0, 0.0, piece.width, piece.height];
        out.boxes.push(rect(&node(i)).unwrap_or(fallback));
    }
    for group in boxes.iter().filter_map(|b| b.group) {
        if let Some(place) = rect(&cluster(group)) {
            out.groups.insert(group, place);
        }
    }
    for (i, wire) in wires.iter().enumerate() {
        let name = format!("w{i:05}");
        let routed = if wire.from < boxes.len() && wire.to < boxes.len() {
            graph.edge(&node(wire.from), &node(wire.to), Some(&name))
        } else {
            None
        };
        out.wires.push(
            routed
                .map(|e| e.points.iter().map(|p| (p.x, p.y)).collect())
                .unwrap_or_default(),
        );
        out.labels.push(routed.and_then(|e| Some((e.x?, e.y?))));
    }
    extent(&mut out, wires);
    out
}

/// Finds the extent of all that was placed and moves it to the origin.
fn extent(layout: &mut Layout, wires: &[Wire]) {
    let mut low = (f64::MAX, f64::MAX);
    let mut high = (0.0_f64, 0.0_f64);
    let mut see = |x: f64, y: f64| {
        low = (low.0.min(x), low.1.min(y));
        high = (high.0.max(x), high.1.max(y));
    };
    for [x, y, w, h] in layout.boxes.iter().chain(layout.groups.values()) {
        see(*x, *y);
        see(x + w, y + h);
    }
    for (x, y) in layout.wires.iter().flatten() {
        see(*x, *y);
    }
    for ((x, y), wire) in layout
        .labels
        .iter()
        .zip(wires)
        .filter_map(|(l, w)| Some(((*l)?, w)))
    {
        see(x - wire.label.0 / 2.0, y - wire.label.1 / 2.0);
        see(x + wire.label.0 / 2.0, y + wire.label.1 / 2.0);
    }
    if low.0 == f64::MAX {
        return;
    }
    // Room above for the title of a group.
    let (dx, dy) = (6.0 - low.0, 16.0 - low.1);
    for rect in layout.boxes.iter_mut().chain(layout.groups.values_mut()) {
        rect[0] += dx;
        rect[1] += dy;
    }
    for point in layout
        .wires
        .iter_mut()
        .flatten()
        .chain(layout.labels.iter_mut().flatten())
    {
        point.0 += dx;
        point.1 += dy;
    }
    layout.width = high.0 - low.0 + 12.0;
    layout.height = high.1 - low.1 + 22.0;
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A small multiplicative generator: enough to draw unlike graphs, the same ones every time.
    fn draw(state: &mut u64, below: usize) -> usize {
        *state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((*state >> 33) as usize) % below
    }

    fn overlap(a: Rect, b: Rect) -> bool {
        a[0] < b[0] + b[2] - 0.5
            && b[0] < a[0] + a[2] - 0.5
            && a[1] < b[1] + b[3] - 0.5
            && b[1] < a[1] + a[3] - 0.5
    }

    #[test]
    fn boxes_never_overlap_whatever_the_links() {
        let mut state = 7;
        for _ in 0..60 {
            let count = 1 + draw(&mut state, 14);
            let boxes: Vec<Piece> = (0..count)
                .map(|_| Piece {
                    width: 60.0 + draw(&mut state, 110) as f64,
                    height: 30.0 + draw(&mut state, 60) as f64,
                    group: [None, Some(0), Some(1), Some(2)][draw(&mut state, 4)],
                })
                .collect();
            // Loops, cycles, doubled links and links to nowhere included.
            let wires: Vec<Wire> = (0..draw(&mut state, 20))
                .map(|_| Wire {
                    from: draw(&mut state, count + 1),
                    to: draw(&mut state, count + 1),
                    label: (draw(&mut state, 90) as f64, 14.0),
                })
                .collect();
            let layout = place(&boxes, &wires);
            assert_eq!(layout.boxes.len(), count);
            assert_eq!(layout.wires.len(), wires.len());
            for i in 0..count {
                for j in 0..i {
                    assert!(
                        !overlap(layout.boxes[i], layout.boxes[j]),
                        "{i} and {j}: {layout:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn nothing_to_place_is_an_empty_layout() {
        let layout = place(&[], &[]);
        assert!(layout.boxes.is_empty() && layout.wires.is_empty());
    }
}
