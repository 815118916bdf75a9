//! The matching against every possible assignment.

use super::assign::assign;
use super::input::{Margin, Margins, Options, Photo, Region};
use super::layout::{self, Measures};
use super::plan::plan;
use super::plane::Point;
use super::settle::{length, matched};
use proptest::prelude::*;

/// Returns the least sum over all assignments, tried one by one.
fn least(cost: &[Vec<f64>], taken: &mut Vec<usize>, sum: f64, best: &mut f64) {
    let Some(row) = cost.get(taken.len()) else {
        *best = best.min(sum);
        return;
    };
    // The cheapest that the open rows could add keeps the search short without leaving out any
    // assignment that could be better.
    let rest: f64 = cost[taken.len()..]
        .iter()
        .map(|r| r.iter().copied().fold(f64::INFINITY, f64::min))
        .sum();
    if sum + rest >= *best {
        return;
    }
    for (column, &c) in row.iter().enumerate() {
        if !taken.contains(&column) {
            taken.push(column);
            least(cost, taken, sum + c, best);
            taken.pop();
        }
    }
}

fn brute_force(cost: &[Vec<f64>]) -> f64 {
    let mut best = f64::INFINITY;
    least(cost, &mut Vec::new(), 0.0, &mut best);
    best
}

/// Of the six assignments, 1 + 5 + 2 (row 1 column 2, row 2 column 3, row 3 column 1) is the least.
#[test]
fn a_small_matrix_worked_by_hand() {
    let cost = vec![
        vec![4.0, 1.0, 3.0],
        vec![9.0, 8.0, 5.0],
        vec![2.0, 7.0, 9.0],
    ];
    assert_eq!(assign(&cost), Some(vec![1, 2, 0]));
}

#[test]
fn too_few_columns_are_refused() {
    assert_eq!(assign(&[vec![1.0], vec![2.0]]), None);
    assert_eq!(assign(&[vec![1.0, 2.0], vec![2.0]]), None);
    assert_eq!(assign(&[]), Some(vec![]));
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_assignment_is_cheaper(
        cost in (1usize..=6).prop_flat_map(|n| (Just(n), n..=8)).prop_flat_map(|(n, m)| {
            prop::collection::vec(prop::collection::vec(0.0..100.0, m), n)
        })
    ) {
        let chosen = assign(&cost).unwrap();
        let sum: f64 = chosen.iter().enumerate().map(|(r, c)| cost[r][*c]).sum();
        prop_assert!(sum <= brute_force(&cost) + 1e-9);
    }

    #[test]
    fn leaders_are_as_short_as_any_choice_of_ports_allows(
        shares in prop::collection::vec((0.0..1.0, 0.0..1.0), 1..=6),
        aspect in 0.3..2.0,
        four in any::<bool>(),
        columns in 1usize..=2,
    ) {
        let photo = Photo { width: 1000, height: (1000.0 * aspect) as u32, pixels_per_mm: None };
        let sides = if four { Margins::ALL } else { Margins::COLUMNS };
        let options = Options::default();
        let frame =
            layout::frame(&photo, sides, columns, &options, &Measures::of(7.5)).unwrap();
        prop_assume!(frame.ports.len() >= shares.len());
        let points: Vec<Point> = shares
            .iter()
            .map(|(x, y)| {
                [frame.photo.left + x * frame.photo.width, frame.photo.top + y * frame.photo.height]
            })
            .collect();
        let chosen = matched(&points, &frame.ports).unwrap();
        let sum: f64 =
            points.iter().zip(&chosen).map(|(p, i)| length(*p, &frame.ports[*i])).sum();
        let cost: Vec<Vec<f64>> = points
            .iter()
            .map(|p| frame.ports.iter().map(|port| length(*p, port)).collect())
            .collect();
        prop_assert!(sum <= brute_force(&cost) + 1e-9);
    }

    #[test]
    fn a_whole_plan_is_as_short_as_any_choice_of_ports_allows(
        rects in prop::collection::vec((0.0..900.0, 0.0..700.0, 0.0..300.0, 0.0..300.0), 1..=6),
    ) {
        let photo = Photo { width: 900, height: 700, pixels_per_mm: None };
        let options = Options { column_mm: 70.0, ..Options::default() };
        let regions: Vec<Region> = rects
            .into_iter()
            .map(|(x, y, w, h)| Region { rect: [x, y, w, h], ..Region::default() })
            .collect();
        let plan = plan(&photo, &regions, &options).unwrap();
        let used = |side| plan.callouts.iter().any(|c| c.side == side);
        let sides = Margins {
            top: used(Margin::Top),
            left: used(Margin::Left),
            right: used(Margin::Right),
            bottom: used(Margin::Bottom),
        };
        let frame = layout::frame(&photo, sides, 1, &options, &plan.sizes).unwrap();
        prop_assert_eq!(frame.photo, plan.photo);
        let cost: Vec<Vec<f64>> = plan
            .callouts
            .iter()
            .map(|c| frame.ports.iter().map(|port| length(c.leader[0], port)).collect())
            .collect();
        let leaders = plan.callouts.iter().map(|c| c.leader);
        let total: f64 = leaders.map(|[a, b, c]| crate::distance(a, b) + crate::distance(b, c)).sum();
        prop_assert!(total <= brute_force(&cost) + 1e-9);
    }
}
