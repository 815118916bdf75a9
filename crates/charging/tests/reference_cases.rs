//! Charges whose ends, sums and curves were worked out elsewhere.
//!
//! Source: `tests/published/` (see the README there): PyBaMM 26.10.1.1's equivalent circuit, scipy Radau and DOP853,
//! and a closed form in numpy, which agree.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use charging::{Cell, Ended, Law, Stage, State, Until, charge};
use support::{cell, hold, near, numbers, rows};

/// Reads `{'cc': 5.0; 'v': 4.2}` and the like.
fn stages(text: &str) -> Vec<Stage> {
    let mut stages = Vec::new();
    for step in text.trim_matches(['[', ']']).split("};") {
        let value = |name: &str| -> Option<f64> {
            let (_, rest) = step.split_once(&format!("'{name}': "))?;
            let end = rest.find([';', '}']).unwrap_or(rest.len());
            Some(rest[..end].parse().unwrap())
        };
        stages.push(match (value("cc"), value("cv"), value("rest")) {
            (Some(ampere), None, None) => match (value("v"), value("t")) {
                (Some(volt), None) => Stage::current(ampere, volt).unwrap(),
                (None, Some(seconds)) => {
                    let ends = charging::Ends {
                        seconds: Some(seconds),
                        ..Default::default()
                    };
                    Stage::current(ampere, 9.0).unwrap().until(ends)
                }
                _ => panic!("{step}"),
            },
            (None, Some(volt), None) => hold(volt, value("i").unwrap()),
            (None, None, Some(seconds)) => Stage::rest(seconds).unwrap(),
            _ => panic!("{step}"),
        });
    }
    stages
}

/// 20 charges: time after every stage, state at the end, charge, energy, both heats, times to two states of charge.
#[test]
fn twenty_charges_end_as_the_reference_does() {
    let table = rows(include_str!("published/charging_cases.csv"));
    assert_eq!(table.len(), 20);
    for row in table {
        let [
            name,
            which,
            steps,
            z0,
            ends,
            z_end,
            u_end,
            ah,
            wh,
            series,
            pairs,
            first,
            second,
            _,
        ] = row.as_slice()
        else {
            panic!("{row:?}");
        };
        let cell = cell(which);
        let stages = stages(steps);
        let start = start(name, z0.parse().unwrap());
        let charge = charge(&cell, start, &stages, Until::default()).unwrap();
        for (stage, end) in numbers(ends).into_iter().enumerate() {
            let found = charge
                .pieces()
                .iter()
                .filter(|piece| piece.stage <= stage)
                .map(charging::Piece::end_s)
                .fold(0.0, f64::max);
            near(&format!("{name}: end of stage {stage}"), found, end, 1e-6);
        }
        assert_eq!(charge.finish.ended, Ended::Terminated, "{name}");
        let number = |text: &str| text.parse::<f64>().unwrap();
        near(name, charge.finish.state.soc, number(z_end), 2e-9);
        for (k, u) in numbers(u_end).into_iter().enumerate() {
            near(name, charge.finish.state.pair_v[k], u, 2e-9);
        }
        near(name, charge.totals.ampere_hours(), number(ah), 2e-9);
        near(name, charge.totals.watt_hours(), number(wh), 2e-9);
        near(name, charge.totals.heat_series_j, number(series), 2e-6);
        near(name, charge.totals.heat_pairs_j, number(pairs), 2e-6);
        let wanted = if *name == "L1_cv_in_plateau" {
            [0.3, 0.5]
        } else {
            [0.5, 0.8]
        };
        for (soc, time) in wanted.into_iter().zip([first, second]) {
            match charge.time_to(soc) {
                Some(found) => near(&format!("{name}: to {soc}"), found, number(time), 6e-4),
                None => assert_eq!(time, "nan", "{name}: to {soc}"),
            }
        }
        assert!(
            charge.imbalance(&cell).abs() < 1e-12,
            "{name}: {:e}",
            charge.imbalance(&cell)
        );
    }
}

fn start(name: &str, soc: f64) -> State {
    let mut state = State::rested(soc);
    if name == "A1_prepolarised" {
        state.pair_v[0] = 0.05;
    }
    state
}

