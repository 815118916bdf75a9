//! Ranks, quantiles, records and first sightings of few products.
//!
//! Source, where a test names no other: worked with numpy 2.4.6 and scipy 1.17.1.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use standing::quantile::{
    Limits, coverage, least_for_greatest, least_for_limits, least_for_span, limits, quantile, ranks,
};
use standing::rank::{Measured, place, rank_probabilities};
use standing::sighting::{
    Kinds, Unseen, chance_missed, chance_unseen, greatest_share, least_products, most_of_market,
};
use standing::{record, share};

#[track_caller]
fn near(found: f64, printed: f64, within: f64) {
    assert!(
        (found - printed).abs() <= within,
        "{found}, printed {printed} ± {within}"
    );
}

/// scipy's `percentileofscore` gives the same four.
#[test]
fn percentiles_by_four_definitions() {
    let place = place(3.0, &[1.0, 2.0, 3.0, 3.0, 4.0]);
    assert_eq!(place.below(), Some(40.0));
    assert_eq!(place.at_or_below(), Some(80.0));
    assert_eq!(place.midway(), Some(60.0));
    assert_eq!(place.mean_rank(), Some(70.0));
    let alone = standing::rank::place(3.0, &[]);
    assert_eq!((alone.midway(), alone.others()), (None, 0));
}

/// Exchangeable values have any order equally often; the chance of being below two others is an orthant of a normal
/// distribution (W. F. Sheppard, 1899): 1/4 + asin(ρ)/2π.
#[test]
fn ranks_of_uncertain_values() {
    let measured = |value, uncertainty| Measured { value, uncertainty };
    let same = rank_probabilities(measured(5.0, 0.3), &[measured(5.0, 0.3); 9]);
    assert_eq!(same.len(), 10);
    same.iter().for_each(|p| near(*p, 0.1, 1e-3));
    let (own, one, two) = (0.7_f64, 1.1_f64, 0.4_f64);
    let both = (own * own + one * one) * (own * own + two * two);
    let orthant = 0.25 + (own * own / both.sqrt()).asin() / std::f64::consts::TAU;
    let found = rank_probabilities(
        measured(2.0, own),
        &[measured(2.0, one), measured(2.0, two)],
    );
    near(found[0], orthant, 1e-3);
    near(found[2], orthant, 1e-3);
    near(found.iter().sum(), 1.0, 1e-9);
    // One other: the normal distribution of the difference, 0.5 by 0.5.
    let one = rank_probabilities(measured(10.0, 0.3), &[measured(10.5, 0.4)]);
    near(one[1], 0.158655, 1e-3);
}

#[test]
fn ranks_of_known_values_are_certain() {
    let known = |value| Measured {
        value,
        uncertainty: 0.0,
    };
    let found = rank_probabilities(known(3.0), &[1.0, 2.0, 3.0, 4.0].map(known));
    assert_eq!(found, [0.0, 0.0, 1.0, 0.0, 0.0]);
    // A value spread over two known ones: a third of the normal distribution or so on each side.
    let spread = Measured {
        value: 0.0,
        uncertainty: 1.0,
    };
    let found = rank_probabilities(spread, &[-1.0, 1.0].map(known));
    near(found[0], 0.158655, 2e-3);
    near(found[1], 0.682689, 2e-3);
}

#[test]
fn a_thousand_uncertain_others() {
    let others: Vec<Measured> = (0..1000)
        .map(|i| Measured {
            value: f64::from(i),
            uncertainty: 300.0,
        })
        .collect();
    let own = Measured {
        value: 499.5,
        uncertainty: 50.0,
    };
    let found = rank_probabilities(own, &others);
    near(found.iter().sum(), 1.0, 1e-9);
    let mean: f64 = found.iter().zip(0..).map(|(p, k)| p * f64::from(k)).sum();
    near(mean, 500.0, 1e-6 * 1000.0);
}

