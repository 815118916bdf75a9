//! Leaders along the axes that end at the rim and cross nothing that is marked.
//!
//! In: outlines on the page, the sides that may carry numbers. Out: for each region the port and the point where its
//! leader starts; nothing where not every region has such a way to a margin.
//! Not here: leaders at an angle, which always find a way (`settle`).
//!
//! Each region has some ways to each side: straight lines from its rim that keep clear of all other regions but those
//! around it. Ways that come too near to each other, or whose numbers would touch, exclude each other. One way for each
//! region is looked for by backtracking, the region with the fewest ways left first, ways that exclude none of the others'
//! last ones only. Source: R. M. Haralick, G. L. Elliott, "Increasing tree search efficiency for constraint satisfaction
//! problems", Artificial Intelligence 14 (1980) 263–313 (forward checking, fewest ways first).

use super::input::{Margin, Margins, Options, Photo, PlanError};
use super::layout::{self, Frame, Measures, Port};
use super::plan::on_page;
use super::plane::{Point, Rect, between_segments, distance};
use super::settle::Settled;

/// Ways tried on each side of a region.
const TRIED: usize = 9;
/// Choices after which a search gives up.
const MOST_CHOICES: usize = 20_000;

/// A way from a rim to a margin.
#[derive(Debug, Clone, Copy)]
struct Way {
    port: Port,
    start: Point,
    length: f64,
}

/// Lays out the page and finds a way for each region; a side that none uses gives its margin to the photograph.
///
/// # Errors
/// [`PlanError::Unclear`] where some region has none; [`PlanError::Column`] for a page without room.
pub(super) fn drawn(
    photo: &Photo,
    outlines: &[Rect],
    options: &Options,
    sizes: &Measures,
) -> Result<(Frame, Settled), PlanError> {
    let laid_out = |sides: Margins| {
        let frame = layout::frame(photo, sides, 1, options, sizes)?;
        let placed: Vec<Rect> = outlines.iter().map(|o| on_page(o, &frame)).collect();
        let ways = search(&frame.photo, &placed, sides, sizes);
        Some((frame, ways))
    };
    let (mut frame, ways) = laid_out(options.sides).ok_or(PlanError::Column {
        column_mm: options.column_mm,
        tallest_mm: options.tallest_mm,
    })?;
    let mut ways = ways.ok_or(PlanError::Unclear)?;
    let used = |side| ways.iter().any(|w| w.port.side == side);
    let kept = Margins {
        top: used(Margin::Top),
        left: used(Margin::Left),
        right: used(Margin::Right),
        bottom: used(Margin::Bottom),
    };
    if kept != options.sides
        && let Some((larger, Some(found))) = laid_out(kept)
    {
        (frame, ways) = (larger, found);
    }
    let mut order: Vec<usize> = (0..ways.len()).collect();
    order.sort_by(|a, b| in_reading_order(&ways[*a].port, &ways[*b].port));
    let mut ports = vec![0; ways.len()];
    for (at, region) in order.iter().enumerate() {
        ports[*region] = at;
    }
    frame.ports = order.iter().map(|i| ways[*i].port).collect();
    let points = ways.iter().map(|w| w.start).collect();
    Ok((frame, Settled { points, ports }))
}

fn in_reading_order(a: &Port, b: &Port) -> std::cmp::Ordering {
    let along = |port: &Port| match port.side {
        Margin::Top | Margin::Bottom => port.at[0],
        Margin::Left | Margin::Right => port.at[1],
    };
    (a.side.cmp(&b.side)).then(along(a).total_cmp(&along(b)))
}

/// Finds one way for each region; `None` where there is no such choice, or none was found in time.
fn search(photo: &Rect, placed: &[Rect], sides: Margins, sizes: &Measures) -> Option<Vec<Way>> {
    let all: Vec<Vec<Way>> = (0..placed.len())
        .map(|i| ways(photo, placed, i, sides, sizes))
        .collect();
    let mut open: Vec<Vec<usize>> = all.iter().map(|w| (0..w.len()).collect()).collect();
    let mut chosen = vec![None; all.len()];
    let mut left = MOST_CHOICES;
    extend(&all, &mut open, &mut chosen, sizes, &mut left)?;
    let mut found: Vec<Way> = (all.iter().zip(&chosen))
        .map(|(ways, choice)| choice.map(|c| ways[c]))
        .collect::<Option<_>>()?;
    shorten(&all, &mut found, sizes);
    Some(found)
}

