//! What goes wrong in simple simulations, one trap a test.
//!
//! Source of the numbers: closed form in numpy and scipy DOP853 (`published/README.md`).

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use charging::{
    Binding, Cell, ChargingError, Ended, Ends, Law, Limits, Ocv, Phase, Stage, State, Timer, Until,
    charge,
};
use support::{cell, hold, near};

#[test]
fn a_stage_that_ended_does_not_come_back_when_the_voltage_falls() {
    let stages = [
        Stage::current(10.0, 4.0).unwrap(),
        Stage::current(5.0, 4.2).unwrap(),
        hold(4.2, 0.25),
    ];
    let charge = charge(&cell("A1"), State::rested(0.05), &stages, Until::default()).unwrap();
    let down = 810.0;
    let volts = |t: f64| charge.at(t).unwrap().moment.voltage_v;
    near("lowest", volts(down + 56.914), 3.871_728_400, 1e-9);
    assert!(volts(down + 55.0) > volts(down + 56.914));
    assert!(volts(down + 59.0) > volts(down + 56.914));
    near("4.0 V again", volts(down + 600.0), 4.0, 1e-6);
    let order: Vec<usize> = charge.spans().iter().map(|span| span.stage).collect();
    assert_eq!(order, [0, 1, 2]);
}

#[test]
fn a_current_that_rises_at_constant_voltage_is_no_end() {
    let stages = [Stage::current(2.5, 3.31).unwrap(), hold(3.31, 0.05)];
    let charge = charge(&cell("L1"), State::rested(0.02), &stages, Until::default()).unwrap();
    let flat = charge.time_to(0.3).unwrap();
    let at = |t: f64| charge.at(t).unwrap().moment.current_a;
    near("into the flat part", at(flat), 0.864_962_653, 1e-8);
    near("at its end", at(flat + 3900.0), 1.0 / 1.1, 1e-8);
    assert!(at(flat + 30.0) > at(flat));
    // An end between the lowest current and the one it rises to is found where it is passed first.
    let stages = [Stage::current(2.5, 3.31).unwrap(), hold(3.31, 0.88)];
    let early =
        charging::charge(&cell("L1"), State::rested(0.02), &stages, Until::default()).unwrap();
    assert!(
        early.finish.time_s < flat,
        "{} and {flat}",
        early.finish.time_s
    );
}

#[test]
fn a_current_that_rises_to_its_limit_is_held_there() {
    let start = State {
        soc: 0.29,
        pair_v: [0.02, 0.0],
    };
    let stages = [Stage::current_voltage(0.88, 3.31, 0.05).unwrap()];
    let charge = charge(&cell("L1"), start, &stages, Until::default()).unwrap();
    let bound: Vec<Binding> = charge.spans().iter().map(|span| span.binding).collect();
    use Binding::{ChargeCurrent, ChargeVoltage};
    assert_eq!(bound, [ChargeVoltage, ChargeCurrent, ChargeVoltage]);
    for sample in charge.curve(500) {
        assert!(sample.moment.current_a <= 0.88 + 1e-12);
        assert!(sample.moment.voltage_v <= 3.31 + 1e-12);
    }
    assert!(charge.imbalance(&cell("L1")).abs() < 1e-12);
}

#[test]
fn a_table_that_ends_below_the_limit_is_refused_and_can_be_stretched() {
    let mut points = support::A;
    points[12].1 = 4.15;
    let ocv = Ocv::new(&points).unwrap();
    let a1 = cell("A1");
    let short = Cell::new(5.0, ocv.clone(), 0.02, a1.pairs()).unwrap();
    let stages = [Stage::current_voltage(5.0, 4.2, 0.25).unwrap()];
    match charge(&short, State::rested(0.05), &stages, Until::default()) {
        Err(ChargingError::TableEndsBelow {
            soc,
            ocv_v,
            current_a,
            binding,
        }) => {
            near("soc", soc, 1.0, 0.0);
            near("volts", ocv_v, 4.15, 1e-12);
            assert!(current_a > 1.6, "{current_a}");
            assert_eq!(binding, Binding::ChargeVoltage);
        }
        other => panic!("{other:?}"),
    }
    let stretched = Cell::new(5.0, ocv.stretched_to(4.2).unwrap(), 0.02, a1.pairs()).unwrap();
    let charge = charge(&stretched, State::rested(0.05), &stages, Until::default()).unwrap();
    assert_eq!(charge.finish.ended, Ended::Terminated);
    near("bottom", stretched.ocv().at(0.0), 3.0, 1e-15);
}

