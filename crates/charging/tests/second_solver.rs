//! Whole chargers against a solver that knows nothing of limits that take over, stretches or closed forms.
//!
//! Source: scipy 1.17.1, DOP853 at 1e-11 with steps of at most 5 s, the current taken as the least of all limits at
//! every evaluation, the end bisected with fresh integrations. Its own errors at the kinks are the tolerance.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use charging::{Charge, Charger, Converter, FoldBack, Source, Stage, State, Until, charge};
use support::{cell, near};

/// End in seconds, state of charge there, ampere-hours and watt-hours into the cell, watt-hours at the socket.
fn meets(charge: &Charge, wanted: [f64; 5]) {
    near("end", charge.finish.time_s, wanted[0], 2e-4);
    near("soc", charge.finish.state.soc, wanted[1], 2e-8);
    near("charge", charge.totals.ampere_hours(), wanted[2], 1e-7);
    near("energy", charge.totals.watt_hours(), wanted[3], 4e-7);
    near("input", charge.totals.input_j / 3600.0, wanted[4], 4e-7);
}

fn run(charger: &Charger, source: &Source, cable: f64, load: f64, from: f64) -> Charge {
    let stages = charger.stages(source, cable, load).unwrap();
    charge(&cell("A2"), State::rested(from), &stages, Until::default()).unwrap()
}

fn heat(watt: f64) -> Option<FoldBack> {
    Some(FoldBack {
        limit_c: 100.0,
        ambient_c: 100.0 - 50.0 * watt,
        kelvin_per_watt: 50.0,
    })
}

#[test]
fn a_hot_linear_charger_on_a_long_cable_with_a_load() {
    let mut charger = Charger::new(Converter::Linear, 2.5, 4.2, Some(0.25));
    charger.aside_a = 0.005;
    charger.pass_ohm = 0.3;
    charger.fold_back = heat(0.9);
    let charge = run(&charger, &Source::fixed(5.0, 3.0), 0.2, 0.1, 0.05);
    meets(
        &charge,
        [
            22_958.983_496_280,
            0.995_077_864,
            4.725_389_318,
            17.875_157_798,
            26.975_131_685,
        ],
    );
}

#[test]
fn a_warm_switched_charger_with_and_without_a_load() {
    let mut charger = Charger::new(
        Converter::Switched { efficiency: 0.88 },
        4.0,
        4.2,
        Some(0.2),
    );
    charger.aside_a = 0.01;
    charger.fold_back = heat(1.1);
    let source = Source::fixed(9.0, 1.2);
    let bare = run(&charger, &source, 0.25, 0.0, 0.1);
    meets(
        &bare,
        [
            8_400.407_725_438,
            0.993_439_311,
            4.467_196_554,
            17.207_317_172,
            20.341_315_142,
        ],
    );
    charger.termination_a = Some(0.25);
    let loaded = run(&charger, &source, 0.25, 0.15, 0.1);
    meets(
        &loaded,
        [
            9_347.965_548_195,
            0.996_713_323,
            4.483_566_614,
            17.251_622_530,
            22.189_017_365,
        ],
    );
}

#[test]
fn a_pump_that_runs_out_of_headroom() {
    let pump = Converter::Pump {
        ratio: 2.0,
        efficiency: 0.96,
    };
    let mut charger = Charger::new(pump, 8.0, 4.2, Some(0.3));
    charger.aside_a = 0.004;
    let charge = run(
        &charger,
        &Source::programmable(3.3, 8.8, 3.0),
        0.15,
        0.0,
        0.1,
    );
    meets(
        &charge,
        [
            4_585.853_323_136,
            0.990_418_781,
            4.452_093_904,
            17.607_787_449,
            19.183_325_999,
        ],
    );
}

#[test]
fn a_constant_power_out_of_two_pairs() {
    let stage = Stage::discharge_power(10.0, 3.4).unwrap();
    let charge = charge(&cell("A2"), State::rested(1.0), &[stage], Until::default()).unwrap();
    meets(
        &charge,
        [
            5_352.191_267_304,
            0.197_271_607,
            -4.013_641_964,
            -14.867_197_965,
            0.0,
        ],
    );
}
