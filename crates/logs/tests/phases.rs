//! Phases of simulated charges whose switches are known.
//!
//! Sources: `tests/published/charging_ecm_*.csv` and `charging_spm_*.csv`, charges computed by PyBaMM 26.10.1.1
//! (equivalent circuit; single-particle model of the parameter set Chen2020) and by scipy's Radau; the summary of the
//! latter is `charging_spm_summary.csv`. No curve here is made by this project.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads the logs that lie beside it"
)]

use logs::phases::{Kind, Phase, phases};
use logs::{Log, Options, Series, read_text};
use std::fmt::Write as _;

fn published(name: &str) -> String {
    let path = format!("{}/tests/published/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

fn read(text: &str, name: &str) -> Log {
    read_text(text.as_bytes(), name, &Options::default(), &mut |_| true)
        .unwrap_or_else(|error| panic!("{error}"))
}

fn series(log: &Log) -> &Series {
    &log.runs[0].series[0]
}

fn kinds(phases: &[Phase]) -> Vec<Kind> {
    phases.iter().map(|phase| phase.kind).collect()
}

/// Table of section 3: the switch lies between these samples; the true one is beside it.
#[test]
fn the_switch_to_constant_voltage_lies_between_the_published_samples() {
    for (run, from_s, to_s, truth) in [
        ("C2", 6480.0, 6540.0, 6502.5),
        ("1C", 2940.0, 3000.0, 2988.0),
        ("2C", 1200.0, 1260.0, 1210.0),
    ] {
        let name = format!("charging_ecm_{run}.csv");
        let log = read(&published(&name), &name);
        let found = phases(series(&log));
        assert_eq!(
            kinds(&found),
            [Kind::ConstantCurrent, Kind::ConstantVoltage],
            "{run}"
        );
        let switch = found[1].begins;
        assert_eq!((switch.from_s, switch.to_s), (from_s, to_s), "{run}");
        assert!((from_s..to_s).contains(&truth));
    }
}

/// The single-particle logs hold the sample of the switch itself.
#[test]
fn the_switch_of_single_particle_logs_is_met() {
    for (run, truth) in [("C2", 6658.298), ("1C", 2950.726), ("2C", 1145.402)] {
        let name = format!("charging_spm_{run}.csv");
        let log = read(&published(&name), &name);
        let found = phases(series(&log));
        assert_eq!(
            kinds(&found),
            [Kind::ConstantCurrent, Kind::ConstantVoltage],
            "{run}"
        );
        let switch = found[1].begins;
        assert!(
            switch.from_s <= truth + 1e-3 && truth <= switch.to_s,
            "{run}: {switch:?}"
        );
    }
}

/// The true charges and energies of the equivalent circuit, from the closed form; the samples are 60 s apart.
#[test]
fn true_charge_and_energy_lie_within_what_sampling_leaves_open() {
    for (run, charge_ah, energy_wh, trapezoid_ah, trapezoid_wh) in [
        ("C2", 4.725_826, 18.066_658, 4.725_470, 18.064_935),
        ("1C", 4.725_826, 18.390_385, 4.725_522, 18.388_345),
        ("2C", 4.725_826, 18.949_024, 4.726_117, 18.946_251),
    ] {
        let name = format!("charging_ecm_{run}.csv");
        let log = read(&published(&name), &name);
        let series = series(&log);
        let (charge, energy) = (
            series.charge(0, series.last()),
            series.energy(0, series.last()).unwrap(),
        );
        assert!(
            (charge.value / 3600.0 - trapezoid_ah).abs() <= 1e-6,
            "{run} {charge:?}"
        );
        assert!(
            (energy.value / 3600.0 - trapezoid_wh).abs() <= 1e-6,
            "{run} {energy:?}"
        );
        assert!(
            (charge.value / 3600.0 - charge_ah).abs() <= charge.bound / 3600.0,
            "{run} {charge:?}"
        );
        assert!(
            (energy.value / 3600.0 - energy_wh).abs() <= energy.bound / 3600.0,
            "{run} {energy:?}"
        );
        // Less than half an interval at the full current, which is what not knowing the switch would cost.
        assert!(
            charge.bound < 30.0 * series.points[0].amperes,
            "{run} {charge:?}"
        );
    }
}

#[test]
fn the_charges_of_all_phases_and_switches_add_up() {
    let name = "charging_spm_1C.csv";
    let log = read(&published(name), name);
    let found = phases(series(&log));
    let sum: f64 = found
        .iter()
        .map(|phase| phase.charge.value + phase.switching_c)
        .sum();
    assert!((sum - series(&log).charge_c()).abs() < 1e-9 * sum);
}

/// Section 5: irregular stamps; both rules of energy.
#[test]
fn irregular_stamps_give_the_published_integrals() {
    let text = "t_s,v,a\n0,5.10,0.50\n10,5.08,1.00\n25,9.02,2.00\n40,9.00,1.95\n70,8.98,1.50\n100,5.05,0.20\n";
    let log = read(text, "irregular.csv");
    let series = series(&log);
    assert!((series.charge_c() - 136.875).abs() < 1e-9);
    assert!((series.energy_j().unwrap() - 1160.975).abs() < 1e-9);
    let straight = series.energy_of_straight_lines(0, series.last());
    assert!((straight - 1_125.549_167).abs() < 5e-7, "{straight}");
}

/// A made charge with every phase, sampled every 2 s, with noise from a small generator.
fn made(noise_a: f64, noise_v: f64) -> String {
    let mut seed = 7_u64;
    let mut noise = |size: f64| {
        let mut sum = 0.0;
        for _ in 0..12 {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            sum += (seed >> 11) as f64 / (1_u64 << 53) as f64;
        }
        (sum - 6.0) * size
    };
    let mut text = String::from("Time (s),Voltage (V),Current (A)\n");
    for k in 0..2400 {
        let t = 2.0 * f64::from(k);
        let (v, i) = match t {
            t if t < 101.0 => (2.6, 0.0),
            t if t < 501.0 => (2.7 + 0.3 * (t - 101.0) / 400.0, 0.1),
            t if t < 2501.0 => (3.3 + 0.9 * (t - 501.0) / 2000.0, 1.0),
            t if t < 4001.0 => (4.2, (-(t - 2501.0) / 500.0).exp()),
            t if t < 4501.0 => (4.15, 0.0),
            t if t < 4561.0 => (4.2, 0.06),
            _ => (4.16, 0.0),
        };
        writeln!(
            text,
            "{t},{:.5},{:.5}",
            v + noise(noise_v),
            i + noise(noise_a)
        )
        .unwrap();
    }
    text
}

#[test]
fn every_phase_is_found_and_named_with_and_without_noise() {
    for (noise_a, noise_v) in [(0.0, 0.0), (0.002, 0.002)] {
        let log = read(&made(noise_a, noise_v), "made.csv");
        let found = phases(series(&log));
        let wanted = [
            (Kind::Idle, 0.0),
            (Kind::Precharge, 101.0),
            (Kind::ConstantCurrent, 501.0),
            (Kind::ConstantVoltage, 2501.0),
            (Kind::Idle, 4001.0),
            (Kind::TopUp, 4501.0),
            (Kind::Idle, 4561.0),
        ];
        let wanted_kinds: Vec<Kind> = wanted.iter().map(|(kind, _)| *kind).collect();
        assert_eq!(kinds(&found), wanted_kinds, "noise {noise_a}");
        for (phase, (kind, begins)) in found.iter().zip(wanted) {
            // The tail leaves its level by half a percent after 2.5 s, by four standard deviations of noise after 7 s.
            let late = if kind == Kind::ConstantVoltage {
                10.0
            } else {
                0.0
            };
            let between = phase.begins;
            assert!(
                between.from_s - late <= begins && begins <= between.to_s,
                "{kind:?} {between:?}"
            );
        }
    }
}

/// The same charge seen at a 5 V socket: the voltage says nothing, the power does.
#[test]
fn at_a_socket_the_power_tells_the_switch() {
    let mut text = String::from("elapsed_s,vbus_v,current_a\n");
    for k in 0..400 {
        let t = 10.0 * f64::from(k);
        let cell = if t < 2500.0 {
            (3.3 + 0.9 * t / 2500.0, 1.0)
        } else {
            (4.2, (-(t - 2500.0) / 500.0).exp())
        };
        let watts = cell.0 * cell.1 / 0.9;
        writeln!(text, "{t},5.00,{:.4}", watts / 5.0).unwrap();
    }
    let log = read(&text, "socket.csv");
    assert_eq!(series(&log).seat, logs::Seat::Socket);
    let found = phases(series(&log));
    assert_eq!(
        kinds(&found),
        [Kind::ConstantCurrent, Kind::ConstantVoltage]
    );
    assert!(
        found[1].begins.to_s > 2500.0 && found[1].begins.from_s < 2540.0,
        "{:?}",
        found[1].begins
    );
    assert!(logs::answers::step_resistances(series(&log)).is_empty());
}

/// The tail of the equivalent circuit: its slow rate on the last segment is 2.872658888e-3 /s; the rule q(R0+R1)/b
/// makes the resistance 348.1096/337.5 times too large.
#[test]
fn the_decay_gives_the_resistance_of_the_cell() {
    let name = "charging_ecm_1C.csv";
    let log = read(&published(name), name);
    let series = series(&log);
    // From state of charge 0.95 on the open-circuit voltage has one slope, 1.6 V; the fast rate is gone after 120 s.
    let text = published(name);
    let soc: Vec<f64> = text
        .lines()
        .skip(1)
        .map(|line| line.split(',').nth(3).unwrap().parse().unwrap())
        .collect();
    let steep = soc.iter().position(|soc| *soc > 0.95).unwrap() + 2;
    let tail = &series.points[steep..];
    let times: Vec<f64> = tail.iter().map(|point| point.t_s).collect();
    let amperes: Vec<f64> = tail.iter().map(|point| point.amperes).collect();
    let decay = logs::tail::one_exponential(&times, &amperes).unwrap();
    assert!(
        (decay.tau_s[0] * 2.872_658_888e-3 - 1.0).abs() < 1e-3,
        "{decay:?}"
    );
    let resistance = decay.resistance_ohm(1.6 / 18_000.0).unwrap();
    assert!(
        (resistance / (0.030 * 348.1096 / 337.5) - 1.0).abs() < 2e-3,
        "{resistance}"
    );
}

/// While a source holds the voltage, a fall of the current shows no resistance.
#[test]
fn a_held_voltage_shows_no_resistance() {
    let text = "t_s,v,a\n0,3.70,0.0\n1,3.75,1.0\n2,3.75,1.0\n3,3.75,0.8\n4,3.75,0.6\n";
    let log = read(text, "held.csv");
    let found = logs::answers::step_resistances(series(&log));
    assert_eq!(found.len(), 1);
    assert!((found[0].ohm - 0.05).abs() < 1e-12 && found[0].after_s == 1.0);
}

#[test]
fn the_highest_power_over_a_window_is_found() {
    let mut text = String::from("t_s,v,a\n");
    for k in 0..100 {
        let amperes = if (40..=60).contains(&k) { 2.0 } else { 1.0 };
        writeln!(text, "{k},4.0,{amperes}").unwrap();
    }
    let log = read(&text, "burst.csv");
    let peak = |window| logs::answers::peak_power(series(&log), window).unwrap();
    assert!((peak(20.0).watts - 8.0).abs() < 1e-12 && (peak(20.0).from_s - 40.0).abs() < 1e-12);
    // Twice 40 s: 20 s of it at 8 W, the flanks of 1 s between, the rest at 4 W.
    assert!((peak(40.0).watts - (20.0 * 8.0 + 2.0 * 6.0 + 18.0 * 4.0) / 40.0).abs() < 1e-12);
    assert_eq!(logs::answers::peak_power(series(&log), 200.0), None);
}
