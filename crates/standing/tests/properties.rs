//! What holds of any products whatever.

use proptest::prelude::*;
use standing::likeness::{Attribute, Comparison, Scale, Value, in_common};
use standing::quantile::{Limits, TYPES, least_for_limits, least_for_span, limits, quantile_by};
use standing::rank::{Measured, place, rank_probabilities};
use standing::share::{Method, partly, together, wilson};
use standing::sighting::{Unseen, least_products, most_of_market};
use standing::{many, odd, record, share, trend};
use std::collections::BTreeSet;

fn values() -> impl Strategy<Value = Vec<f64>> {
    proptest::collection::vec(-1e3..1e3_f64, 1..30)
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        -2.0..2.0_f64,
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(-f64::INFINITY),
        Just(0.0),
        Just(1.0),
    ]
}

fn product() -> impl Strategy<Value = Vec<Value>> {
    let number = prop_oneof![Just(Value::Unknown), (0.1..9.0_f64).prop_map(Value::Number)];
    let label = prop_oneof![Just(Value::Unknown), "[ab]".prop_map(Value::Label)];
    let part = any::<bool>().prop_map(Value::Present);
    (number.clone(), number, label, part).prop_map(|(a, b, c, d)| vec![a, b, c, d])
}

fn attributes() -> Vec<Attribute> {
    [
        Scale::Number,
        Scale::Positive,
        Scale::Label,
        Scale::Presence,
    ]
    .map(|scale| Attribute { scale, weight: 1.0 })
    .to_vec()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn quantiles_rise_and_stay_within(values in values(), q in 0.0..1.0_f64, more in 0.0..1.0_f64) {
        let (low, high) = (q.min(more), q.max(more));
        for kind in TYPES {
            let [low, high] = [low, high].map(|q| quantile_by(kind, &values, q).expect("values"));
            prop_assert!(low <= high + 1e-9, "{kind:?}");
            prop_assert!(values.iter().any(|v| *v <= low + 1e-9) && values.iter().any(|v| *v >= high - 1e-9));
        }
    }

    #[test]
    fn limits_hold_the_quantile(values in values(), q in 0.05..0.95_f64) {
        match limits(&values, q, 0.9) {
            Limits::Between { low, high, coverage } => prop_assert!(low <= high && coverage >= 0.9 - 1e-9),
            Limits::TooFew { values, least } => prop_assert!(least.is_some_and(|least| values < least)),
        }
    }

    #[test]
    fn ranks_agree_with_places(own in -9..9_i32, others in proptest::collection::vec(-9..9_i32, 0..12)) {
        let others: Vec<f64> = others.into_iter().map(f64::from).collect();
        let own = f64::from(own);
        let place = place(own, &others);
        let known = |value| Measured { value, uncertainty: 0.0 };
        let ranks = rank_probabilities(known(own), &others.iter().copied().map(known).collect::<Vec<_>>());
        prop_assert_eq!(ranks[place.less], 1.0);
        prop_assert_eq!(place.others(), others.len());
    }

    #[test]
    fn ranks_are_a_distribution(
        own in (-5.0..5.0_f64, 0.0..3.0_f64),
        others in proptest::collection::vec((-5.0..5.0_f64, 0.0..3.0_f64), 0..15),
    ) {
        let measured = |(value, uncertainty)| Measured { value, uncertainty };
        let others: Vec<Measured> = others.into_iter().map(measured).collect();
        let ranks = rank_probabilities(measured(own), &others);
        prop_assert_eq!(ranks.len(), others.len() + 1);
        prop_assert!((ranks.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        prop_assert!(ranks.iter().all(|p| *p >= 0.0));
    }

    #[test]
    fn shares_are_within_their_limits(x in 0..50_usize, rest in 0..50_usize, unknown in 0..20_usize) {
        if let Some(limits) = wilson(x, x + rest, 0.95) {
            let share = x as f64 / (x + rest) as f64;
            prop_assert!(0.0 <= limits.low && limits.low <= share && share <= limits.high && limits.high <= 1.0);
            let all = partly(x, x + rest, unknown, 0.95);
            let (low, high) = all.range.expect("products");
            prop_assert!(low <= share + 1e-12 && share <= high + 1e-12);
            let wide = together(&[x, rest], 0.95);
            prop_assert!(wide[0].low <= limits.low + 1e-12 && limits.high <= wide[0].high + 1e-12);
        }
    }

    /// A finite market allows no more than an endless one, and its bound is the last that is not excluded.
    #[test]
    fn markets_bound_what_is_unseen(identified in 1..60_usize, further in 0..500_usize) {
        let products = identified + further / 4;
        let unseen = Unseen { products, identified, market: None };
        let finite = Unseen { market: Some(identified + further + 1), ..unseen };
        prop_assert!(finite.bound(0.95).share <= unseen.bound(0.95).share + 1e-9);
        let market = identified + further + 1;
        let most = most_of_market(market, identified, 0.95);
        let missed = |having: usize| -> f64 {
            (0..having).map(|i| (market - identified - i) as f64 / (market - i) as f64).product()
        };
        prop_assert!(missed(most) >= 0.05 - 1e-12);
        prop_assert!(most == market - identified || missed(most + 1) < 0.05 + 1e-12);
    }

    #[test]
    fn turning_values_turns_the_trend(values in proptest::collection::vec(-50..50_i32, 5..14)) {
        let values: Vec<f64> = values.into_iter().map(f64::from).collect();
        let turned: Vec<f64> = values.iter().map(|v| -v).collect();
        let dates: Vec<f64> = (0..values.len()).map(|i| i as f64 * 1.5).collect();
        let up = trend::trend(&dates, &values, 0.95).expect("five points");
        let down = trend::trend(&dates, &turned, 0.95).expect("five points");
        prop_assert!((up.line.slope + down.line.slope).abs() < 1e-9);
        prop_assert!((up.line.low + down.line.high).abs() < 1e-9);
        prop_assert_eq!(up.order.score, -down.order.score);
        prop_assert!((up.probability - down.probability).abs() < 1e-12 && up.probability <= 1.0);
        prop_assert!(up.line.low <= up.line.slope && up.line.slope <= up.line.high);
    }

    #[test]
    fn distances_are_the_same_both_ways(products in proptest::collection::vec(product(), 2..8)) {
        for comparison in [
            Comparison::of_middle(attributes(), &products),
            Comparison::of_range(attributes(), &products),
        ] {
            let there = comparison.distance(&products[0], &products[1]);
            prop_assert_eq!(&there, &comparison.distance(&products[1], &products[0]));
            if let Some(distance) = there {
                prop_assert!((0.0..=1.0).contains(&distance.value) && distance.known >= 0.5);
                let told: f64 = distance.reasons.iter().map(|(_, share)| share).sum();
                prop_assert!(told <= distance.value + 1e-12);
            }
        }
    }

    #[test]
    fn adjusting_never_helps(p in proptest::collection::vec(0.0..1.0_f64, 0..20)) {
        let (bh, by, holm, bonferroni) = (
            many::benjamini_hochberg(&p),
            many::benjamini_yekutieli(&p),
            many::holm(&p),
            many::bonferroni(&p),
        );
        for i in 0..p.len() {
            prop_assert!(p[i] <= bh[i] + 1e-12 && bh[i] <= holm[i] + 1e-12);
            prop_assert!(holm[i] <= bonferroni[i] + 1e-12 && bh[i] <= by[i] + 1e-12);
        }
    }

    /// Numbers that make no sense get no answer, or one between 0 and 1; nothing panics or runs on.
    #[test]
    fn senseless_numbers(q in any_number(), confidence in any_number(), values in proptest::collection::vec(any_number(), 0..9)) {
        for kind in TYPES {
            let found = quantile_by(kind, &values, q);
            prop_assert!(found.is_none() || (0.0..=1.0).contains(&q));
        }
        let _ = (limits(&values, q, confidence), least_for_limits(q, confidence), least_for_span(q, confidence));
        let _ = (least_products(q, 0.5, confidence), record::least_products(3, q), odd::odd(&values));
        prop_assert!(trend::trend(&values, &values, confidence).is_none_or(|t| t.probability <= 1.0));
        let unseen = Unseen { products: 4, identified: 3, market: None };
        prop_assert!((0.0..=1.0).contains(&unseen.bound(confidence.clamp(0.0, 1.0)).share));
        for method in [Method::Wilson, Method::Exact, Method::JeffreysDensest, Method::MidP] {
            let found = share::limits(method, 2, 5, confidence);
            prop_assert!(found.is_none() || (0.0 < confidence && confidence < 1.0));
        }
        let own = Measured { value: q, uncertainty: confidence };
        let others: Vec<_> = values.iter().map(|v| Measured { value: *v, uncertainty: q }).collect();
        prop_assert_eq!(rank_probabilities(own, &others).len(), values.len() + 1);
        prop_assert_eq!(many::holm(&values).len(), values.len());
    }
}

#[test]
fn sets_without_weight_have_nothing_in_common() {
    let parts = BTreeSet::from(["a"]);
    assert_eq!(in_common(&parts, &parts, |_| 0.0), None);
    assert_eq!(in_common(&parts, &parts, |_| 1.0), Some(1.0));
}
