//! Connected regions of one plane over all thresholds, and the stable ones among them.
//!
//! In: levels, row by row. Out: regions whose area hardly changes while the threshold passes several levels.
//! Source: J. Matas, O. Chum, M. Urban, T. Pajdla, Image and Vision Computing 22 (2004) 761 (maximally stable
//! extremal regions); the tree is built by union-find over sorted pixels (L. Najman, M. Couprie, IEEE Trans.
//! Image Processing 15 (2006) 3531).

/// Sizes of regions that are kept, pixels.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sizes {
    /// Least area.
    pub(super) least: u32,
    /// Greatest area.
    pub(super) most: u32,
    /// Greatest side of the bounding box.
    pub(super) longest: u32,
}

/// A stable region: all pixels up to a level that are connected with one of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Region {
    /// A pixel in it.
    pub(super) seed: u32,
    /// The greatest level in it.
    pub(super) level: u8,
    /// By what share its area grows over the next [`DELTA`] levels.
    pub(super) growth: f32,
}

/// Levels over which the area is to be stable.
const DELTA: u8 = 5;
/// Greatest growth of a region over that many levels.
const MOST_GROWTH: f32 = 0.5;
const NONE: u32 = u32::MAX;

#[derive(Clone, Copy)]
struct Node {
    seed: u32,
    level: u8,
    area: u32,
    longest: u32,
    parent: u32,
    /// The least growth among the largest children.
    below: f32,
}

/// Sets of pixels joined so far.
struct Sets {
    above: Vec<u32>,
    area: Vec<u32>,
    /// Left, top, right, bottom.
    sides: Vec<[u16; 4]>,
    node: Vec<u32>,
}

impl Sets {
    fn root(&mut self, mut p: u32) -> u32 {
        while self.above[p as usize] != p {
            let next = self.above[self.above[p as usize] as usize];
            self.above[p as usize] = next;
            p = next;
        }
        p
    }
}

/// Returns the stable regions of a plane at most 65,535 pixels wide and high, darkest first.
pub(super) fn stable(levels: &[u8], width: usize, sizes: Sizes) -> Vec<Region> {
    let nodes = tree(levels, width, sizes.least);
    let growth: Vec<f32> = nodes.iter().map(|n| growth(&nodes, n)).collect();
    let mut nodes = nodes;
    for i in 0..nodes.len() {
        let (own, parent) = (growth[i], nodes[i].parent);
        if parent != NONE && nodes[i].area * 2 > nodes[parent as usize].area {
            let below = &mut nodes[parent as usize].below;
            *below = below.min(own);
        }
    }
    let kept = nodes.iter().zip(&growth).filter(|(n, own)| {
        let above = growth.get(n.parent as usize).copied();
        n.area <= sizes.most
            && n.longest <= sizes.longest
            && **own <= MOST_GROWTH
            && **own < n.below
            && above.is_none_or(|above| **own <= above)
    });
    kept.map(|(n, own)| Region {
        seed: n.seed,
        level: n.level,
        growth: *own,
    })
    .collect()
}

/// Returns by what share a region grows over the next levels.
fn growth(nodes: &[Node], node: &Node) -> f32 {
    let mut last = node;
    let until = node.level.saturating_add(DELTA);
    while let Some(parent) = nodes.get(last.parent as usize).filter(|p| p.level <= until) {
        last = parent;
    }
    (last.area - node.area) as f32 / node.area as f32
}

