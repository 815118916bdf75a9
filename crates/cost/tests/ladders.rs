//! Price against quantity.
//!
//! Source, where a test names no other: a constructed ladder worked with numpy 2.4.6 and scipy 1.17.1.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use cost::lot::Stock;
use cost::{Ladder, LadderError};
use proptest::prelude::*;

#[track_caller]
fn near(found: f64, printed: f64, within: f64) {
    assert!(
        (found - printed).abs() <= within,
        "{found}, printed {printed} ± {within}"
    );
}

fn ladder() -> Ladder {
    Ladder::new(vec![
        (1.0, 1.0),
        (10.0, 0.8),
        (100.0, 0.55),
        (1e3, 0.36),
        (1e4, 0.25),
    ])
    .unwrap()
}

#[test]
fn between_the_breaks_the_logarithms_are_straight() {
    for (q, price) in [
        (5.0, 0.855584),
        (30.0, 0.669036),
        (500.0, 0.408988),
        (3e3, 0.302513),
    ] {
        near(ladder().smooth(q), price, 5e-7);
    }
    for (q, price) in [(1.0, 1.0), (100.0, 0.55), (1e4, 0.25)] {
        near(ladder().smooth(q), price, 1e-12);
    }
    for (q, slope) in [
        (2.0, -0.09691),
        (20.0, -0.162727),
        (200.0, -0.18406),
        (2e3, -0.158362),
    ] {
        near(ladder().slope(q), slope, 5e-7);
    }
    near(ladder().slope(2e3).exp2(), 0.8960, 5e-5);
}

/// Linear in the quantity is 13.8 % and 10.9 % too high.
#[test]
fn a_straight_line_in_the_quantity_is_too_high() {
    for (q, linear, share) in [(500.0, 0.465556, 0.138), (3e3, 0.335556, 0.109)] {
        near(linear / ladder().smooth(q) - 1.0, share, 6e-4);
    }
}

#[test]
fn beyond_the_last_break_the_slope_goes_on_and_the_doubt_grows() {
    near(ladder().smooth(5e4), 0.193753, 5e-7);
    near(ladder().smooth(1e6), 0.120563, 5e-7);
    let (slope, one) = ladder().line().unwrap();
    near(slope, -0.155091, 5e-7);
    near(one * 1e6_f64.powf(slope), 0.125654, 5e-7);
    near(ladder().price(1e6).1, 0.2, 1e-12);
    assert_eq!(ladder().price(1e4).1, 0.0);
    assert_eq!(Ladder::flat(2.0).unwrap().price(1e9), (2.0, 0.0));
}

#[test]
fn a_staircase_is_left_for_the_next_break() {
    assert_eq!((ladder().stair(95.0), ladder().stair(60.0)), (0.8, 0.8));
    near(ladder().cheapest(95.0), 0.578947, 5e-7);
    near(ladder().cheapest(60.0), 0.80, 1e-12);
    near(ladder().turns(2).unwrap(), 68.75, 1e-9);
    assert_eq!(ladder().turns(0), None);
}

/// Source: a worked example with D 1000 a year, S 200, holding 25 %, prices 100, 90, 85 (coursehero 6315045), and one
/// with D 5000, S 49, 20 %, prices 5.00, 4.80, 4.75 (data of quesba 48672, results computed).
#[test]
fn lots_with_breaks() {
    let stock = Stock {
        demand: 1000.0,
        order: 200.0,
        holding: 0.25,
    };
    for (lot, price, yearly) in [
        (301.0, 85.0, 88_862.58),
        (133.0, 90.0, 93_000.01),
        (101.0, 90.0, 93_116.45),
    ] {
        near(stock.yearly(lot, price), yearly, 5e-3);
    }
    let breaks = Ladder::new(vec![(1.0, 100.0), (101.0, 90.0), (301.0, 85.0)]).unwrap();
    near(stock.best(&breaks).0, 301.0, 1e-9);
    let stock = Stock {
        demand: 5000.0,
        order: 49.0,
        holding: 0.2,
    };
    for (price, lot) in [(5.0, 700.0), (4.8, 714.435), (4.75, 718.185)] {
        near(stock.lot(price), lot, 5e-4);
    }
    for (lot, price, yearly) in [
        (700.0, 5.0, 25_700.0),
        (1e3, 4.8, 24_725.0),
        (2e3, 4.75, 24_822.5),
    ] {
        near(stock.yearly(lot, price), yearly, 1e-6);
    }
    let breaks = Ladder::new(vec![(1.0, 5.0), (1e3, 4.8), (2e3, 4.75)]).unwrap();
    let (lot, yearly) = stock.best(&breaks);
    assert_eq!((lot, yearly.round()), (1000.0, 24_725.0));
}

/// Source: volume points of a maker of boards, topfastpcba.com, 6 Apr 2025: 5, 50, 500 m² at 320, 180, 65 % of the base.
/// Its linear model 0.7 − 0.002 Q gives 0.5, 0 and −0.3 at 100, 350, 500 m², a negative price, and is not copied.
#[test]
fn a_makers_volume_points_have_slopes_where_its_line_is_negative() {
    let points = Ladder::new(vec![(5.0, 3.2), (50.0, 1.8), (500.0, 0.65)]).unwrap();
    near(points.slope(10.0), -0.2499, 5e-5);
    near(points.slope(100.0), -0.4424, 5e-5);
    for (q, printed) in [(100.0, 0.5), (350.0, 0.0), (500.0, -0.3)] {
        near(0.7 - 0.002 * q, printed, 1e-12);
        assert!(points.smooth(q) > 0.0);
    }
}

#[test]
fn what_is_no_ladder_is_refused() {
    assert_eq!(Ladder::new(vec![]), Err(LadderError::Empty));
    assert_eq!(Ladder::flat(-1.0), Err(LadderError::Price(-1.0)));
    assert_eq!(
        Ladder::new(vec![(0.0, 1.0)]),
        Err(LadderError::Quantity(0.0))
    );
    assert_eq!(
        Ladder::new(vec![(10.0, 1.0), (10.0, 0.9)]),
        Err(LadderError::Order(10.0, 10.0))
    );
    assert!(Ladder::flat(f64::NAN).is_err() && Ladder::new(vec![(f64::INFINITY, 1.0)]).is_err());
}

proptest! {
    /// More never costs less in all: whoever buys fewer can buy as many as is cheaper.
    #[test]
    fn the_cheapest_purchase_never_falls_with_the_quantity(
        prices in proptest::collection::vec(0.01_f64..10.0, 1..6), q in 1.0_f64..1e5, more in 1.0_f64..10.0) {
        let breaks = prices.iter().enumerate().map(|(k, p)| (10_f64.powi(k as i32), *p)).collect();
        let ladder = Ladder::new(breaks).unwrap();
        let whole = |q: f64| q * ladder.cheapest(q);
        prop_assert!(whole(q * more) >= whole(q) * (1.0 - 1e-12));
        prop_assert!(ladder.price(q).0 <= ladder.stair(q) * (1.0 + 1e-12));
        prop_assert!(ladder.price(q).0 >= 0.0);
    }
}
