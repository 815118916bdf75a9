//! From regions to leaders: the matching of least length, and points moved where leaders would run
//! too close to each other.
//!
//! In: the frame and the candidate points. Out: for each region a point and a port.
//!
//! A matching of least total length has no crossing: were two leaders to cross, exchanging their
//! ports would shorten the sum (triangle inequality). They can still come near each other, so the
//! points of the nearest pairs are moved inside their regions and the matching is done anew.

use super::assign::assign;
use super::layout::Port;
use super::plane::{Point, between_segments, distance};

/// Attempts at moving a pair apart.
const ATTEMPTS: usize = 16;

/// One point and one port for each region.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Settled {
    pub(super) points: Vec<Point>,
    pub(super) ports: Vec<usize>,
}

/// Chooses ports for the points, moving points so that leaders are at least `wanted` apart where
/// the regions allow it and points stay `apart`; `None` if there are too few ports.
pub(super) fn settle(
    points: Vec<Point>,
    candidates: &[Vec<Point>],
    ports: &[Port],
    wanted: f64,
    apart: f64,
) -> Option<Settled> {
    let chosen = matched(&points, ports)?;
    let mut best = Settled {
        points,
        ports: chosen,
    };
    let mut close = close_pairs(&best, ports, wanted);
    let mut given_up: Vec<(usize, usize)> = Vec::new();
    for _ in 0..ATTEMPTS {
        let worst = close
            .iter()
            .filter(|(pair, _)| !given_up.contains(pair))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let Some(&((a, b), _)) = worst else { break };
        let before = penalty(&close);
        let mut improved: Option<(f64, Settled, Vec<Close>)> = None;
        for moving in [a, b] {
            for &point in &candidates[moving] {
                let free = best
                    .points
                    .iter()
                    .enumerate()
                    .all(|(i, q)| i == moving || distance(point, *q) >= apart);
                if !free || point == best.points[moving] {
                    continue;
                }
                let mut points = best.points.clone();
                points[moving] = point;
                let chosen = matched(&points, ports)?;
                let trial = Settled {
                    points,
                    ports: chosen,
                };
                let left = close_pairs(&trial, ports, wanted);
                let cost = penalty(&left);
                if cost < improved.as_ref().map_or(before * (1.0 - 1e-9), |i| i.0) {
                    improved = Some((cost, trial, left));
                }
            }
        }
        match improved {
            Some((_, trial, left)) => (best, close) = (trial, left),
            None => given_up.push((a, b)),
        }
    }
    Some(best)
}

/// Returns the ports of least total leader length.
pub(super) fn matched(points: &[Point], ports: &[Port]) -> Option<Vec<usize>> {
    let cost: Vec<Vec<f64>> = points
        .iter()
        .map(|p| ports.iter().map(|port| length(*p, port)).collect())
        .collect();
    assign(&cost)
}

/// Returns the length of a leader, mm.
pub(super) fn length(point: Point, port: &Port) -> f64 {
    distance(point, port.at) + distance(port.at, port.end)
}

/// Two leaders that are closer than wanted, and by how much.
type Close = ((usize, usize), f64);

fn penalty(close: &[Close]) -> f64 {
    close.iter().map(|(_, lack)| lack * lack).sum()
}

/// Returns the pairs of leaders that are closer than `wanted`.
fn close_pairs(settled: &Settled, ports: &[Port], wanted: f64) -> Vec<Close> {
    let straight: Vec<[Point; 2]> = settled
        .points
        .iter()
        .zip(&settled.ports)
        .map(|(p, port)| [*p, ports[*port].at])
        .collect();
    let mut close = Vec::new();
    for (b, s) in straight.iter().enumerate() {
        for (a, t) in straight[..b].iter().enumerate() {
            if boxes_apart(*s, *t) >= wanted {
                continue;
            }
            let lack = wanted - between_segments(*s, *t);
            if lack > 0.0 {
                close.push(((a, b), lack));
            }
        }
    }
    close
}

/// Returns a distance that two segments have at least: that of their bounding boxes along an axis.
fn boxes_apart(s: [Point; 2], t: [Point; 2]) -> f64 {
    let along = |axis: usize| {
        let (s0, s1) = (s[0][axis].min(s[1][axis]), s[0][axis].max(s[1][axis]));
        let (t0, t1) = (t[0][axis].min(t[1][axis]), t[0][axis].max(t[1][axis]));
        (t0 - s1).max(s0 - t1)
    };
    along(0).max(along(1))
}