/// Coverage from a page on the sign test (real-statistics.com); the 16 hours are W. J. Conover's.
#[test]
fn limits_exist_only_with_enough_values() {
    near(coverage(35, 17, 19, 0.5), 0.264121, 6e-7);
    for (n, q, lower, upper, cover) in [
        (10, 0.5, Some(2), Some(9), 0.978516),
        (20, 0.25, Some(2), Some(10), 0.961823),
        (50, 0.9, Some(41), Some(50), 0.970308),
        (12, 0.75, Some(6), None, 0.985747),
    ] {
        let found = ranks(n, q, 0.95);
        assert_eq!((found.lower, found.upper), (lower, upper));
        near(found.coverage, cover, 6e-7);
    }
    assert_eq!(
        (ranks(20, 0.9, 0.95).lower, ranks(20, 0.9, 0.95).upper),
        (Some(15), None)
    );
    assert_eq!(
        (ranks(30, 0.9, 0.95).lower, ranks(30, 0.9, 0.95).upper),
        (Some(23), None)
    );
    assert_eq!(
        [0.5, 0.9, 0.95].map(|q| least_for_limits(q, 0.95)),
        [6, 36, 72].map(Some)
    );
    assert_eq!(
        [0.9, 0.95, 0.99].map(|q| least_for_greatest(q, 0.95)),
        [29, 59, 299].map(Some)
    );
    assert_eq!(
        [0.9, 0.95].map(|share| least_for_span(share, 0.95)),
        [46, 93].map(Some)
    );
    let hours = [
        46.9, 47.2, 49.1, 56.5, 56.8, 59.2, 59.9, 63.2, 63.3, 63.4, 63.7, 64.1, 67.1, 67.7, 73.3,
        78.5,
    ];
    for (q, printed) in [
        (0.5, (56.5, 67.1, 0.978729)),
        (0.75, (63.2, 78.5, 0.982508)),
    ] {
        let Limits::Between {
            low,
            high,
            coverage,
        } = limits(&hours, q, 0.95)
        else {
            panic!("no limits at {q}");
        };
        assert_eq!((low, high), (printed.0, printed.1));
        near(coverage, printed.2, 6e-7);
    }
    let few = limits(&hours[..5], 0.5, 0.95);
    assert_eq!(
        few,
        Limits::TooFew {
            values: 5,
            least: Some(6)
        }
    );
    assert_eq!(
        limits(&[], 0.5, 0.95),
        Limits::TooFew {
            values: 0,
            least: Some(6)
        }
    );
    assert_eq!(quantile(&[], 0.5), None);
}

/// The number of values from which limits exist is the one at which they begin to be found.
#[test]
fn the_least_number_is_the_first_with_limits() {
    for q in [0.1, 0.25, 0.5, 0.6, 0.9] {
        let both = |n: &usize| {
            let ranks = ranks(*n, q, 0.95);
            ranks.lower.is_some() && ranks.upper.is_some()
        };
        assert_eq!((1..200).find(both), least_for_limits(q, 0.95), "{q}");
    }
}

/// 1/(n + 1), harmonic sums and 1 − (1 − 2/(n + 1))^k; false alarms as printed at statisticstutor.app.
#[test]
fn records_by_chance() {
    for (others, first, second) in [
        (4, 0.2, 0.4),
        (9, 0.1, 0.2),
        (11, 0.083333, 0.166667),
        (19, 0.05, 0.1),
        (99, 0.01, 0.02),
    ] {
        near(record::chance(others, 1), first, 6e-7);
        near(record::chance(others, 2), second, 6e-7);
    }
    assert_eq!(record::chance(0, 1), 1.0);
    for (n, printed) in [(5, 2.28333), (10, 2.92897), (20, 3.59774), (50, 4.49921)] {
        near(record::expected(n), printed, 6e-6);
    }
    for (k, printed) in [(1, 0.1), (5, 0.409510), (10, 0.651322), (20, 0.878423)] {
        near(
            record::chance_of_any([19; 20].into_iter().take(k)),
            printed,
            6e-7,
        );
    }
    assert_eq!(record::chance_of_any([4, 0]), 1.0);
    assert_eq!(record::least_products(10, 0.05), Some(391));
    near(record::false_alarm(10, 0.05), 0.401263, 6e-7);
    near(record::false_alarm(20, 0.05), 0.641514, 6e-7);
}