/// The same charges with current and voltage as limits of one stage, the least current taken: nothing changes.
#[test]
fn the_least_of_current_and_voltage_is_the_same_as_one_after_the_other() {
    for (name, ampere, from, end) in [
        ("A1", 5.0, 0.05, 4_146.578_122_694),
        ("A2", 5.0, 0.05, 4_585.194_543_738),
        ("A2", 10.0, 0.05, 3_410.844_282_224),
        ("A1", 5.0, 0.93, 924.942_269_107),
        ("A1", 10.0, 0.90, 1_069.342_530_971),
        ("A1", 5.0, 0.80, 1_446.577_420_002),
    ] {
        let stages = [Stage::current_voltage(ampere, 4.2, 0.25).unwrap()];
        let charge = charge(&cell(name), State::rested(from), &stages, Until::default()).unwrap();
        near(name, charge.finish.time_s, end, 1e-8);
    }
}

fn sampled(cell: &Cell, ampere: f64, table: &str, pairs: usize) {
    let stages = [Stage::current_voltage(ampere, 4.2, 0.25).unwrap()];
    let charge = charge(cell, State::rested(0.05), &stages, Until::default()).unwrap();
    let table = rows(table);
    let last = table.len() - 1;
    for (k, row) in table.iter().enumerate() {
        let row: Vec<f64> = row.iter().map(|cell| cell.parse().unwrap()).collect();
        let moment = if k == last {
            near("end", charge.finish.time_s, row[0], 1e-6);
            let piece = charge.pieces().last().unwrap();
            piece.at(piece.length_s)
        } else {
            charge.at(row[0]).unwrap().moment
        };
        let what = format!("at {} s", row[0]);
        near(&what, moment.current_a, row[1], 2e-9);
        near(&what, moment.voltage_v, row[2], 2e-9);
        near(&what, moment.state.soc, row[3], 2e-9);
        for pair in 0..pairs {
            near(&what, moment.state.pair_v[pair], row[4 + pair], 2e-9);
        }
    }
}

#[test]
fn every_sample_of_the_reference_curves_is_met() {
    let one = cell("A1");
    sampled(&one, 2.5, include_str!("published/charging_ecm_C2.csv"), 1);
    sampled(&one, 5.0, include_str!("published/charging_ecm_1C.csv"), 1);
    sampled(&one, 10.0, include_str!("published/charging_ecm_2C.csv"), 1);
    let two = cell("A2");
    sampled(
        &two,
        5.0,
        include_str!("published/charging_ecm_2rc_1C.csv"),
        2,
    );
}

/// PyBaMM's own end times, from a solver that knows nothing of the closed form.
#[test]
fn end_times_of_the_reference_solver_are_met_within_ten_milliseconds() {
    for row in rows(include_str!("published/charging_ecm_summary.csv")) {
        let number = |k: usize| row[k].parse::<f64>().unwrap();
        let stages = [Stage::current_voltage(number(1), 4.2, 0.25).unwrap()];
        let cell = cell("A1");
        let charge = charge(&cell, State::rested(0.05), &stages, Until::default()).unwrap();
        near("switch", charge.spans()[0].to_s, number(13), 1e-2);
        near("end", charge.finish.time_s, number(14), 1e-2);
        near("to 0.5", charge.time_to(0.5).unwrap(), number(4), 1e-6);
        near("to 0.8", charge.time_to(0.8).unwrap(), number(5), 1e-6);
        near(
            "soc at the switch",
            charge.soc_after(number(2)),
            number(7),
            1e-6,
        );
    }
}

/// Time to the voltage, where the pairs matter. Source: closed form (Wright omega), `published/README.md`.
#[test]
fn from_near_the_limit_the_pairs_decide_when_the_voltage_is_reached() {
    for (cell, from, wanted) in [
        (cell("A1"), 0.87, 60.199_163_515),
        (cell("A2"), 0.87, 50.300_713_477),
        (cell("A0"), 0.87, 36.0),
        (cell("A1"), 0.80, 288.012_186_221),
        (cell("A2"), 0.05, 2_808.018_596_469),
    ] {
        let stages = [Stage::current(5.0, 4.2).unwrap()];
        let charge = charge(&cell, State::rested(from), &stages, Until::default()).unwrap();
        near("time", charge.finish.time_s, wanted, 1e-8);
        assert_eq!(charge.finish.ended, Ended::StagesDone);
    }
}

#[test]
fn minutes_buy_what_the_reference_says() {
    let cell = cell("A2");
    let stages = [Stage::current_voltage(5.0, 4.2, 0.25).unwrap()];
    let charge = charge(&cell, State::rested(0.05), &stages, Until::default()).unwrap();
    for (minutes, soc) in [
        (5.0, 0.133_333),
        (10.0, 0.216_667),
        (15.0, 0.3),
        (30.0, 0.55),
        (60.0, 0.954_967_819),
    ] {
        near("soc", charge.soc_after(60.0 * minutes), soc, 6e-7);
        near(
            "charge",
            charge.bought_in(minutes),
            5.0 * (soc - 0.05),
            3e-6,
        );
    }
}

