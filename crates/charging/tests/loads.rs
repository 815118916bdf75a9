//! Loads, discharges, packs, and figures that cannot be.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use charging::{
    Binding, Cell, ChargingError, Ended, Ends, Law, Limits, Ocv, Phase, Stage, State, Until, charge,
};
use support::{cell, near};

#[test]
fn a_load_on_the_cell_keeps_a_charger_from_ending() {
    let stage = Stage::current_voltage(5.0, 4.2, 0.25)
        .unwrap()
        .with_load(0.3)
        .unwrap();
    let result = charge(&cell("A1"), State::rested(0.05), &[stage], Until::default());
    match result {
        Err(ChargingError::NeverEnds {
            stage: 1,
            tends_to_a,
            binding,
        }) => {
            near("current", tends_to_a, 0.3, 1e-12);
            assert_eq!(binding, Binding::ChargeVoltage);
        }
        other => panic!("{other:?}"),
    }
    let stage = Stage::current_voltage(5.0, 4.2, 0.25)
        .unwrap()
        .with_load(0.1)
        .unwrap();
    let a1 = cell("A1");
    let loaded = charge(&a1, State::rested(0.05), &[stage], Until::default()).unwrap();
    let last = loaded.pieces().last().unwrap();
    near("charger's", last.at(last.length_s).supplied_a, 0.25, 1e-12);
    near("cell's", last.at(last.length_s).current_a, 0.15, 1e-12);
    assert!(loaded.imbalance(&a1).abs() < 1e-12);
    assert!(loaded.finish.time_s > 4_146.578);
    assert!(loaded.totals.load_j > 0.1 * 3.4 * 4000.0);
}

#[test]
fn a_load_above_the_charger_empties_the_cell() {
    let stage = Stage::current_voltage(1.0, 4.2, 0.1)
        .unwrap()
        .with_load(1.5)
        .unwrap();
    let a1 = cell("A1");
    let emptied = charge(&a1, State::rested(0.5), &[stage], Until::default()).unwrap();
    assert_eq!(emptied.finish.ended, Ended::Empty);
    near("time", emptied.finish.time_s, 0.5 * 18000.0 / 0.5, 1e-9);
    near("charge", emptied.totals.ampere_hours(), -2.5, 1e-12);
    assert!(emptied.imbalance(&a1).abs() < 1e-12);
}

#[test]
fn a_load_that_takes_all_of_a_limited_power_never_ends() {
    let cell = {
        let ocv = Ocv::new(&[(0.0, 3.0), (1.0, 4.2)]).unwrap();
        Cell::new(9.67, ocv, 0.00083, &[]).unwrap()
    };
    let limits = Limits::new()
        .and(Law::Power(0.41), Binding::SourcePower)
        .unwrap();
    let stage = Stage::new(Phase::Charge, limits, Ends::default())
        .with_load(0.1265)
        .unwrap();
    let result = charge(&cell, State::rested(0.0), &[stage], Until::default());
    match result {
        Err(ChargingError::NeverEnds { tends_to_a, .. }) => near("all", tends_to_a, 0.1265, 1e-6),
        other => panic!("{other:?}"),
    }
}

/// Constant current and constant power out of the cell; power against a solver is in `reference_cases`.
#[test]
fn a_discharge_gives_what_the_cell_held() {
    let a2 = cell("A2");
    let stages = [Stage::discharge(2.5, 3.4).unwrap()];
    let current = charge(&a2, State::rested(1.0), &stages, Until::default()).unwrap();
    assert_eq!(current.finish.ended, Ended::StagesDone);
    let last = current.pieces().last().unwrap();
    near("volts", last.at(last.length_s).voltage_v, 3.4, 1e-12);
    near(
        "charge",
        current.totals.coulombs,
        -2.5 * current.finish.time_s,
        1e-8,
    );
    assert!(current.imbalance(&a2).abs() < 1e-12);
    let stages = [Stage::discharge_power(10.0, 3.4).unwrap()];
    let power = charge(&a2, State::rested(1.0), &stages, Until::default()).unwrap();
    near(
        "energy",
        power.totals.energy_j,
        -10.0 * power.finish.time_s,
        1e-5,
    );
    let last = power.pieces().last().unwrap();
    near("volts", last.at(last.length_s).voltage_v, 3.4, 1e-9);
    assert!(power.imbalance(&a2).abs() < 1e-9);
    let stages = [Stage::discharge_power(1000.0, 3.0).unwrap()];
    let refused = charge(&a2, State::rested(1.0), &stages, Until::default());
    assert!(
        matches!(refused, Err(ChargingError::PowerTooHigh { .. })),
        "{refused:?}"
    );
}

