//! Chargers, sources and cables: what binds, and what is taken at the socket.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use charging::{
    Binding, Cell, Charge, Charger, ChargingError, Converter, Ended, FoldBack, Input, Precharge,
    Source, Stage, State, TemperatureRange, TemperatureStep, Until, Usb, cable_ohm, charge,
};
use support::{cell, near};

fn linear() -> Charger {
    Charger::new(Converter::Linear, 5.0, 4.2, Some(0.25))
}

fn run(charger: &Charger, source: &Source, cable: f64, cell: &Cell, from: f64) -> Charge {
    let stages = charger.stages(source, cable, 0.0).unwrap();
    let charge = charge(cell, State::rested(from), &stages, Until::default()).unwrap();
    let off = charge.imbalance(cell);
    assert!(off.abs() < 1e-9, "{off:e}");
    assert!(charge.totals.input_j >= charge.totals.energy_j);
    let efficiency = charge.totals.efficiency().unwrap();
    assert!(efficiency > 0.0 && efficiency <= 1.0, "{efficiency}");
    charge
}

fn bound(charge: &Charge) -> Vec<Binding> {
    charge.spans().iter().map(|span| span.binding).collect()
}

/// The joules at the socket against a sum over a fine curve.
fn input_by_samples(charge: &Charge) -> f64 {
    let curve = charge.curve(40_000);
    curve
        .windows(2)
        .map(|pair| {
            let apart = pair[1].moment.time_s - pair[0].moment.time_s;
            0.5 * apart * (pair[0].input_w.unwrap() + pair[1].input_w.unwrap())
        })
        .sum()
}

/// Source: closed form in numpy; 5 V times the charge.
#[test]
fn a_linear_charger_takes_the_cells_current_at_the_inputs_voltage() {
    let charge = run(&linear(), &Source::fixed(5.0, 10.0), 0.0, &cell("A1"), 0.05);
    near(
        "input",
        charge.totals.input_j / 3600.0,
        23.629_128_628,
        1e-8,
    );
    near("cell", charge.totals.watt_hours(), 18.390_384_714, 1e-8);
    near(
        "share",
        charge.totals.efficiency().unwrap(),
        0.778_292_971,
        1e-9,
    );
    assert_eq!(
        bound(&charge),
        [Binding::ChargeCurrent, Binding::ChargeVoltage]
    );
}

#[test]
fn a_source_a_limit_and_a_long_cable_bind_in_turn() {
    let a1 = cell("A1");
    // 28 AWG, 1 m: 4.361 V would be left of 5.00 V at 1.5 A.
    let cable = cable_ohm(28, 1.0, 20.0);
    let by = |change: &dyn Fn(&mut Charger), cable: f64| {
        let mut charger = linear();
        change(&mut charger);
        let charge = run(&charger, &Usb::TypeC1A5.source(), cable, &a1, 0.05);
        near(
            "input",
            charge.totals.input_j / input_by_samples(&charge),
            1.0,
            1e-6,
        );
        bound(&charge)
    };
    use Binding::{ChargeVoltage, Headroom, InputLimit, InputVoltage, SourceCurrent};
    assert_eq!(by(&|_| {}, 0.0), [SourceCurrent, ChargeVoltage]);
    assert_eq!(
        by(&|c| c.input_limit_a = Some(0.5), 0.0),
        [InputLimit, ChargeVoltage]
    );
    assert_eq!(
        by(&|c| c.input_floor_v = Some(4.4), cable),
        [InputVoltage, ChargeVoltage]
    );
    assert_eq!(
        by(&|c| c.pass_ohm = 0.5, cable),
        [SourceCurrent, Headroom, ChargeVoltage]
    );
}

