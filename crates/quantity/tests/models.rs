//! Models of several results: one run for all, slopes and working of their own.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;
use quantity::{Dimension, Interval, Model, MonteCarlo, Sheet, Term};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use support::{normal, one, within};

/// Length and angle of a place (x, y), with slopes or without.
#[derive(Default)]
struct Polar {
    runs: AtomicUsize,
    has_slopes: bool,
    is_straight: bool,
    tells: bool,
}

impl Model for Polar {
    fn run(&self, x: &[f64], results: &mut [f64]) {
        self.runs.fetch_add(1, Ordering::Relaxed);
        results[0] = x[0].hypot(x[1]);
        results[1] = x[1].atan2(x[0]);
    }
    fn slopes(&self, x: &[f64], slopes: &mut [f64]) -> bool {
        let r = x[0].hypot(x[1]);
        slopes.copy_from_slice(&[x[0] / r, x[1] / r, -x[1] / (r * r), x[0] / (r * r)]);
        self.has_slopes
    }
    fn is_straight(&self) -> bool {
        self.is_straight
    }
    fn working(&self, result: usize, arguments: &[f64], results: &[f64]) -> Vec<String> {
        if !self.tells {
            return Vec::new();
        }
        vec![
            format!("seen from ({}, {})", arguments[0], arguments[1]),
            format!("result {result} is {:.3}", results[result]),
        ]
    }
}