/// Chooses for the regions that have no choice yet; `None` where that cannot be.
fn extend(
    all: &[Vec<Way>],
    open: &mut Vec<Vec<usize>>,
    chosen: &mut Vec<Option<usize>>,
    sizes: &Measures,
    left: &mut usize,
) -> Option<()> {
    let waiting = (0..all.len()).filter(|i| chosen[*i].is_none());
    let Some(region) = waiting.min_by_key(|i| open[*i].len()) else {
        return Some(());
    };
    for choice in open[region].clone() {
        *left = left.checked_sub(1)?;
        let before = open.clone();
        chosen[region] = Some(choice);
        let way = &all[region][choice];
        for other in (0..all.len()).filter(|i| chosen[*i].is_none()) {
            open[other].retain(|o| !exclude(way, &all[other][*o], sizes));
        }
        let dead = (0..all.len()).any(|i| chosen[i].is_none() && open[i].is_empty());
        if !dead && extend(all, open, chosen, sizes, left).is_some() {
            return Some(());
        }
        chosen[region] = None;
        *open = before;
    }
    None
}

/// Takes a shorter way wherever it excludes none that is taken.
fn shorten(all: &[Vec<Way>], found: &mut [Way], sizes: &Measures) {
    for region in 0..found.len() {
        let free = |way: &&Way| {
            let mut others = found.iter().enumerate().filter(|(i, _)| *i != region);
            others.all(|(_, other)| !exclude(way, other, sizes))
        };
        // Ways are listed shortest first.
        if let Some(way) = all[region].iter().find(free) {
            found[region] = *way;
        }
    }
}

/// Whether two ways cannot be taken together.
fn exclude(a: &Way, b: &Way, sizes: &Measures) -> bool {
    let numbers = distance(a.port.ring, b.port.ring) < 2.0 * sizes.radius + sizes.between / 2.0;
    let apart = between_segments([a.start, a.port.end], [b.start, b.port.end]);
    numbers || apart < 2.0 * (sizes.dot + sizes.halo)
}

/// Lists the ways of a region, shortest first.
fn ways(photo: &Rect, placed: &[Rect], index: usize, sides: Margins, sizes: &Measures) -> Vec<Way> {
    let own = placed[index];
    let mut ways = Vec::new();
    for side in [Margin::Top, Margin::Left, Margin::Right, Margin::Bottom] {
        if !sides.has(side) {
            continue;
        }
        let is_row = matches!(side, Margin::Top | Margin::Bottom);
        let extent = |r: &Rect| {
            if is_row {
                [r.left, r.right()]
            } else {
                [r.top, r.bottom()]
            }
        };
        let [from, to] = extent(&own);
        let [first, last] = extent(photo);
        for n in 0..TRIED {
            let along = from + (to - from) * (n as f64 + 0.5) / TRIED as f64;
            if along < first + sizes.radius || along > last - sizes.radius {
                continue;
            }
            let port = layout::port(side, along, 0, photo, sizes);
            let start = at_rim(&own, side, along, sizes);
            let clear = |(i, other): (usize, &Rect)| {
                i == index || other.contains(&own) || passes(other, start, port.at, sizes)
            };
            if placed.iter().enumerate().all(clear) {
                let middle = f64::midpoint(from, to);
                // Of ways of one length that through the middle is best.
                let length = distance(start, port.at) + 0.1 * (along - middle).abs();
                ways.push(Way {
                    port,
                    start,
                    length,
                });
            }
        }
    }
    ways.sort_by(|a, b| a.length.total_cmp(&b.length));
    ways
}

