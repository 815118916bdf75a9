//! Where in a region its leader starts.
//!
//! In: all regions on the page. Out: for each region some points in it, best first, and a choice of
//! one for each region such that no two lie closer than a given distance.
//! When the leaders are known, each start is drawn along its leader towards the rim of the region,
//! so that what is printed in the middle of a part stays legible.
//!
//! The middle is best unless another region lies there; then the point that keeps clear of other
//! regions and of its own outline and is nearest to the middle. A region that lies around this one
//! is no obstacle: a part on a board is marked on the part, the board beside its parts.

use super::plane::{Point, Rect, distance};

/// Points tried along each side of a region; odd, so that the middle is one of them.
const GRID: usize = 13;
/// How far from the middle a start may be drawn, as a share of the way to the inscribed ellipse: a
/// region is a rectangle around a thing that may be round.
const RIM: f64 = 0.85;
/// Steps in which a leader is walked along.
const STEPS: u32 = 64;
/// Points kept for each region.
const KEPT: usize = 12;

/// Returns points for region `index`, best first, at least one; `enough` is the clearance beyond
/// which a point gets no better, mm.
pub(super) fn candidates(regions: &[Rect], index: usize, enough: f64) -> Vec<Point> {
    let own = regions[index];
    let obstacles = obstacles(regions, index);
    let clearance = |p: Point| clearance(&own, &obstacles, p).clamp(-enough, enough);
    let mut points = grid(&own);
    if points.iter().all(|p| clearance(*p) <= 0.0) {
        points.extend(gaps(&own, &obstacles));
    }
    let middle = own.middle();
    let mut ranked: Vec<(f64, f64, Point)> = points
        .into_iter()
        .map(|p| (clearance(p), distance(p, middle), p))
        .collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.total_cmp(&b.1)));
    // Neighbouring points are nearly the same choice; the ones kept are spread over the region.
    let apart = own.width.min(own.height) / 6.0;
    let mut kept: Vec<Point> = Vec::new();
    for (_, _, p) in ranked {
        if kept.len() < KEPT && kept.iter().all(|k| distance(*k, p) >= apart) {
            kept.push(p);
        }
    }
    kept
}

/// Returns the regions that lie on this one but not around it.
fn obstacles(regions: &[Rect], index: usize) -> Vec<Rect> {
    let own = regions[index];
    regions
        .iter()
        .enumerate()
        .filter(|(i, r)| *i != index && r.overlaps(&own) && !r.contains(&own))
        .map(|(_, r)| *r)
        .collect()
}

/// Returns how far a point is inside a region and outside what lies on it; negative if it is not.
fn clearance(own: &Rect, obstacles: &[Rect], p: Point) -> f64 {
    obstacles
        .iter()
        .map(|o| o.distance(p))
        .fold(-own.distance(p), f64::min)
}

/// Returns the last point on the way from `start` to `port` that is still inside region `index` and
/// as clear of other regions as `start` is (or by `enough`).
///
/// The leader only gets shorter, so it meets nothing that it did not meet before; and the matching
/// stays the shortest one, because any other matching gains at most the same length.
pub(super) fn drawn_back(
    regions: &[Rect],
    index: usize,
    start: Point,
    port: Point,
    enough: f64,
) -> Point {
    let own = regions[index];
    let obstacles = obstacles(regions, index);
    let from_others = |p: Point| {
        obstacles
            .iter()
            .map(|o| o.distance(p))
            .fold(enough, f64::min)
    };
    let needed = from_others(start);
    let middle = own.middle();
    let off_middle = |p: Point| {
        let x = 2.0 * (p[0] - middle[0]) / own.width;
        let y = 2.0 * (p[1] - middle[1]) / own.height;
        x * x + y * y
    };
    (1..=STEPS)
        .rev()
        .map(|i| {
            let share = f64::from(i) / f64::from(STEPS);
            [0, 1].map(|k| start[k] + share * (port[k] - start[k]))
        })
        .find(|p| off_middle(*p) <= RIM * RIM && from_others(*p) >= needed)
        .unwrap_or(start)
}

/// Returns points spread evenly over a rectangle.
fn grid(own: &Rect) -> Vec<Point> {
    let share = |i: usize| (i as f64 + 0.5) / GRID as f64;
    (0..GRID * GRID)
        .map(|i| {
            [
                own.left + own.width * share(i % GRID),
                own.top + own.height * share(i / GRID),
            ]
        })
        .collect()
}

/// Returns the middle of every cell that the obstacles' edges cut out of a rectangle.
fn gaps(own: &Rect, obstacles: &[Rect]) -> Vec<Point> {
    let cuts = |from: f64, to: f64, edges: &mut dyn Iterator<Item = f64>| {
        let mut at: Vec<f64> = edges.filter(|e| *e > from && *e < to).collect();
        at.extend([from, to]);
        at.sort_by(f64::total_cmp);
        at.windows(2)
            .map(|w| f64::midpoint(w[0], w[1]))
            .collect::<Vec<f64>>()
    };
    let xs = cuts(
        own.left,
        own.right(),
        &mut obstacles.iter().flat_map(|o| [o.left, o.right()]),
    );
    let ys = cuts(
        own.top,
        own.bottom(),
        &mut obstacles.iter().flat_map(|o| [o.top, o.bottom()]),
    );
    ys.iter()
        .flat_map(|y| xs.iter().map(move |x| [*x, *y]))
        .collect()
}