#[test]
fn a_rest_without_an_end_is_refused() {
    let limits = Limits::new().and(Law::Current(0.0), Binding::Rest).unwrap();
    let stage = Stage::new(Phase::Rest, limits, Ends::default());
    let result = charge(&cell("A1"), State::rested(0.5), &[stage], Until::default());
    assert!(
        matches!(result, Err(ChargingError::NeverEnds { .. })),
        "{result:?}"
    );
}

#[test]
fn a_series_resistance_near_nothing_changes_little() {
    let end = |ohm: f64| {
        let cell = cell("A1")
            .with(5.0, ohm, &[support::pair(0.010, 3000.0)])
            .unwrap();
        let stages = [Stage::current_voltage(5.0, 4.2, 0.25).unwrap()];
        let charge = charge(&cell, State::rested(0.05), &stages, Until::default()).unwrap();
        let off = charge.imbalance(&cell);
        assert!(off.abs() < 1e-9, "{ohm}: {off:e}");
        charge.finish.time_s
    };
    near("end", end(2e-6), 3_700.74, 5e-3);
    near("end", end(2e-9), 3_700.74, 0.1);
}

#[test]
fn pairs_with_equal_time_constants_are_one_pair() {
    let stages = [Stage::current_voltage(5.0, 4.2, 0.25).unwrap()];
    let end = |second: f64| {
        let pairs = [support::pair(0.004, 7500.0), support::pair(0.006, second)];
        let cell = cell("A1").with(5.0, 0.02, &pairs).unwrap();
        let charge = charge(&cell, State::rested(0.87), &stages, Until::default()).unwrap();
        charge.finish.time_s
    };
    near("equal", end(5000.0), 1_192.568_804_326, 1e-8);
    near(
        "nearly",
        end(5000.0 * (1.0 + 1e-12)),
        1_192.568_804_326,
        1e-8,
    );
}

#[test]
fn a_timer_runs_at_half_speed_while_the_source_holds_the_charger_back() {
    let timed = |limit: Binding| {
        let limits = Limits::new().and(Law::Current(0.2), limit).unwrap();
        let mut stage = Stage::new(Phase::Charge, limits, Ends::default());
        stage.timer = Some(Timer {
            seconds: 36_000.0,
            pace_held_back: 0.5,
        });
        let charge = charge(&cell("A1"), State::rested(0.05), &[stage], Until::default()).unwrap();
        assert_eq!(charge.finish.ended, Ended::Timer);
        charge.finish.time_s / 3600.0
    };
    near("free", timed(Binding::ChargeCurrent), 10.0, 1e-12);
    near("held back", timed(Binding::SourceCurrent), 20.0, 1e-12);
    // First free, then held back by power as the voltage rises: both clocks add up.
    let limits = Limits::new()
        .and(Law::Current(0.3), Binding::ChargeCurrent)
        .unwrap()
        .and(Law::Power(1.08), Binding::SourcePower)
        .unwrap();
    let mut stage = Stage::new(Phase::Charge, limits, Ends::default());
    stage.timer = Some(Timer {
        seconds: 36_000.0,
        pace_held_back: 0.5,
    });
    let charge = charge(&cell("A1"), State::rested(0.05), &[stage], Until::default()).unwrap();
    let spans = charge.spans();
    assert_eq!(spans.len(), 2);
    let (free, held) = (spans[0].to_s, spans[1].to_s - spans[1].from_s);
    assert!(free > 3600.0 && held > 3600.0, "{free} {held}");
    near("shown", free + 0.5 * held, 36_000.0, 1e-6);
}

#[test]
fn a_current_held_down_by_the_source_is_no_termination() {
    let limits = Limits::new()
        .and(Law::Current(5.0), Binding::ChargeCurrent)
        .unwrap()
        .and(
            Law::Voltage {
                volt: 4.2,
                ohm: 0.0,
            },
            Binding::ChargeVoltage,
        )
        .unwrap()
        .and(Law::Current(0.2), Binding::SourceCurrent)
        .unwrap();
    let ends = Ends {
        falls_to_a: Some(0.25),
        ..Ends::default()
    };
    let stage = Stage::new(Phase::Charge, limits, ends);
    let charge = charge(&cell("A1"), State::rested(0.5), &[stage], Until::default()).unwrap();
    assert!(charge.finish.state.soc > 0.99, "{:?}", charge.finish);
    assert_eq!(charge.finish.ended, Ended::Terminated);
    assert_eq!(charge.spans().len(), 1);
}