fn place<'s>(sheet: &'s Sheet, model: Arc<Polar>) -> (Term<'s>, Term<'s>, [Term<'s>; 2]) {
    let input = |name: &str, mean: f64| sheet.input(normal(name, mean, 0.01));
    let inputs = [input("x", 3.0), input("y", 4.0)];
    let of = [("length", Dimension::NONE), ("angle", Dimension::NONE)];
    let found = sheet.model(&inputs, &of, model);
    (found[0], found[1], inputs)
}

/// The same by formulas the graph can look into is the reference.
#[test]
fn results_of_a_model_agree_with_formulas() {
    for (has_slopes, is_straight) in [(false, false), (true, false), (true, true)] {
        let sheet = Sheet::new();
        let model = Polar {
            has_slopes,
            is_straight,
            ..Polar::default()
        };
        let (length, angle, [x, y]) = place(&sheet, Arc::new(model));
        let plain = [(x.powi(2) + y.powi(2)).sqrt(), (y / x).atan()];
        let (a, b) = (
            sheet.propagate(&[length, angle]).unwrap(),
            sheet.propagate(&plain).unwrap(),
        );
        for r in 0..2 {
            within(a.values[r], b.values[r], 1e-12);
            for c in 0..2 {
                within(a.covariance[r][c], b.covariance[r][c], 1e-13);
                within(a.sensitivities[r][c], b.sensitivities[r][c], 1e-8);
            }
            let second = if is_straight {
                0.0
            } else {
                b.second_order_shift[r]
            };
            within(a.second_order_shift[r], second, 1e-10);
        }
        let run = MonteCarlo {
            draws: 20_000,
            seed: 3,
            threads: 2,
            keep_samples: false,
        };
        let drawn = sheet.monte_carlo(length * angle, run).unwrap();
        let plain = sheet.monte_carlo(plain[0] * plain[1], run).unwrap();
        within(drawn.mean, plain.mean, 1e-12);
        within(drawn.sd, plain.sd, 1e-12);
    }
}

/// A straight model with slopes runs once for everything that is asked about it.
#[test]
fn runs_are_kept_and_shared() {
    let sheet = Sheet::new();
    let model = Arc::new(Polar {
        has_slopes: true,
        is_straight: true,
        ..Polar::default()
    });
    let (length, angle, _) = place(&sheet, Arc::clone(&model));
    sheet.figure(length.named("length", &one())).unwrap();
    sheet.figure(angle).unwrap();
    sheet.figure(length * angle).unwrap();
    sheet.propagate(&[length, angle]).unwrap();
    assert_eq!(model.runs.load(Ordering::Relaxed), 1);
    // Per draw one run gives both results.
    let run = MonteCarlo {
        draws: 2048,
        seed: 1,
        threads: 1,
        keep_samples: true,
    };
    sheet.monte_carlo(length + angle, run).unwrap();
    let blocks = (model.runs.load(Ordering::Relaxed) - 1) / 1024;
    assert!((2..100).contains(&blocks), "{blocks}");
}

#[test]
fn a_model_tells_its_own_working_once() {
    let sheet = Sheet::new();
    let model = Polar {
        tells: true,
        has_slopes: true,
        ..Polar::default()
    };
    let (length, angle, _) = place(&sheet, Arc::new(model));
    let both = (length * angle).named("arc", &one());
    assert_eq!(
        sheet.working(both).unwrap(),
        [
            "seen from (3, 4)",
            "result 0 is 5.000",
            "result 1 is 0.927",
            "arc = length × angle = 5 × 0.9273 = 4.64 ±\u{202f}0.03",
        ]
    );
}

#[test]
fn a_model_without_results_or_with_foreign_terms_is_an_error() {
    let sheet = Sheet::new();
    let (_, _, [x, _]) = place(&sheet, Arc::new(Polar::default()));
    assert!(
        sheet
            .model(&[x], &[], Arc::new(Polar::default()))
            .is_empty()
    );
    assert!(sheet.value(x).is_err());
    let (other, kept) = (Sheet::new(), Sheet::new());
    let (_, _, [x, y]) = place(&kept, Arc::new(Polar::default()));
    let of = [("length", Dimension::NONE), ("angle", Dimension::NONE)];
    let found = other.model(&[x, y], &of, Arc::new(Polar::default()));
    assert_eq!(found.len(), 2);
    assert!(other.value(found[0]).is_err());
}

/// A power of the product of two numbers; says what it is unless it is `secret`.
struct Bent {
    power: f64,
    secret: bool,
    runs: Arc<AtomicUsize>,
}

impl Model for Bent {
    fn run(&self, x: &[f64], results: &mut [f64]) {
        self.runs.fetch_add(1, Ordering::Relaxed);
        results[0] = (x[0] * x[1]).powf(self.power);
    }
    fn identity(&self) -> Option<Vec<u64>> {
        (!self.secret).then(|| vec![u64::from_le_bytes(*b"bent one"), self.power.to_bits()])
    }
}

/// Interval of such a model, and how often it was run.
fn bent(power: f64, sd: f64, factor: f64, secret: bool) -> (Interval, usize) {
    let runs = Arc::new(AtomicUsize::new(0));
    let sheet = Sheet::new();
    let inputs = [
        sheet.input(normal("x", 2.0, sd)),
        sheet.input(normal("y", 3.0, 0.5)),
    ];
    let model = Bent {
        power,
        secret,
        runs: Arc::clone(&runs),
    };
    let found = sheet.model(&inputs, &[("bent", Dimension::NONE)], Arc::new(model));
    // Neither a sum nor a product of effects, so that it is drawn.
    let figure = sheet
        .figure((found[0] + inputs[0]) * inputs[1] * factor)
        .unwrap();
    assert!(
        figure.method.contains("quasi-Monte Carlo"),
        "{}",
        figure.method
    );
    (figure.interval, runs.load(Ordering::Relaxed))
}

/// What was drawn for equal causes serves again; anything that differs is drawn anew and differs in what comes out.
#[test]
fn equal_causes_are_drawn_once() {
    let (first, runs) = bent(1.37, 0.4, 1.0, false);
    assert!(runs > 4096, "{runs}");
    let (again, runs) = bent(1.37, 0.4, 1.0, false);
    assert_eq!(again, first);
    assert!(runs < 200, "{runs}");
    for (power, sd, factor) in [(1.38, 0.4, 1.0), (1.37, 0.41, 1.0), (1.37, 0.4, 1.01)] {
        let (other, runs) = bent(power, sd, factor, false);
        assert_ne!(other, first);
        assert!(runs > 4096, "{runs}");
    }
    // A model that does not say what it is, is never taken for another.
    let (secret, _) = bent(1.37, 0.4, 1.0, true);
    let (secret_again, runs) = bent(1.37, 0.4, 1.0, true);
    assert_eq!((secret, secret_again), (first, first));
    assert!(runs > 4096, "{runs}");
}
