//! Whole bills: shared rates, drivers, draws, levels.
//!
//! Source, where a test names no other: exact moments of lognormal products, worked with scipy 1.17.1.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use cost::process::Rework;
use cost::{
    Bill, BillError, Group, Ladder, Law, Level, Line, Pricing, Rate, Run, Sort, Unknown,
    half_width_sigma,
};
use quantity::{Currency, Distribution, Origin, Sheet, Source};
use std::collections::BTreeMap;

#[track_caller]
fn near(found: f64, printed: f64, within: f64) {
    assert!(
        (found - printed).abs() <= within,
        "{found}, printed {printed} ± {within}"
    );
}

fn source() -> Source {
    Source {
        origin: Origin::Estimated,
        evidence: Vec::new(),
        note: String::new(),
    }
}

fn unknown(name: &str, sort: Sort, value: f64, law: Law) -> Unknown {
    Unknown {
        name: name.into(),
        sort,
        value,
        law,
        source: source(),
        sourced: false,
    }
}

/// A lognormal unknown by its tenth and ninetieth percentile.
fn between(name: &str, sort: Sort, low: f64, high: f64) -> Unknown {
    let middle = (low * high).sqrt();
    let sigma = half_width_sigma(high / middle - 1.0);
    unknown(name, sort, middle, Law::Lognormal { sigma })
}

fn line(name: &str, amount: f64, price: f64, unknowns: Vec<usize>) -> Line {
    Line {
        name: name.into(),
        group: Group::Parts,
        level: None,
        amount,
        attrition: None,
        pricing: Pricing::Each(Ladder::flat(price).unwrap()),
        currency: Currency::Eur,
        series: None,
        unknowns,
    }
}

fn bill(unknowns: Vec<Unknown>, lines: Vec<Line>) -> Bill {
    Bill {
        currency: Currency::Eur,
        unknowns,
        lines,
        levels: Vec::new(),
        rates: Vec::new(),
        indices: BTreeMap::new(),
        overhead: None,
        margin: None,
    }
}

/// Five lines in a foreign currency with one rate.
fn five() -> Bill {
    let ranges = [
        (38.0, 48.0),
        (20.0, 30.0),
        (9.0, 14.0),
        (5.0, 9.0),
        (2.0, 5.0),
    ];
    let mut unknowns: Vec<Unknown> = ranges
        .iter()
        .enumerate()
        .map(|(k, (low, high))| between(&format!("line {k}"), Sort::Price, *low, *high))
        .collect();
    unknowns.push(between("EUR for one CNY", Sort::Rate, 0.130, 0.150));
    let lines = (0..5).map(|k| Line {
        currency: Currency::Cny,
        ..line(&format!("line {k}"), 1.0, 1.0, vec![k])
    });
    Bill {
        rates: vec![Rate {
            of: Currency::Cny,
            unknown: 5,
        }],
        ..bill(unknowns.clone(), lines.collect())
    }
}

#[test]
fn a_lognormal_by_its_percentiles() {
    let sigma = half_width_sigma(0.25);
    near(sigma, 0.17412, 5e-6);
    let law = Distribution::Lognormal { mu: 0.0, sigma };
    near(law.mean(), 1.015274, 5e-7);
    near(law.sd(), 0.178128, 5e-7);
}