/// The rule of three, 3/n, is said to hold above 30 (B. D. Jovanovic and P. S. Levy, 1997); the two-sided limit for
/// 30 is R's.
#[test]
fn none_of_n() {
    for (n, printed) in [
        (5, 0.450720),
        (10, 0.258866),
        (20, 0.139108),
        (30, 0.095034),
        (50, 0.058155),
        (100, 0.029513),
        (300, 0.009936),
        (1000, 0.002991),
    ] {
        let found = greatest_share(n, 1.0, 0.95);
        near(found, printed, 6e-7);
        let by_rule = 3.0 / n as f64;
        assert!(found < by_rule);
        assert_eq!(by_rule - found < 0.005, n >= 30, "{n}");
        near(chance_unseen(n, found, 1.0), 0.05, 1e-12);
    }
    for (n, printed) in [(10, 0.308497), (30, 0.115703), (100, 0.036217)] {
        let exact = share::limits(share::Method::Exact, 0, n, 0.95).unwrap();
        near(exact.high, printed, 6e-7);
    }
    assert_eq!(greatest_share(0, 1.0, 0.95), 1.0);
    assert_eq!(greatest_share(5, 0.0, 0.95), 1.0);
    near(greatest_share(20, 0.6, 0.95), 0.139108 / 0.6, 2e-6);
}

#[test]
fn none_of_a_finite_market() {
    for (market, n, printed) in [
        (50, 10, 11),
        (50, 25, 4),
        (100, 20, 12),
        (100, 50, 4),
        (1000, 50, 56),
        (1000, 300, 8),
        (100_000, 50, 5814),
    ] {
        assert_eq!(most_of_market(market, n, 0.95), printed);
    }
    assert_eq!(most_of_market(10, 10, 0.95), 0);
    assert_eq!(most_of_market(10, 0, 0.95), 10);
    assert_eq!(most_of_market(0, 0, 0.95), 0);
}

#[test]
fn what_is_not_identified_says_nothing() {
    let unseen = Unseen {
        products: 20,
        identified: 10,
        market: None,
    };
    near(unseen.bound(0.95).share, 0.258866, 6e-7);
    let market = Unseen {
        market: Some(50),
        ..unseen
    };
    assert_eq!(market.bound(0.95).products, Some(11));
    near(market.bound(0.95).share, 0.22, 1e-12);
    let blind = Unseen {
        identified: 0,
        ..market
    };
    assert_eq!(blind.bound(0.95).products, Some(50));
    assert_eq!(
        Unseen {
            market: None,
            ..blind
        }
        .bound(0.95)
        .share,
        1.0
    );
    // A market said to be smaller than what was opened is at least that.
    let small = Unseen {
        products: 20,
        identified: 20,
        market: Some(5),
    };
    assert_eq!(small.bound(0.95).products, Some(0));
}

#[test]
fn parts_that_were_missed() {
    for (n, all, some) in [
        (5, 0.59049, 0.733904),
        (10, 0.348678, 0.538615),
        (20, 0.121577, 0.290106),
        (29, 0.047101, 0.166229),
    ] {
        near(chance_unseen(n, 0.1, 1.0), all, 6e-7);
        near(chance_unseen(n, 0.1, 0.6), some, 6e-7);
    }
    assert_eq!(
        [1.0, 0.8, 0.6].map(|d| least_products(0.1, d, 0.95)),
        [29, 36, 49].map(Some)
    );
    for (j, printed) in [(1, 0.4), (2, 0.16), (3, 0.064), (5, 0.01024)] {
        near(chance_missed(j, 0.6), printed, 1e-12);
    }
}

/// Counts and values of scikit-bio's `test_chao1.py`, checked there against EstimateS; the catch as a textbook has it,
/// from memory.
#[test]
fn kinds_still_unseen() {
    let kinds = Kinds::count(&[0, 1, 1, 4, 2, 5, 2, 4, 1, 2]);
    near(kinds.at_least(), 9.75, 1e-12);
    near(kinds.at_least_classic(), 10.5, 1e-12);
    near(kinds.next_is_new().unwrap(), 0.136364, 6e-7);
    near(kinds.coverage().unwrap(), 0.875494, 6e-7);
    assert_eq!(Kinds::count(&[0, 2, 2, 4, 5]).at_least(), 4.0);
    assert_eq!(Kinds::count(&[0, 1, 1, 4, 5]).at_least(), 5.0);
    let catch = Kinds::count(&[10, 3, 2, 1, 1, 1]);
    near(catch.next_is_new().unwrap(), 0.166667, 6e-7);
    near(catch.at_least(), 7.5, 1e-12);
    near(catch.at_least_classic(), 10.5, 1e-12);
    assert_eq!(Kinds::count(&[]).next_is_new(), None);
    assert_eq!(Kinds::count(&[1]).at_least(), 1.0);
    assert_eq!(Kinds::count(&[1]).coverage(), Some(1.0));
}
