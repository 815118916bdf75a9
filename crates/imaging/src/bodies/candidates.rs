//! Every outline that a region of some plane at some threshold suggests, each once.
//!
//! In: planes and the sizes asked for. Out: outlines on their edges, with how many regions suggested each and what
//! lies inside and around it. Not here: how likely each is a part (`weights`).

use super::evidence::{Seen, see};
use super::fit::{Form, forms};
use super::planes::{PLANES, Planes};
use super::polygon::{Point, area, common};
use super::tree::{Filler, Sizes, stable};

/// What is asked for, pixels of the planes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    /// Least shorter side.
    pub(super) least: f64,
    /// Greatest longer side.
    pub(super) most: f64,
    /// A place that must lie inside.
    pub(super) around: Option<Point>,
}

/// Greatest ratio of the sides.
const LONGEST: f64 = 5.5;
/// Common area over joint area from which two outlines are the same one.
const SAME: f64 = 0.8;

/// An outline, and how many regions suggested it.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    pub(super) seen: Seen,
    pub(super) corners: [Point; 4],
    pub(super) area: f64,
    pub(super) times: u32,
}

impl Candidate {
    fn of(seen: Seen) -> Self {
        let corners = seen.form.frame.corners();
        Self {
            area: area(&corners),
            corners,
            times: 1,
            seen,
        }
    }

    /// Returns the common area over the area of the smaller one, and over that of both together.
    pub(super) fn overlap(&self, other: &Self) -> [f64; 2] {
        let [a, b] = [&self.seen.form.frame, &other.seen.form.frame];
        let reach = a.half[0].hypot(a.half[1]) + b.half[0].hypot(b.half[1]);
        let apart = (a.middle[0] - b.middle[0]).hypot(a.middle[1] - b.middle[1]);
        if apart > reach {
            return [0.0; 2];
        }
        let both = common(&self.corners, &other.corners);
        [
            both / self.area.min(other.area).max(1e-9),
            both / (self.area + other.area - both).max(1e-9),
        ]
    }

    /// How good its edges are, to choose among the same outlines.
    fn edges(&self) -> f64 {
        let m = &self.seen.marks;
        m[1] + m[3] + m[4]
    }
}

/// Returns the outlines of a photograph.
pub(super) fn candidates(planes: &Planes, wanted: &Wanted) -> Vec<Candidate> {
    let sizes = Sizes {
        least: (0.3 * wanted.least * wanted.least).max(4.0) as u32,
        most: (1.2 * wanted.most * wanted.most) as u32,
        longest: (1.5 * wanted.most) as u32,
    };
    let mut filler = Filler::new(planes.width * planes.height);
    let mut all = Vec::new();
    for plane in 0..PLANES {
        for turned in [false, true] {
            let levels = planes.levels(plane, turned);
            for region in stable(&levels, planes.width, sizes) {
                filler.fill(&levels, planes.width, &region);
                let found = forms(&filler.pixels, planes.width);
                let fitting = found.iter().filter(|form| fits(form, wanted));
                all.extend(fitting.map(|form| Candidate::of(see(planes, form, region.growth))));
            }
        }
    }
    all.retain(|c| fits(&c.seen.form, wanted) && c.seen.stands_out);
    each_once(all)
}

fn fits(form: &Form, wanted: &Wanted) -> bool {
    let [a, b] = form.frame.half.map(|v| 2.0 * v);
    let (short, long) = (a.min(b), a.max(b));
    let holds = wanted.around.is_none_or(|p| {
        let c = form.frame.coordinates(p);
        c[0].abs() <= form.frame.half[0] && c[1].abs() <= form.frame.half[1]
    });
    short >= wanted.least && long <= wanted.most && long <= LONGEST * short && holds
}

/// Joins outlines that are the same; the one with the best edges stands for all.
fn each_once(mut all: Vec<Candidate>) -> Vec<Candidate> {
    all.sort_by(|a, b| b.edges().total_cmp(&a.edges()));
    let mut kept: Vec<Candidate> = Vec::new();
    for new in all {
        let same = kept.iter_mut().find(|old| {
            old.seen.form.round == new.seen.form.round
                && new.area < 1.3 * old.area
                && old.area < 1.3 * new.area
                && old.overlap(&new)[1] > SAME
        });
        match same {
            Some(old) => old.times += 1,
            None => kept.push(new),
        }
    }
    kept
}
