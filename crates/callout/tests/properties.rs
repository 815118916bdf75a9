//! What every plan promises, whatever the regions are.

#![allow(clippy::unwrap_used, reason = "helpers of tests may stop the test")]

use callout::{
    Callout, Margin, Margins, Options, Photo, Plan, Point, Region, Source, SvgStyle,
    between_leaders, distance, plan, svg, to_segment,
};
use proptest::prelude::*;

/// Where two things that must not touch are compared, rounding of some 10⁻¹³ mm is not an overlap.
const ROUNDING: f64 = 1e-9;

fn segments(leader: &[Point; 3]) -> [[Point; 2]; 2] {
    [[leader[0], leader[1]], [leader[1], leader[2]]]
}

fn from_leader(p: Point, leader: &[Point; 3]) -> f64 {
    segments(leader)
        .into_iter()
        .map(|s| to_segment(p, s))
        .fold(f64::INFINITY, f64::min)
}

fn holds(plan: &Plan, count: usize) -> Result<(), TestCaseError> {
    prop_assert_eq!(plan.callouts.len(), count);
    let sizes = plan.sizes;
    for (i, c) in plan.callouts.iter().enumerate() {
        prop_assert_eq!(c.number as usize, i + 1);
        within(plan, c.ring, sizes.radius)?;
        prop_assert!(
            plan.photo.distance(c.ring) >= sizes.radius,
            "a number on the photograph"
        );
        prop_assert!(
            plan.photo.distance(c.leader[0]) <= ROUNDING,
            "a dot outside"
        );
        prop_assert!((distance(c.ring, c.leader[2]) - sizes.radius).abs() < ROUNDING);
        for d in &plan.callouts[..i] {
            let apart = between_leaders(&c.leader, &d.leader);
            prop_assert!(apart > 0.0, "leaders {} and {} touch", c.number, d.number);
            prop_assert!(
                distance(c.ring, d.ring) > 2.0 * sizes.radius,
                "numbers overlap"
            );
            for (leader, ring) in [(c, d), (d, c)] {
                let away = from_leader(ring.ring, &leader.leader);
                prop_assert!(
                    away > sizes.radius + sizes.line / 2.0,
                    "leader {} runs into number {}",
                    leader.number,
                    ring.number
                );
            }
        }
    }
    if let Some(bar) = &plan.bar {
        for [x, y] in [bar.from, bar.to] {
            within(plan, [x, y - bar.tick / 2.0], sizes.line)?;
            within(plan, [x, y + bar.tick / 2.0], sizes.line)?;
        }
        let top = bar.from[1] - bar.tick / 2.0;
        for c in &plan.callouts {
            prop_assert!(c.ring[1] + sizes.radius < top, "a number on the scale bar");
            prop_assert!(
                c.leader.iter().all(|p| p[1] < top),
                "a leader on the scale bar"
            );
        }
    }
    in_reading_order(&plan.callouts)
}

fn within(plan: &Plan, [x, y]: Point, margin: f64) -> Result<(), TestCaseError> {
    prop_assert!(
        x >= margin && x + margin <= plan.size[0],
        "outside the page"
    );
    prop_assert!(
        y >= margin && y + margin <= plan.size[1],
        "outside the page"
    );
    Ok(())
}

/// Top from the left, left side down, right side down, bottom from the left.
fn in_reading_order(callouts: &[Callout]) -> Result<(), TestCaseError> {
    for pair in callouts.windows(2) {
        let along = |c: &Callout| match c.side {
            Margin::Top | Margin::Bottom => c.leader[1][0],
            Margin::Left | Margin::Right => c.leader[1][1],
        };
        let [a, b] = pair else { unreachable!() };
        prop_assert!(a.side < b.side || (a.side == b.side && along(a) < along(b)));
    }
    Ok(())
}