#[test]
fn one_rate_is_one_unknown() {
    let local = Bill {
        currency: Currency::Cny,
        rates: Vec::new(),
        ..five()
    };
    let spread = local.drivers(1.0).unwrap();
    near(spread.mean, 89.340274, 5e-7);
    near(spread.sd, 6.241622, 5e-7);
    let rate = Distribution::Lognormal {
        mu: (0.130_f64 * 0.150).sqrt().ln(),
        sigma: half_width_sigma((0.150_f64 / 0.130).sqrt() - 1.0),
    };
    near(rate.mean(), 0.13986021, 5e-9);
    near(rate.sd(), 0.00781464, 5e-9);

    let spread = five().drivers(1.0).unwrap();
    near(spread.mean, 12.495150, 5e-7);
    near(spread.sd, 1.118865, 5e-7);
    let share = |name: &str| {
        let driver = spread.drivers.iter().find(|d| d.name == name);
        driver.map(|d| d.share).unwrap()
    };
    near(share("EUR for one CNY"), 0.389365, 5e-7);
    assert_eq!(spread.drivers[0].sort, Sort::Rate);
    let lines = [0.239740, 0.243597, 0.061173, 0.040019, 0.024206];
    for (k, printed) in lines.iter().enumerate() {
        near(share(&format!("line {k}")), *printed, 5e-7);
    }
    let together: f64 = spread.drivers.iter().map(|d| d.share).sum();
    near(1.0 - together, 0.001900, 5e-7);
    near(share("EUR for one CNY") + 1.0 - together, 0.391265, 5e-7);
}

/// A rate of its own for every line gives 0.962203: the right deviation is 1.1628 times as large.
#[test]
fn a_rate_drawn_by_line_is_too_narrow() {
    let mut apart = five();
    for (k, line) in apart.lines.iter_mut().enumerate() {
        line.currency = Currency::Eur;
        line.unknowns.push(6 + k);
    }
    let rate = apart.unknowns[5].clone();
    apart.unknowns.extend(vec![rate; 5]);
    let wrong = apart.drivers(1.0).unwrap().sd;
    near(wrong, 0.962203, 5e-5);
    near(five().drivers(1.0).unwrap().sd / wrong, 1.1628, 1e-4);
}

/// numpy, 400 000 draws, tolerance 0.02; the lines' own percentiles added up give 9.64 to 15.91, which is no interval.
#[test]
fn draws_of_the_five_lines() {
    let run = Run {
        draws: 400_000,
        ..Run::default()
    };
    let rolled = five().rollup(1.0, run).unwrap();
    near(rolled.sampled.quantile(0.05), 10.7485, 0.02);
    near(rolled.band.median, 12.4442, 0.02);
    near(rolled.sampled.quantile(0.95), 14.4225, 0.02);
    near(
        rolled.sampled.sd,
        1.118865,
        4.0 * 1.118865 / (2.0_f64 * 4e5).sqrt(),
    );
    let threads = Run { threads: 2, ..run };
    assert_eq!(five().rollup(1.0, threads).unwrap().band, rolled.band);
}

#[test]
fn modes_do_not_add_up() {
    let pert = |low, mode, high| Distribution::Pert {
        low,
        mode,
        high,
        lambda: 4.0,
    };
    near(pert(2.0, 3.0, 7.0).mean(), 3.5, 1e-12);
    near(pert(2.0, 3.0, 7.0).sd(), 0.866025, 5e-7);
    let triangle = Distribution::Triangular {
        low: 2.0,
        mode: 3.0,
        high: 7.0,
    };
    near(triangle.mean(), 4.0, 1e-12);
    near(triangle.sd(), 1.080123, 5e-7);
    near(5.0 * pert(0.8, 1.0, 2.0).mean(), 5.666667, 5e-7);
}

