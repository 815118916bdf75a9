//! Bench calculations against published values, with their uncertainty.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use app::bench::{BenchOptions, Layer, Shape, SizedItem, bench};
use quantity::Figure;
use std::path::Path;

fn near(figure: &Figure, wanted: f64, share: f64) {
    assert!(
        (figure.value / wanted - 1.0).abs() < share,
        "{}: {} for {wanted}",
        figure.name,
        figure.text
    );
}

fn some(text: &str) -> Option<String> {
    Some(text.to_string())
}

fn trace(width: Option<String>, current: Option<String>) -> BenchOptions {
    BenchOptions::Trace {
        layer: Layer::External,
        copper: "35 µm".into(),
        warmer: "10 K".into(),
        width,
        current,
    }
}

/// Source: 0.300 mm for 1 A, 10 K and 35 µm outside, by the fit of IPC-2221 (public calculators; the same row stands in
/// `crates/guards/tests/figures.rs`).
#[test]
fn a_track_for_one_ampere_is_three_tenths_wide() {
    let found = bench(&trace(None, some("1 A")), None).unwrap();
    near(&found.figures[0], 0.300, 0.01);
    assert_eq!(found.figures[0].unit.symbol(), "mm");
    assert!(found.sources[0].contains("IPC-2221"));
}

/// I ~ w^0.725, so 8 % of the width are 5.8 % of the current (first order of the form).
#[test]
fn the_spread_of_a_width_reaches_the_current() {
    let figure = |text: &str| bench(&trace(some(text), None), None).unwrap().figures[0].clone();
    let (sharp, wide) = (figure("0.300 mm"), figure("0.300 ± 0.024 mm"));
    near(&sharp, 1.0, 0.01);
    let half = |f: &Figure| (f.interval.high - f.interval.low) / 2.0;
    let sd = 0.024 / 0.300 / 3.0_f64.sqrt() * 0.725;
    assert!(
        (wide.standard_uncertainty / wide.value / sd - 1.0).abs() < 0.05,
        "{wide:?}"
    );
    assert!(half(&wide) > 3.0 * half(&sharp), "{sharp:?} {wide:?}");
}

#[test]
fn three_forms_agree_on_a_square_coil_and_resonance_follows() {
    let options = BenchOptions::Coil {
        shape: Shape::Square,
        turns: 5.0,
        outer: some("10.000 mm"),
        width: "0.3000 mm".into(),
        space: "0.2000 mm".into(),
        capacitor: some("1 nF"),
    };
    let found = bench(&options, None).unwrap();
    let value = |at: usize| found.figures[at].value;
    assert_eq!(found.figures.len(), 5);
    assert!((value(1) / value(0) - 1.0).abs() < 0.06 && (value(2) / value(0) - 1.0).abs() < 0.06);
    // Thomson, by hand: L in µH, C of 1 nF, f in kHz.
    let kilohertz = 1e-3 / (2.0 * std::f64::consts::PI * (value(0) * 1e-6 * 1e-9).sqrt());
    near(&found.figures[4], kilohertz, 1e-4);
}

/// Source: 299 792 458 m/s / (4 · 2.44 GHz) = 30.716 mm.
#[test]
fn a_quarter_wave_in_air_is_an_antennas_length_and_back() {
    let wave = |frequency, length| BenchOptions::Wave {
        permittivity: 1.0,
        frequency,
        length,
    };
    let found = bench(&wave(some("2.44 GHz"), None), None).unwrap();
    near(&found.figures[0], 30.716, 1e-4);
    let back = bench(&wave(None, some("30.716 mm")), None).unwrap();
    near(&back.figures[0], 2440.0, 1e-4);
}

#[test]
fn a_resistor_takes_the_square_of_its_current() {
    let options = BenchOptions::Resistor {
        current: "1.5 A".into(),
        resistance: "20 mΩ".into(),
        thermal: Some(250.0),
        around: some("112.5 °C"),
    };
    let found = bench(&options, None).unwrap();
    near(&found.figures[0], 45.0, 1e-9);
    near(&found.figures[1], 11.25, 1e-9);
    // Half way from 70 °C to 155 °C.
    near(&found.figures[2], 50.0, 1e-9);
}

#[test]
fn a_size_is_taken_from_the_item_that_carries_it() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let sized = |item: &str| SizedItem {
        folder: folder.clone(),
        item: item.into(),
    };
    // Its width stands with the item: 25.1 mm.
    let found = bench(&trace(None, None), Some(&sized("lamp-cell"))).unwrap();
    let inputs = &found.figures[0].inputs;
    assert!(
        inputs.iter().any(|i| i.name.contains("width of")),
        "{inputs:?}"
    );
    assert!(bench(&trace(None, None), Some(&sized("nothing"))).is_err());
}

#[test]
fn what_is_no_quantity_or_cannot_be_is_refused_with_a_remedy() {
    let turns = BenchOptions::Coil {
        shape: Shape::Circle,
        turns: 50.0,
        outer: some("10 mm"),
        width: "0.3 mm".into(),
        space: "0.2 mm".into(),
        capacitor: None,
    };
    let warm = BenchOptions::Trace {
        layer: Layer::Internal,
        copper: "35 µm".into(),
        warmer: "10 °C".into(),
        width: some("1 mm"),
        current: None,
    };
    for options in [
        trace(some("1 A"), None),
        trace(some("wide"), None),
        trace(some("0 mm"), None),
        trace(None, None),
        turns,
        warm,
    ] {
        let problem = bench(&options, None).unwrap_err();
        assert!(!problem.remedy.to_string().is_empty(), "{problem:?}");
    }
}