#[test]
fn a_cell_above_the_limit_gets_no_current_and_gives_none() {
    let start = State {
        soc: 0.98,
        pair_v: [0.08, 0.0],
    };
    let limits = Limits::new()
        .and(
            Law::Voltage {
                volt: 4.2,
                ohm: 0.0,
            },
            Binding::ChargeVoltage,
        )
        .unwrap();
    let stage = Stage::new(Phase::TopUp, limits, Ends::default());
    let until = Until {
        seconds: Some(600.0),
        soc: None,
    };
    let a1 = cell("A1");
    let charge = charge(&a1, start, &[stage], until).unwrap();
    let bound: Vec<Binding> = charge.spans().iter().map(|span| span.binding).collect();
    assert_eq!(bound, [Binding::Full, Binding::ChargeVoltage]);
    assert!(
        charge
            .curve(100)
            .iter()
            .all(|sample| sample.moment.current_a >= -1e-6)
    );
    near("time", charge.finish.time_s, 600.0, 1e-9);
    assert!(charge.imbalance(&a1).abs() < 1e-12);
}

fn hot(watt: f64, load_a: f64, ampere: f64, cable: f64, pass: f64) -> Stage {
    let law = |law, binding| move |limits: Limits| limits.and(law, binding).unwrap();
    let limits = [(Law::Current(ampere), Binding::ChargeCurrent)]
        .into_iter()
        .chain([
            (
                Law::Voltage {
                    volt: 4.2,
                    ohm: 0.0,
                },
                Binding::ChargeVoltage,
            ),
            (
                Law::Voltage {
                    volt: 5.0,
                    ohm: cable + pass,
                },
                Binding::Headroom,
            ),
            (
                Law::Heat {
                    watt,
                    input_v: 5.0,
                    ohm: cable,
                },
                Binding::Temperature,
            ),
        ])
        .fold(Limits::new(), |limits, (one, binding)| {
            law(one, binding)(limits)
        });
    let ends = Ends {
        falls_to_a: Some(0.05 * ampere),
        ..Ends::default()
    };
    Stage::new(Phase::Charge, limits, ends)
        .with_load(load_a)
        .unwrap()
}

fn steep(capacity: f64, ohm: f64, points: &[(f64, f64)]) -> Cell {
    Cell::new(capacity, Ocv::new(points).unwrap(), ohm, &[]).unwrap()
}

/// The same heat is made by a small current and by a large one; a line that meets the large one is no other limit.
#[test]
fn a_heat_limit_gives_way_where_no_current_makes_that_much_heat() {
    let cell = steep(2.58, 0.0031, &[(0.0, 3.0), (1.0, 4.2)]);
    let stage = hot(0.85, 0.0, 2.3, 0.238, 0.147);
    let charge = charge(&cell, State::rested(0.0), &[stage], Until::default()).unwrap();
    let bound: Vec<Binding> = charge.spans().iter().map(|span| span.binding).collect();
    use Binding::{ChargeCurrent, ChargeVoltage, Headroom, Temperature};
    assert_eq!(bound, [Temperature, ChargeCurrent, Headroom, ChargeVoltage]);
    for span in charge.spans() {
        let sample = charge.at(0.5 * (span.from_s + span.to_s)).unwrap().moment;
        let heat = sample.current_a * (5.0 - 0.238 * sample.current_a - sample.voltage_v);
        assert!(heat <= 0.85 + 1e-9, "{heat} W while {} binds", span.binding);
    }
    assert!(charge.imbalance(&cell).abs() < 1e-11);
}

#[test]
fn a_step_over_the_edge_of_the_heat_limit_stays_a_number() {
    let points = [(0.0, 3.0), (0.974, 3.024), (1.0, 4.2)];
    let cell = steep(1.0, 0.008, &points);
    let stage = hot(1.03, 0.0556, 2.797, 0.2525, 0.0);
    let charge = charge(&cell, State::rested(0.0), &[stage], Until::default()).unwrap();
    assert!(
        charge.imbalance(&cell).abs() < 1e-9,
        "{:e}",
        charge.imbalance(&cell)
    );
    assert_eq!(charge.finish.ended, Ended::Terminated);
}