/// A whole small product. Losses on everything at once give 9.299924, none 9.074412, tools over the yield 9.283439.
fn product() -> Bill {
    let at = |level, group, line: Line| Line {
        level: Some(level),
        group,
        ..line
    };
    let exact = |name, sort, value| unknown(name, sort, value, Law::Exact);
    Bill {
        levels: vec![
            Level {
                name: "board".into(),
                into: Some(1),
                good: Some(0),
                rework: None,
            },
            Level {
                name: "final".into(),
                into: None,
                good: Some(1),
                rework: None,
            },
        ],
        ..bill(
            vec![
                exact("board", Sort::Yield, 0.985),
                exact("final", Sort::Yield, 0.99),
                exact("overhead", Sort::Overhead, 0.12),
                exact("margin", Sort::Overhead, 0.08),
            ],
            vec![
                at(0, Group::Parts, line("parts", 1.02, 6.20, vec![])),
                at(0, Group::Boards, line("bare board", 1.0, 0.85, vec![])),
                at(0, Group::Placement, line("placements", 84.0, 0.004, vec![])),
                at(0, Group::Placement, line("test", 1.0, 0.12, vec![])),
                at(1, Group::Housing, line("shell", 1.0, 0.64, vec![])),
                at(
                    1,
                    Group::Assembly,
                    line("hands", 95.0 / 3600.0 / 0.85, 9.0, vec![]),
                ),
                at(1, Group::Other, line("packing", 1.0, 0.30, vec![])),
                Line {
                    group: Group::Tools,
                    pricing: Pricing::Once {
                        cost: 45_000.0,
                        life: None,
                    },
                    ..line("tools", 1.0, 0.0, vec![])
                },
            ],
        )
    }
}

#[test]
fn each_level_carries_its_own_losses() {
    let board = Bill {
        lines: product().lines[..4].to_vec(),
        levels: vec![Level {
            into: None,
            ..product().levels[0].clone()
        }],
        ..product()
    };
    near(board.point(200_000.0).unwrap().total, 7.746193, 5e-7);
    let unit = Bill {
        lines: product().lines[..7].to_vec(),
        ..product()
    };
    near(unit.point(200_000.0).unwrap().total, 9.056166, 5e-7);
    let point = product().point(200_000.0).unwrap();
    near(point.total, 9.281166, 5e-7);
    let whole: f64 = point.groups.iter().map(|(_, cost)| cost).sum();
    near(whole, point.total, 1e-9);
    near(
        point.groups.iter().find(|g| g.0 == Group::Tools).unwrap().1,
        0.225,
        1e-12,
    );
    let sold = Bill {
        overhead: Some(2),
        margin: Some(3),
        ..product()
    };
    near(sold.point(200_000.0).unwrap().total, 11.298811, 5e-7);
    // The derivation says the same.
    let sheet = Sheet::new();
    let term = sold.term(&sheet, 200_000.0).unwrap();
    near(sheet.value(term).unwrap(), 11.298811, 5e-7);
}

#[test]
fn rework_and_ladders_and_alternatives_stand_in_the_derivation_as_at_the_point() {
    let mut own = product();
    own.levels[0].rework = Some(Rework {
        cost: 0.5,
        saves: 0.6,
    });
    own.unknowns.push(unknown(
        "layers",
        Sort::Amount,
        1.0,
        Law::Alternatives(vec![(0.7, 1.0), (0.3, 1.6)]),
    ));
    own.lines[1].unknowns = vec![4];
    own.lines[0].pricing =
        Pricing::Each(Ladder::new(vec![(1.0, 9.0), (1e3, 7.0), (1e5, 6.2)]).unwrap());
    for volume in [1.0, 700.0, 1e4, 1e6] {
        let point = own.point(volume).unwrap().total;
        let spread = own.drivers(volume).unwrap();
        // Beyond the last break the mean of a lognormal stands above its median.
        near(
            spread.mean / point,
            1.0,
            if volume > 1e5 { 6e-3 } else { 1e-9 },
        );
        let rolled = own.rollup(volume, Run::default()).unwrap();
        near(rolled.sampled.mean / spread.mean, 1.0, 2e-3);
        near(rolled.sampled.sd / spread.sd, 1.0, 0.03);
    }
    // Two alternatives 0.6 × 0.85 apart at 0.7 and 0.3.
    let spread = own.drivers(1e4).unwrap();
    let good = 0.985 + 0.015 * 0.6;
    near(
        spread.sd,
        0.6 * 0.85 * (0.7_f64 * 0.3).sqrt() / good / 0.99,
        1e-9,
    );
}