/// Every connected region of at least `least` pixels at every level at which it changed, small before large.
fn tree(levels: &[u8], width: usize, least: u32) -> Vec<Node> {
    let count = levels.len();
    let mut sets = Sets {
        above: vec![NONE; count],
        area: vec![1; count],
        sides: vec![[0; 4]; count],
        node: vec![NONE; count],
    };
    let mut nodes: Vec<Node> = Vec::new();
    let (order, ends) = sorted(levels);
    let mut from = 0;
    let mut orphans: Vec<(u32, u32)> = Vec::new();
    for (level, end) in ends.into_iter().enumerate() {
        let pixels = &order[from..end];
        from = end;
        for &p in pixels {
            join(&mut sets, p, width, &mut orphans);
        }
        for &p in pixels {
            let root = sets.root(p);
            let held = sets.node[root as usize];
            let is_new = nodes
                .get(held as usize)
                .is_none_or(|n| usize::from(n.level) != level);
            if sets.area[root as usize] < least || !is_new {
                continue;
            }
            let [left, top, right, bottom] = sets.sides[root as usize].map(u32::from);
            let new = nodes.len() as u32;
            if let Some(child) = nodes.get_mut(held as usize) {
                child.parent = new;
            }
            nodes.push(Node {
                seed: p,
                level: level as u8,
                area: sets.area[root as usize],
                longest: (right - left).max(bottom - top) + 1,
                parent: NONE,
                below: f32::INFINITY,
            });
            sets.node[root as usize] = new;
        }
        for (child, p) in orphans.drain(..) {
            let root = sets.root(p);
            nodes[child as usize].parent = sets.node[root as usize];
        }
    }
    nodes
}

/// Adds a pixel and joins it with its neighbours that are there already.
fn join(sets: &mut Sets, p: u32, width: usize, orphans: &mut Vec<(u32, u32)>) {
    let at = p as usize;
    let (x, y) = (at % width, at / width);
    sets.above[at] = p;
    sets.sides[at] = [x as u16, y as u16, x as u16, y as u16];
    let neighbours = [
        (x > 0).then(|| at - 1),
        (x + 1 < width).then_some(at + 1),
        at.checked_sub(width),
        (at + width < sets.above.len()).then_some(at + width),
    ];
    for q in neighbours.into_iter().flatten() {
        if sets.above[q] == NONE {
            continue;
        }
        let (a, b) = (sets.root(p), sets.root(q as u32));
        if a == b {
            continue;
        }
        let (large, small) = if sets.area[a as usize] >= sets.area[b as usize] {
            (a as usize, b as usize)
        } else {
            (b as usize, a as usize)
        };
        sets.above[small] = large as u32;
        sets.area[large] += sets.area[small];
        let [left, top, right, bottom] = sets.sides[small];
        let sides = &mut sets.sides[large];
        *sides = [
            sides[0].min(left),
            sides[1].min(top),
            sides[2].max(right),
            sides[3].max(bottom),
        ];
        if sets.node[small] != NONE {
            orphans.push((sets.node[small], p));
        }
    }
}

/// Pixels by level, and where each level ends.
fn sorted(levels: &[u8]) -> (Vec<u32>, [usize; 256]) {
    let mut ends = [0usize; 256];
    for level in levels {
        ends[usize::from(*level)] += 1;
    }
    let mut sum = 0;
    let mut next = [0usize; 256];
    for (end, next) in ends.iter_mut().zip(&mut next) {
        *next = sum;
        sum += *end;
        *end = sum;
    }
    let mut order = vec![0u32; levels.len()];
    for (p, level) in levels.iter().enumerate() {
        let place = &mut next[usize::from(*level)];
        order[*place] = p as u32;
        *place += 1;
    }
    (order, ends)
}

/// Gathers the pixels of regions; its memory is used again.
pub(super) struct Filler {
    stamp: Vec<u32>,
    now: u32,
    /// The pixels last gathered.
    pub(super) pixels: Vec<u32>,
}

impl Filler {
    pub(super) fn new(count: usize) -> Self {
        Self {
            stamp: vec![0; count],
            now: 0,
            pixels: Vec::new(),
        }
    }

    /// Gathers the pixels of a region.
    pub(super) fn fill(&mut self, levels: &[u8], width: usize, region: &Region) {
        self.now += 1;
        self.pixels.clear();
        self.pixels.push(region.seed);
        self.stamp[region.seed as usize] = self.now;
        let mut next = 0;
        while let Some(&p) = self.pixels.get(next) {
            next += 1;
            let at = p as usize;
            let x = at % width;
            let neighbours = [
                (x > 0).then(|| at - 1),
                (x + 1 < width).then_some(at + 1),
                at.checked_sub(width),
                (at + width < levels.len()).then_some(at + width),
            ];
            for q in neighbours.into_iter().flatten() {
                if levels[q] <= region.level && self.stamp[q] != self.now {
                    self.stamp[q] = self.now;
                    self.pixels.push(q as u32);
                }
            }
        }
    }
}