#[test]
fn a_switched_charger_is_limited_in_power_and_its_cable_loses_some() {
    let a0 = cell("A0");
    let mut charger = Charger::new(
        Converter::Switched { efficiency: 0.9 },
        5.0,
        4.2,
        Some(0.25),
    );
    let source = Usb::TypeC1A5.source();
    let direct = run(&charger, &source, 0.0, &a0, 0.05);
    assert_eq!(
        bound(&direct),
        [Binding::SourcePower, Binding::ChargeVoltage]
    );
    let start = direct.at(0.0).unwrap();
    near(
        "power into the cell",
        start.moment.voltage_v * start.moment.current_a,
        6.75,
        1e-12,
    );
    near("power at the socket", start.input_w.unwrap(), 7.5, 1e-12);
    near("share", direct.totals.efficiency().unwrap(), 0.9, 1e-12);
    let cable = cable_ohm(28, 1.0, 20.0);
    let through = run(&charger, &source, cable, &a0, 0.05);
    let start = through.at(0.0).unwrap();
    // 1.5 A from 5.00 V through 28 AWG leave 6.541856 W (closed form, gauge formula from memory).
    near(
        "power into the cell",
        start.moment.voltage_v * start.moment.current_a,
        0.9 * 6.541_856,
        1e-6,
    );
    near("power at the socket", start.input_w.unwrap(), 7.5, 1e-9);
    near(
        "input",
        through.totals.input_j / input_by_samples(&through),
        1.0,
        1e-6,
    );
    assert!(through.finish.time_s > direct.finish.time_s);
    // The same with a pair, for which there is no closed form while power binds.
    let a1 = run(&charger, &source, cable, &cell("A1"), 0.05);
    near(
        "input",
        a1.totals.input_j / input_by_samples(&a1),
        1.0,
        1e-6,
    );
    // 80 K/W and 30 K allow 0.375 W of heat: 3.375 W out.
    charger.fold_back = Some(FoldBack {
        limit_c: 75.0,
        ambient_c: 45.0,
        kelvin_per_watt: 80.0,
    });
    let warm = run(&charger, &source, 0.0, &a0, 0.05);
    assert_eq!(bound(&warm), [Binding::Temperature, Binding::ChargeVoltage]);
    let start = warm.at(0.0).unwrap().moment;
    near(
        "power into the cell",
        start.voltage_v * start.current_a,
        3.375,
        1e-12,
    );
}

/// Source: closed form for the time on the heat limit (`charging_power_limits.csv`), first row of heat.
#[test]
fn a_linear_charger_on_its_heat_limit_speeds_up_as_the_cell_rises() {
    let small = cell("B0 350 mAh 0.2 ohm");
    let mut charger = Charger::new(Converter::Linear, 5.0, 4.35, Some(0.035));
    charger.fold_back = Some(FoldBack {
        limit_c: 120.0,
        ambient_c: 25.0,
        kelvin_per_watt: 80.0,
    });
    let charge = run(&charger, &Source::fixed(5.0, 10.0), 0.0, &small, 0.05);
    near(
        "to 0.6",
        charge.time_to(0.60).unwrap(),
        626.438_118_328,
        1e-7,
    );
    near(
        "at first",
        charge.at(0.0).unwrap().moment.current_a,
        0.797,
        5e-4,
    );
    near(
        "at 0.6",
        charge.at(626.438).unwrap().moment.current_a,
        1.372,
        5e-4,
    );
    assert_eq!(
        bound(&charge),
        [Binding::Temperature, Binding::ChargeVoltage]
    );
    let heat = |t: f64| {
        let m = charge.at(t).unwrap().moment;
        m.current_a * (5.0 - m.voltage_v)
    };
    near("heat", heat(100.0), 1.1875, 1e-9);
    near("heat", heat(600.0), 1.1875, 1e-9);
    // Set lower, the current binds first, and the heat limit never: it only ever loosens.
    charger.ampere = 1.0;
    let limited = run(&charger, &Source::fixed(5.0, 10.0), 0.0, &small, 0.05);
    let order = bound(&limited);
    assert_eq!(order[0], Binding::Temperature);
    assert_eq!(order[1], Binding::ChargeCurrent);
    let with_pair = run(&charger, &Source::fixed(5.0, 10.0), 0.0, &cell("B1"), 0.05);
    assert!(with_pair.finish.time_s > 0.0);
}

#[test]
fn a_charge_pump_doubles_the_current_and_needs_a_source_that_follows() {
    let pump = Converter::Pump {
        ratio: 2.0,
        efficiency: 0.97,
    };
    let charger = Charger::new(pump, 8.0, 4.2, Some(0.25));
    let a1 = cell("A1");
    let source = Source::from_power_word(0xC0DC_213C).unwrap();
    let cable = 0.1;
    let charge = run(&charger, &source, cable, &a1, 0.05);
    assert_eq!(
        bound(&charge),
        [Binding::SourceCurrent, Binding::ChargeVoltage]
    );
    let start = charge.at(0.0).unwrap();
    near("current", start.moment.current_a, 6.0, 1e-12);
    let wanted = (2.0 * start.moment.voltage_v / 0.97 + 3.0 * cable) * 3.0;
    near("input", start.input_w.unwrap(), wanted, 1e-12);
    near(
        "input",
        charge.totals.input_j / input_by_samples(&charge),
        1.0,
        1e-6,
    );
    let refused = charger.stages(&Source::fixed(9.0, 3.0), cable, 0.0);
    assert_eq!(refused, Err(ChargingError::FixedBeforePump { volt: 9.0 }));
}