#[test]
fn the_best_quote_is_the_one_that_narrows_most() {
    let spread = five().drivers(1.0).unwrap();
    let quote = spread.best_quote(1.0).unwrap();
    assert_eq!(quote.name, "line 1");
    // The same by draws, the price being known.
    let band = |of: &Bill| {
        let run = Run {
            draws: 400_000,
            ..Run::default()
        };
        of.rollup(1.0, run).unwrap().band
    };
    let mut known = five();
    let sigma = half_width_sigma((30.0_f64 / 20.0).sqrt() - 1.0);
    known.unknowns[1].value *= (sigma * sigma / 2.0).exp();
    known.unknowns[1].law = Law::Exact;
    let then = band(&known);
    near(quote.then.low, then.low, 0.03);
    near(quote.then.high, then.high, 0.03);
    let now = five().band(1.0).unwrap();
    near(now.low, band(&five()).low, 0.03);
    near(now.median, 12.4442, 0.02);
    near(now.high, band(&five()).high, 0.03);
    let sure = bill(Vec::new(), vec![line("one", 1.0, 2.0, vec![])]);
    assert_eq!(sure.drivers(1.0).unwrap().best_quote(1.0), None);
    near(sure.band(1.0).unwrap().width(), 0.0, 0.0);
}

#[test]
fn a_curve_falls_and_its_tools_step() {
    let curve = product().curve(&[1e3, 1e4, 1e5, 1e6]).unwrap();
    assert!(curve.windows(2).all(|pair| pair[1].median < pair[0].median));
    near(curve[0].median - curve[3].median, 45.0 - 0.045, 1e-3);
    let mut worn = product();
    worn.lines[7].pricing = Pricing::Once {
        cost: 20_000.0,
        life: Some(5e5),
    };
    let tools = |volume: f64| {
        let groups = worn.point(volume).unwrap().groups;
        groups.iter().find(|g| g.0 == Group::Tools).unwrap().1
    };
    near(tools(5e5), 0.04, 1e-9);
    near(tools(500_001.0), 0.08, 1e-6);
}

#[test]
fn what_does_not_hold_together_is_told() {
    let empty = bill(Vec::new(), Vec::new());
    assert_eq!(empty.point(1.0), Err(BillError::Empty));
    let one = bill(Vec::new(), vec![line("one", 1.0, 2.0, vec![])]);
    assert_eq!(one.point(0.0), Err(BillError::Volume(0.0)));
    assert!(one.point(f64::NAN).is_err());
    let mut other = one.clone();
    other.lines[0].currency = Currency::Usd;
    let told = other.point(1.0).unwrap_err().to_string();
    assert_eq!(
        told,
        "the line 'one' is in USD, and no rate leads from it to EUR"
    );
    let mut follows = one.clone();
    follows.lines[0].series = Some("memory".into());
    assert!(matches!(follows.point(1.0), Err(BillError::Index { .. })));
    let mut broken = one.clone();
    broken.lines[0].unknowns = vec![3];
    assert!(matches!(broken.point(1.0), Err(BillError::Broken(_))));
    let mut circle = product();
    circle.levels[1].into = Some(0);
    assert!(matches!(circle.point(1.0), Err(BillError::Broken(_))));
}

/// An index carries all prices of its series at once: 40.00 by 136.0/129.9 is 41.8784.
#[test]
fn an_index_carries_its_series() {
    let mut one = bill(
        vec![unknown("index", Sort::Index, 136.0 / 129.9, Law::Exact)],
        vec![line("one", 1.0, 40.0, vec![])],
    );
    one.lines[0].series = Some("parts".into());
    one.indices.insert("parts".into(), 0);
    near(one.point(1.0).unwrap().total, 41.8784, 5e-5);
    let sheet = Sheet::new();
    let term = one.term(&sheet, 1.0).unwrap();
    near(sheet.value(term).unwrap(), 41.8784, 5e-5);
}
