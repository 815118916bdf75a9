//! The working as text, for formulas of a teardown: names, numbers, result.
//!
//! Expected uncertainties are worked out by hand from the law of propagation (GUM 5.1.2) and
//! written with two digits (GUM 7.2.6); the sum is beside each.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use quantity::{Distribution, GAP, Input, Sheet, Term, Unit, units};
use support::source;

fn unit(symbol: &str) -> Unit {
    Unit::parse(symbol).unwrap()
}

/// A normal input, value and standard uncertainty in `symbol`.
fn input<'s>(sheet: &'s Sheet, name: &str, value: f64, u: f64, symbol: &str) -> Term<'s> {
    let unit = unit(symbol);
    let distribution = Distribution::Normal {
        mean: unit.to_si(value),
        sd: u * unit.factor(),
    };
    sheet.input(Input::distributed(name, distribution, unit, source()))
}

#[track_caller]
fn works(sheet: &Sheet, term: Term<'_>, lines: &[&str]) {
    // Narrow no-break spaces are written as plain ones here.
    let plain = |working: Vec<String>| -> Vec<String> {
        working.iter().map(|l| l.replace(GAP, " ")).collect()
    };
    assert_eq!(plain(sheet.working(term).unwrap()), lines);
    let figure = sheet.figure(term).unwrap();
    assert_eq!(plain(figure.working.clone()), lines);
    let last = figure.working.last().unwrap();
    assert!(last.ends_with(&figure.text), "{last}: {}", figure.text);
}

/// √((3.85 × 0.010)² + (1.2 × 0.02)²) = 0.0454.
#[test]
fn energy_of_a_cell() {
    let sheet = Sheet::new();
    let capacity = input(&sheet, "capacity", 1200.0, 10.0, "mAh");
    let voltage = input(&sheet, "nominal voltage", 3.85, 0.02, "V");
    works(
        &sheet,
        (capacity * voltage).named("energy", &units::watt_hour()),
        &["energy = capacity × nominal voltage = 1200 mAh × 3.85 V = 4.62 ± 0.09 Wh"],
    );
}

/// √3 × 0.006 = 0.0104.
#[test]
fn mass_of_what_cannot_be_weighed() {
    let sheet = Sheet::new();
    let whole = input(&sheet, "whole", 48.23, 0.006, "g");
    let lid = input(&sheet, "lid", 9.41, 0.006, "g");
    let cell = input(&sheet, "cell", 12.1, 0.006, "g");
    works(
        &sheet,
        (whole - (lid + cell)).named("shell", &units::gram()),
        &["shell = whole − (lid + cell) = 48.23 g − (9.41 g + 12.1 g) = 26.72 ± 0.02 g"],
    );
}

/// 22 h × √((0.03/2.4)² + (2/88)² + (2/96)²) = 0.73 h. A named part has its own line, with the number that later
/// lines put in, and stands in them by its name.
#[test]
fn run_time_through_a_named_energy() {
    let sheet = Sheet::new();
    let stored = input(&sheet, "stored", 2.4, 0.03, "Wh");
    let efficiency = input(&sheet, "efficiency", 88.0, 2.0, "%");
    let power = input(&sheet, "power", 96.0, 2.0, "mW");
    let usable = (stored * efficiency).named("usable energy", &units::watt_hour());
    works(
        &sheet,
        (usable / power).named("run time", &units::hour()),
        &[
            "usable energy = stored × efficiency = 2.4 Wh × 88 % = 2.112 Wh",
            "run time = usable energy / power = 2.112 Wh / 96 mW = 22.0 ± 1.4 h",
        ],
    );
}

/// √((0.4 × 0.01)² + (5 × 15/25² × 0.1)² + (5 × 10/25² × 0.15)²) = 0.0174.
#[test]
fn voltage_of_a_divider() {
    let sheet = Sheet::new();
    let supply = input(&sheet, "supply", 5.0, 0.01, "V");
    let upper = input(&sheet, "R1", 15.0, 0.15, "kΩ");
    let lower = input(&sheet, "R2", 10.0, 0.1, "kΩ");
    works(
        &sheet,
        (supply * lower / (upper + lower)).named("output", &units::volt()),
        &["output = supply × R2 / (R1 + R2) = 5 V × 10 kΩ / (15 kΩ + 10 kΩ) = 2.00 ± 0.03 V"],
    );
}

/// 5089.4 mm³ × √((2 × 0.03/12)² + (0.05/45)²) = 26 mm³.
#[test]
fn volume_of_a_round_cell() {
    let sheet = Sheet::new();
    let diameter = input(&sheet, "diameter", 12.0, 0.03, "mm");
    let height = input(&sheet, "height", 45.0, 0.05, "mm");
    works(
        &sheet,
        (std::f64::consts::FRAC_PI_4 * diameter.powi(2) * height)
            .named("volume", &units::cubic_millimetre()),
        &[
            "volume = 0.785398163397 × diameter² × height = 0.785398163397 × (12 mm)² × 45 mm = 5090 ± 50 mm³",
        ],
    );
}

/// √((0.03 × 0.02)² + (0.04 × 0.02)²)/0.05 = 0.02: a function takes its argument in brackets.
#[test]
fn diagonal_of_a_board() {
    let sheet = Sheet::new();
    let width = input(&sheet, "width", 30.0, 0.02, "mm");
    let height = input(&sheet, "height", 40.0, 0.02, "mm");
    works(
        &sheet,
        (width.powi(2) + height.powi(2))
            .sqrt()
            .named("diagonal", &units::millimetre()),
        &["diagonal = √(width² + height²) = √((30 mm)² + (40 mm)²) = 50.00 ± 0.04 mm"],
    );
}

/// The sum of its arguments.
struct Total;

impl quantity::Model for Total {
    fn run(&self, arguments: &[f64], results: &mut [f64]) {
        results.fill(arguments.iter().sum());
    }
}

/// √9 × 0.1 mm = 0.3 mm for a sum of nine that the graph cannot look into.
#[test]
fn a_model_of_many_arguments_tells_the_first_and_how_many_more() {
    let sheet = Sheet::new();
    let inputs: Vec<Term<'_>> = (1..=9)
        .map(|i| input(&sheet, &format!("x{i}"), f64::from(i), 0.1, "mm"))
        .collect();
    let results = [("total", quantity::Dimension::LENGTH)];
    let total = sheet.model(&inputs, &results, std::sync::Arc::new(Total))[0]
        .named("length", &units::millimetre());
    works(
        &sheet,
        total,
        &[
            "length = total(x1, x2, x3, x4, x5, x6, and 3 more) = total(1 mm, 2 mm, 3 mm, 4 mm, 5 mm, 6 mm, and 3 more) = 45.0 ± 0.6 mm",
        ],
    );
}