#[test]
fn a_pad_gives_what_coils_and_receiver_leave() {
    let source = Source::wireless(5.0, 0.8, 0.9, 5.0).unwrap();
    near("watts", source.most_w(), 3.6, 1e-12);
    let charger = Charger::new(
        Converter::Switched { efficiency: 0.9 },
        5.0,
        4.2,
        Some(0.25),
    );
    let charge = run(&charger, &source, 0.0, &cell("A0"), 0.05);
    near(
        "share",
        charge.totals.efficiency().unwrap(),
        0.8 * 0.9 * 0.9,
        1e-12,
    );
    near("pad", charge.at(0.0).unwrap().input_w.unwrap(), 5.0, 1e-12);
    assert!(Source::wireless(5.0, 1.2, 0.9, 5.0).is_err());
}

/// Source: the reference case `B1_pre_0.5C`.
#[test]
fn a_small_current_comes_first_until_the_cell_is_up() {
    let mut charger = Charger::new(Converter::Linear, 0.031, 4.35, Some(0.0031));
    charger.precharge = Some(Precharge {
        ampere: 0.0062,
        until_v: 3.0,
        timer: None,
    });
    let charge = run(&charger, &Usb::Default2.source(), 0.0, &cell("B1"), 0.0);
    near("end", charge.finish.time_s, 7_811.760_292_395, 1e-6);
    near("precharge", charge.spans()[0].to_s, 633.056_000_002, 1e-6);
}

/// Source: the reference cases `A1_jeita_warm` and the ranges of public charger data sheets.
#[test]
fn a_warm_cell_gets_less_voltage_and_a_hot_one_nothing() {
    let range = |from_c: f64, to_c: f64, current: f64, volt: Option<f64>| TemperatureRange {
        from_c,
        to_c,
        current,
        volt,
    };
    let ranges = [
        range(0.0, 10.0, 0.2, None),
        range(10.0, 45.0, 1.0, None),
        range(45.0, 60.0, 0.5, Some(4.1)),
    ];
    let warm = linear().at_temperature(50.0, &ranges).unwrap();
    let charge = run(&warm, &Source::fixed(5.0, 10.0), 0.0, &cell("A1"), 0.05);
    near("end", charge.finish.time_s, 7_052.422_747_570, 1e-6);
    near("soc", charge.finish.state.soc, 0.922_355_874, 1e-9);
    near(
        "cool",
        linear().at_temperature(5.0, &ranges).unwrap().ampere,
        1.0,
        1e-12,
    );
    assert_eq!(linear().at_temperature(65.0, &ranges), None);
    assert_eq!(linear().at_temperature(-5.0, &ranges), None);
}

/// Source: the reference case `A1_jeita_cool_then_normal`: a fifth of the current for 1200 s, then all of it.
#[test]
fn a_cold_cell_charges_slowly_until_it_is_warm_and_not_at_all_while_it_freezes() {
    let range = |from_c: f64, to_c: f64, current: f64| TemperatureRange {
        from_c,
        to_c,
        current,
        volt: None,
    };
    let ranges = [range(0.0, 10.0, 0.2), range(10.0, 45.0, 1.0)];
    let step = |seconds: f64, celsius: f64| TemperatureStep { seconds, celsius };
    let source = Source::fixed(5.0, 10.0);
    let end = |steps: &[TemperatureStep]| {
        let stages = linear()
            .stages_through(&source, 0.0, 0.0, &ranges, steps)
            .unwrap();
        charge(&cell("A1"), State::rested(0.05), &stages, Until::default())
            .unwrap()
            .finish
    };
    let warmed = end(&[step(1200.0, 5.0), step(0.0, 25.0)]);
    near("end", warmed.time_s, 5_106.578_122_694, 1e-6);
    assert_eq!(warmed.ended, Ended::Terminated);
    let frozen = end(&[step(600.0, -5.0), step(0.0, 25.0)]);
    near("end", frozen.time_s, 600.0 + 4_146.578_122_694, 1e-6);
    // Full before the temperature changes: over, and what comes later changes nothing.
    let early = end(&[step(9000.0, 25.0), step(0.0, 5.0)]);
    near("end", early.time_s, 4_146.578_122_694, 1e-6);
}

#[test]
fn without_a_known_input_no_input_power_is_told() {
    let stage = Stage::current_voltage(5.0, 4.2, 0.25).unwrap();
    assert_eq!(stage.input, Input::None);
    let charge = charge(&cell("A1"), State::rested(0.05), &[stage], Until::default()).unwrap();
    assert_eq!(charge.totals.efficiency(), None);
    assert_eq!(charge.at(10.0).unwrap().input_w, None);
}