/// Regions of all sizes, some reaching over the edge, some equal, some without area.
fn regions(most: usize) -> impl Strategy<Value = Vec<Region>> {
    let free = (-20.0..1020.0, -20.0..1020.0, 0.0..400.0, 0.0..400.0)
        .prop_map(|(x, y, w, h)| [x, y, w, h]);
    // Parts stand in rows and columns, so that many points share a coordinate.
    let aligned = (0..20u32, 0..20u32, 1..8u32)
        .prop_map(|(x, y, s)| [x * 50, y * 50, s * 10, s * 10].map(f64::from));
    let rect = prop_oneof![free, aligned, Just([500.0, 500.0, 0.0, 0.0])]
        .prop_filter("lies in the photograph", |[x, y, w, h]| {
            x + w >= 0.0 && y + h >= 0.0 && *x <= 1000.0 && *y <= 1000.0
        });
    prop::collection::vec(rect, 0..=most).prop_map(|rects| {
        rects
            .into_iter()
            .enumerate()
            .map(|(i, rect)| Region {
                id: format!("r{i}"),
                rect,
                caption: format!("Part {i}"),
                ..Region::default()
            })
            .collect()
    })
}

fn scaled(regions: &[Region], height: u32) -> Vec<Region> {
    let share = f64::from(height) / 1000.0;
    regions
        .iter()
        .map(|r| {
            let [x, y, w, h] = r.rect;
            Region {
                rect: [x, y * share, w, h * share],
                ..r.clone()
            }
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn sixty_numbers_find_their_places(
        regions in regions(60),
        height in 600u32..1600,
        scale in prop::option::of(0.5..60.0),
    ) {
        let photo = Photo { width: 1000, height, pixels_per_mm: scale };
        let regions = scaled(&regions, height);
        let plan = plan(&photo, &regions, &Options::default()).unwrap();
        holds(&plan, regions.len())?;
    }

    #[test]
    fn any_choice_of_sides_and_sizes_keeps_the_promises_or_says_why_not(
        regions in regions(30),
        width in 1u32..5000,
        height in 1u32..5000,
        column_mm in 30.0..250.0,
        number_pt in 7.0..14.0,
        sides in any::<[bool; 4]>(),
        scale in prop::option::of(1e-4..1e4),
        legend in any::<bool>(),
    ) {
        let share = [f64::from(width) / 1000.0, f64::from(height) / 1000.0];
        let regions: Vec<Region> = regions
            .into_iter()
            .map(|r| {
                let [x, y, w, h] = r.rect;
                Region {
                    rect: [x * share[0], y * share[1], w * share[0], h * share[1]],
                    ..r
                }
            })
            .collect();
        let photo = Photo { width, height, pixels_per_mm: scale };
        let [top, left, right, bottom] = sides;
        let options = Options {
            column_mm,
            number_pt,
            sides: Margins { top, left, right, bottom },
            legend,
            ..Options::default()
        };
        match plan(&photo, &regions, &options) {
            Ok(plan) => holds(&plan, regions.len())?,
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }

    #[test]
    fn parts_that_lie_apart_have_leaders_that_can_be_told_apart(
        cells in prop::collection::btree_set((0..9u32, 0..7u32), 1..=24),
    ) {
        let regions: Vec<Region> = cells
            .iter()
            .map(|(x, y)| Region {
                id: format!("{x}-{y}"),
                rect: [30 + x * 110, 25 + y * 110, 60, 50].map(f64::from),
                ..Region::default()
            })
            .collect();
        let photo = Photo { width: 1000, height: 800, pixels_per_mm: Some(20.0) };
        let plan = plan(&photo, &regions, &Options::default()).unwrap();
        holds(&plan, regions.len())?;
        if let Some((_, _, apart)) = plan.nearest_leaders() {
            prop_assert!(apart >= plan.sizes.line, "{apart}");
        }
        for c in &plan.callouts {
            prop_assert!(c.region.distance(c.leader[0]) < 0.0, "a dot beside its part");
        }
    }

    #[test]
    fn equal_input_gives_equal_bytes(regions in regions(20)) {
        let photo = Photo { width: 1000, height: 1000, pixels_per_mm: Some(12.0) };
        let draw = || {
            let plan = plan(&photo, &regions, &Options::default()).unwrap();
            svg(&plan, &Source::Address("photo.jpg"), &SvgStyle::default())
        };
        prop_assert_eq!(draw(), draw());
    }
}