/// Returns the point just inside the rim, so that the dot lies on it.
fn at_rim(own: &Rect, side: Margin, along: f64, sizes: &Measures) -> Point {
    let inside = |length: f64| (length / 4.0).min(sizes.dot);
    match side {
        Margin::Top => [along, own.top + inside(own.height)],
        Margin::Bottom => [along, own.bottom() - inside(own.height)],
        Margin::Left => [own.left + inside(own.width), along],
        Margin::Right => [own.right() - inside(own.width), along],
    }
}

/// Whether a line along an axis keeps clear of a rectangle.
fn passes(other: &Rect, a: Point, b: Point, sizes: &Measures) -> bool {
    let away = sizes.halo + sizes.line;
    let beyond = |axis: usize, low: f64, high: f64| {
        a[axis].max(b[axis]) <= low - away || a[axis].min(b[axis]) >= high + away
    };
    beyond(0, other.left, other.right()) || beyond(1, other.top, other.bottom())
}

#[cfg(test)]
mod tests {
    use super::super::input::Region;
    use super::super::plan::{Plan, plan};
    use super::*;
    use proptest::prelude::*;

    fn planned(rects: &[[f64; 4]]) -> Result<Plan, PlanError> {
        let photo = Photo {
            width: 1000,
            height: 800,
            pixels_per_mm: Some(20.0),
        };
        let regions: Vec<Region> = (rects.iter())
            .map(|rect| Region {
                rect: *rect,
                ..Region::default()
            })
            .collect();
        let options = Options {
            column_mm: 150.0,
            clear: true,
            ..Options::default()
        };
        plan(&photo, &regions, &options)
    }

    /// Every leader runs along an axis, starts on its own region's rim and touches no other region.
    fn holds(plan: &Plan) {
        for c in &plan.callouts {
            let [a, b, end] = c.leader;
            assert!(a[0] == end[0] || a[1] == end[1], "{:?}", c.leader);
            let rim = [
                a[0] - c.region.left,
                c.region.right() - a[0],
                a[1] - c.region.top,
                c.region.bottom() - a[1],
            ];
            let nearest = rim.into_iter().fold(f64::INFINITY, f64::min);
            assert!(
                (0.0..=plan.sizes.dot + 1e-9).contains(&nearest),
                "{nearest}"
            );
            for d in plan.callouts.iter().filter(|d| d.number != c.number) {
                assert!(d.region.contains(&c.region) || passes(&d.region, a, b, &plan.sizes));
                assert!(distance(c.ring, d.ring) > 2.0 * plan.sizes.radius);
            }
        }
    }

    #[test]
    fn two_rows_of_parts_have_straight_leaders() {
        let parts: Vec<[f64; 4]> = (0..6)
            .flat_map(|x| (0..2).map(move |y| [50 + 160 * x, 200 + 300 * y, 70, 60].map(f64::from)))
            .collect();
        let plan = planned(&parts).unwrap();
        holds(&plan);
        assert_eq!(plan.callouts.len(), 12);
    }

    #[test]
    fn a_part_that_is_walled_in_is_refused() {
        let walls = [
            [100.0, 100.0, 800.0, 40.0],
            [100.0, 600.0, 800.0, 40.0],
            [100.0, 160.0, 40.0, 420.0],
            [860.0, 160.0, 40.0, 420.0],
            [400.0, 300.0, 100.0, 100.0],
        ];
        // The walls overlap the rows and columns of what is inside on all four sides.
        assert_eq!(planned(&walls).unwrap_err(), PlanError::Unclear);
        holds(&planned(&walls[..4]).unwrap());
    }

    proptest! {
        #![proptest_config(ProptestConfig {
            cases: 100,
            failure_persistence: None,
            ..ProptestConfig::default()
        })]

        #[test]
        fn what_is_drawn_keeps_its_promise(
            rects in prop::collection::vec((0..90u32, 0..70u32, 2..25u32, 2..25u32), 1..=14),
        ) {
            let rects: Vec<[f64; 4]> = rects
                .into_iter()
                .map(|(x, y, w, h)| [x * 10, y * 10, w * 10, h * 10].map(f64::from))
                .collect();
            match planned(&rects) {
                Ok(plan) => holds(&plan),
                Err(why) => prop_assert_eq!(why, PlanError::Unclear),
            }
        }
    }
}