/// Termination currents and small changes of the cell.
#[test]
fn the_end_moves_with_termination_and_cell_as_the_reference_does() {
    let end = |cell: &Cell, volt: f64, until: f64| {
        let stages = [Stage::current_voltage(5.0, volt, until).unwrap()];
        let charge = charge(cell, State::rested(0.05), &stages, Until::default()).unwrap();
        (charge.finish.time_s, charge.finish.state.soc)
    };
    let a1 = cell("A1");
    for (until, time, soc) in [
        (0.5, 3_905.286_968, 0.990_330),
        (0.25, 4_146.578_123, 0.995_165),
        (0.1, 4_465.547_679, 0.998_066),
        (0.05, 4_706.838_834, 0.999_033),
    ] {
        near("time", end(&a1, 4.2, until).0, time, 1e-6);
        near("soc", end(&a1, 4.2, until).1, soc, 1e-6);
    }
    let base = end(&a1, 4.2, 0.25).0;
    let more_r0 = a1.with(5.0, 0.0202, a1.pairs()).unwrap();
    let more_r1 = a1
        .with(5.0, 0.02, &[support::pair(0.0101, 3000.0)])
        .unwrap();
    near("R0 + 1 %", end(&more_r0, 4.2, 0.25).0 - base, 5.209, 5e-4);
    near("R1 + 1 %", end(&more_r1, 4.2, 0.25).0 - base, 3.007, 5e-4);
    near("V - 10 mV", end(&a1, 4.19, 0.25).0 - base, -8.991, 5e-4);
}

/// Constant power and the heat limit. Source: closed form and quadrature.
#[test]
fn power_and_heat_limits_take_the_reference_times() {
    for row in rows(include_str!("published/charging_power_limits.csv")) {
        let watt: f64 = row[2].parse().unwrap();
        let (law, to) = if row[0] == "constant cell power" {
            (Law::Power(watt), 0.80)
        } else {
            (
                Law::Heat {
                    watt,
                    input_v: 5.0,
                    ohm: 0.0,
                },
                0.60,
            )
        };
        let limits = charging::Limits::new()
            .and(law, charging::Binding::SourcePower)
            .unwrap();
        let stage = Stage::new(charging::Phase::Charge, limits, charging::Ends::default());
        let until = Until {
            soc: Some(to),
            seconds: None,
        };
        let cell = cell(&row[1]);
        let charge = charge(&cell, State::rested(0.05), &[stage], until).unwrap();
        near(&row[0], charge.finish.time_s, row[3].parse().unwrap(), 1e-7);
        assert_eq!(charge.finish.ended, Ended::Soc);
        assert!(
            charge.imbalance(&cell).abs() < 1e-11,
            "{:e}",
            charge.imbalance(&cell)
        );
        if row[0] == "constant cell power" {
            near(
                "energy",
                charge.totals.energy_j,
                watt * charge.finish.time_s,
                1e-6,
            );
        }
        let halfway = 0.5 * charge.finish.time_s;
        let soc = charge.soc_after(halfway);
        near(
            "there and back",
            charge.time_to(soc).unwrap(),
            halfway,
            1e-6,
        );
    }
}

/// Constant power into a cell with a pair has no closed form. Source: scipy DOP853, rtol 1e-12.
#[test]
fn constant_power_with_a_pair_takes_the_reference_times() {
    for (watt, switch, end) in [
        (4.5, 14_053.950_680, 14_549.212_637),
        (13.5, 4_509.397_856, 5_425.039_500),
    ] {
        let limits = charging::Limits::new()
            .and(Law::Power(watt), charging::Binding::SourcePower)
            .unwrap()
            .and(
                Law::Voltage {
                    volt: 4.2,
                    ohm: 0.0,
                },
                charging::Binding::ChargeVoltage,
            )
            .unwrap();
        let ends = charging::Ends {
            falls_to_a: Some(0.25),
            ..Default::default()
        };
        let stage = Stage::new(charging::Phase::Charge, limits, ends);
        let cell = cell("A1");
        let charge = charge(&cell, State::rested(0.05), &[stage], Until::default()).unwrap();
        near("switch", charge.spans()[0].to_s, switch, 2e-6);
        near("end", charge.finish.time_s, end, 2e-6);
        assert_eq!(charge.spans().len(), 2);
        assert!(
            charge.imbalance(&cell).abs() < 1e-9,
            "{:e}",
            charge.imbalance(&cell)
        );
        assert!(charge.pieces().len() < 5000, "{}", charge.pieces().len());
    }
}