#[test]
fn a_pack_is_charged_as_its_cells_are() {
    let a2 = cell("A2");
    let pack = a2.pack(3, 2).unwrap();
    let single = [Stage::current_voltage(5.0, 4.2, 0.25).unwrap()];
    let together = [Stage::current_voltage(10.0, 12.6, 0.5).unwrap()];
    let one = charge(&a2, State::rested(0.05), &single, Until::default()).unwrap();
    let six = charge(&pack, State::rested(0.05), &together, Until::default()).unwrap();
    near("time", six.finish.time_s, one.finish.time_s, 1e-8);
    near(
        "energy",
        six.totals.energy_j,
        6.0 * one.totals.energy_j,
        1e-6,
    );
    near(
        "heat",
        six.totals.heat_pairs_j,
        6.0 * one.totals.heat_pairs_j,
        1e-6,
    );
    assert!(a2.pack(0, 1).is_err());
}

#[test]
fn figures_that_cannot_be_are_refused() {
    let ocv = || Ocv::new(&support::A).unwrap();
    assert!(Ocv::new(&[(0.0, 3.0)]).is_err());
    assert!(Ocv::new(&[(0.0, 3.0), (1.0, f64::NAN)]).is_err());
    assert!(Ocv::new(&[(0.0, 3.0), (1.0, 2.9)]).is_err());
    assert!(Ocv::new(&[(0.0, 3.0), (0.0, 3.1)]).is_err());
    assert!(ocv().stretched_to(2.0).is_err());
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(Cell::new(bad, ocv(), 0.02, &[]).is_err());
        assert!(Cell::new(5.0, ocv(), bad, &[]).is_err());
        assert!(Cell::new(5.0, ocv(), 0.02, &[support::pair(bad, 1.0)]).is_err());
        assert!(Stage::current_voltage(5.0, bad, 0.1).is_err());
    }
    assert!(Cell::new(5.0, ocv(), 0.02, &[support::pair(1.0, 1.0); 3]).is_err());
    let stages = [Stage::current_voltage(5.0, 4.2, 0.25).unwrap()];
    for soc in [-0.1, 1.1, f64::NAN] {
        let result = charge(&cell("A1"), State::rested(soc), &stages, Until::default());
        assert!(matches!(result, Err(ChargingError::State { .. })), "{soc}");
    }
    let unlimited = Stage::new(Phase::Charge, Limits::new(), Ends::default());
    let result = charge(
        &cell("A1"),
        State::rested(0.5),
        &[unlimited],
        Until::default(),
    );
    assert!(matches!(result, Err(ChargingError::NoLimit { stage: 1 })));
}

#[test]
fn a_load_draws_a_cell_at_its_held_voltage_down_over_a_kink() {
    let start = State {
        soc: 0.9001,
        pair_v: [0.15, 0.0],
    };
    let stage = Stage::current_voltage(5.0, 4.2, 0.1).unwrap();
    let stage = stage.until(Ends::default()).with_load(2.0).unwrap();
    let a1 = cell("A1");
    let until = Until {
        soc: None,
        seconds: Some(5.0),
    };
    let charge = charge(&a1, start, &[stage], until).unwrap();
    assert!(charge.finish.state.soc < 0.9, "{:?}", charge.finish);
    assert_eq!(charge.spans()[0].binding, Binding::ChargeVoltage);
    assert!(charge.pieces().iter().any(|piece| piece.to().soc == 0.9));
    let off = charge.imbalance(&a1);
    assert!(off.abs() < 1e-12, "{off:e}");
}

#[test]
fn a_power_that_the_cell_can_no_longer_give_is_told() {
    let a2 = cell("A2");
    for watt in [120.0, 200.0] {
        let stages = [Stage::discharge_power(watt, 0.1).unwrap()];
        let result = charge(&a2, State::rested(1.0), &stages, Until::default());
        assert!(
            matches!(result, Err(ChargingError::PowerTooHigh { .. })),
            "{watt}: {result:?}"
        );
    }
}

#[test]
fn a_wanted_state_of_charge_ends_a_charge_wherever_it_lies() {
    let a1 = cell("A1");
    let limits = Limits::new()
        .and(Law::Power(13.5), Binding::SourcePower)
        .unwrap();
    let stage = Stage::new(Phase::Charge, limits, Ends::default());
    let to = |soc: f64| {
        let until = Until {
            soc: Some(soc),
            seconds: None,
        };
        charge(&a1, State::rested(0.05), &[stage], until).unwrap()
    };
    // Among them every end of a step, where the step itself gets there to the last digit.
    for piece in to(0.9).pieces() {
        let again = to(piece.to().soc);
        assert_eq!(again.finish.ended, Ended::Soc);
        assert_eq!(again.finish.state.soc, piece.to().soc);
        near("time", again.finish.time_s, piece.end_s(), 1e-6);
    }
}