/// Chooses one point for each region, smallest regions first, no two closer than `apart`. Where a
/// region offers none, the nearest free place of the photograph is taken.
///
/// # Errors
/// The index of a region for which there is no such place.
pub(super) fn spread(
    photo: &Rect,
    regions: &[Rect],
    candidates: &[Vec<Point>],
    apart: f64,
) -> Result<Vec<Point>, usize> {
    let mut order: Vec<usize> = (0..regions.len()).collect();
    order.sort_by(|a, b| regions[*a].area().total_cmp(&regions[*b].area()));
    let mut chosen: Vec<Option<Point>> = vec![None; regions.len()];
    for i in order {
        let free = |p: Point| chosen.iter().flatten().all(|q| distance(p, *q) >= apart);
        let found = candidates[i]
            .iter()
            .copied()
            .find(|p| free(*p))
            .or_else(|| nearby(photo, regions[i].middle(), apart, &free));
        chosen[i] = Some(found.ok_or(i)?);
    }
    Ok(chosen.into_iter().flatten().collect())
}

/// Returns the nearest free point on a square lattice around `middle` inside the photograph.
fn nearby(photo: &Rect, middle: Point, apart: f64, free: &dyn Fn(Point) -> bool) -> Option<Point> {
    const RINGS: i32 = 12;
    // A little more than `apart`, so that rounding leaves neighbours of the lattice free.
    let step = apart * 1.001;
    let mut best: Option<(f64, Point)> = None;
    for row in -RINGS..=RINGS {
        for column in -RINGS..=RINGS {
            let p = [
                middle[0] + f64::from(column) * step,
                middle[1] + f64::from(row) * step,
            ];
            let far = distance(p, middle);
            let better = best.is_none_or(|(least, _)| far < least);
            if better && photo.distance(p) <= 0.0 && free(p) {
                best = Some((far, p));
            }
        }
    }
    best.map(|(_, p)| p)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(left: f64, top: f64, width: f64, height: f64) -> Rect {
        Rect {
            left,
            top,
            width,
            height,
        }
    }

    #[test]
    fn a_region_alone_is_marked_in_its_middle() {
        let found = candidates(&[rect(2.0, 3.0, 6.0, 4.0)], 0, 1.0);
        assert!(distance(found[0], [5.0, 5.0]) < 1e-9);
    }

    #[test]
    fn a_board_is_marked_beside_its_parts_and_a_part_on_itself() {
        let regions = [rect(0.0, 0.0, 40.0, 20.0), rect(15.0, 5.0, 10.0, 10.0)];
        let board = candidates(&regions, 0, 1.0);
        assert!(regions[1].distance(board[0]) >= 1.0, "{board:?}");
        let part = candidates(&regions, 1, 1.0);
        assert!(distance(part[0], [20.0, 10.0]) < 1e-9);
    }

    #[test]
    fn regions_that_overlap_in_part_are_marked_where_they_do_not() {
        let regions = [rect(0.0, 0.0, 10.0, 10.0), rect(5.0, 0.0, 10.0, 10.0)];
        for (i, other) in [(0, 1), (1, 0)] {
            let at = candidates(&regions, i, 1.0)[0];
            assert!(regions[other].distance(at) > 0.0);
            assert!(regions[i].distance(at) < 0.0);
        }
    }

    #[test]
    fn a_gap_narrower_than_the_grid_is_found() {
        let regions = [
            rect(0.0, 0.0, 40.0, 10.0),
            rect(0.0, 0.0, 19.0, 10.0),
            rect(19.1, 0.0, 20.9, 10.0),
        ];
        let at = candidates(&regions, 0, 1.0)[0];
        assert!(at[0] > 19.0 && at[0] < 19.1, "{at:?}");
    }

    #[test]
    fn a_leader_starts_near_the_rim_that_faces_its_port() {
        let regions = [rect(0.0, 0.0, 40.0, 20.0), rect(30.0, 5.0, 8.0, 10.0)];
        let at = drawn_back(&regions, 1, [34.0, 10.0], [50.0, 10.0], 1.0);
        assert!(at[0] > 36.9 && at[0] < 37.5 && at[1] == 10.0, "{at:?}");
        // The board's leader does not end on the part that it passes.
        let at = drawn_back(&regions, 0, [20.0, 10.0], [50.0, 10.0], 1.0);
        assert!(at[0] > 28.0 && at[0] <= 29.0, "{at:?}");
        // A region without area keeps its point.
        let point = [rect(3.0, 3.0, 0.0, 0.0)];
        assert_eq!(
            drawn_back(&point, 0, [3.0, 3.0], [9.0, 3.0], 1.0),
            [3.0, 3.0]
        );
    }

    #[test]
    fn equal_regions_get_points_apart() {
        let regions = vec![rect(5.0, 5.0, 0.0, 0.0); 9];
        let found: Vec<_> = (0..9).map(|i| candidates(&regions, i, 1.0)).collect();
        let photo = rect(0.0, 0.0, 10.0, 10.0);
        let points = spread(&photo, &regions, &found, 0.9).unwrap();
        for (i, a) in points.iter().enumerate() {
            for b in &points[..i] {
                assert!(distance(*a, *b) >= 0.9);
            }
        }
        assert!(spread(&rect(4.9, 4.9, 0.2, 0.2), &regions, &found, 0.9).is_err());
    }
}
