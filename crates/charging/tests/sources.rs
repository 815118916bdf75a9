//! Sources, cables, shared inputs and published voltages.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use charging::{
    Cell, Guest, Ocv, PUBLISHED, Request, Source, Stage, State, Until, cable_ohm, charge,
    charge_together, shares, wire_ohm_per_m,
};
use support::{cell, near, rows};

#[test]
fn power_words_say_what_the_kernels_units_make_of_them() {
    for row in rows(include_str!("published/charging_pdo.csv")) {
        let word = u32::from_str_radix(row[0].trim_start_matches("0x"), 16).unwrap();
        let source = Source::from_power_word(word).unwrap();
        let (least, most) = source.volt;
        let said = if row[1].starts_with("fixed") {
            let watt = most * source.ampere;
            format!("fixed {most:.2} V {:.2} A {watt:.2} W", source.ampere)
        } else {
            format!("PPS {least:.1}-{most:.1} V {:.2} A", source.ampere)
        };
        assert_eq!(said, row[1]);
    }
    near(
        "27 W",
        Source::from_power_word(0xC0DC_213C).unwrap().most_w(),
        33.0,
        1e-12,
    );
    near(
        "15 W",
        Source::from_power_word(0xC076_213C).unwrap().most_w(),
        17.7,
        1e-12,
    );
    // Battery: 5 to 20 V, 60 W; the extended sub-type and an empty word mean nothing here.
    let battery = Source::from_power_word(1 << 30 | 400 << 20 | 100 << 10 | 240).unwrap();
    near("battery", battery.most_w(), 60.0, 1e-12);
    assert!(Source::from_power_word(0xD000_0000).is_err());
    assert!(Source::from_power_word(0).is_err());
    let offers = Source::by_power_rules(50.0);
    let said: Vec<(f64, f64)> = offers.iter().map(|s| (s.volt.1, s.ampere)).collect();
    assert_eq!(said, [(5.0, 3.0), (9.0, 3.0), (15.0, 3.0), (20.0, 2.5)]);
}

#[test]
fn cables_have_the_resistance_and_drop_of_their_gauge() {
    for row in rows(include_str!("published/charging_cable.csv")) {
        let gauge: u32 = row[0].parse().unwrap();
        near(
            &row[0],
            wire_ohm_per_m(gauge),
            row[3].parse().unwrap(),
            5.1e-7,
        );
        for (ampere, cell) in [0.5, 0.9, 1.5, 3.0, 5.0].into_iter().zip(&row[4..]) {
            near(
                &row[0],
                ampere * cable_ohm(gauge, 1.0, 20.0),
                cell.parse().unwrap(),
                5.1e-7,
            );
        }
    }
    // The reference worked with the printed, rounded ohms.
    near(
        "warm",
        5.0 - 1.5 * cable_ohm(28, 1.0, 60.0),
        4.260_823,
        2e-6,
    );
}

/// Source: the worked shares of the reference calculation.
#[test]
fn guests_are_served_first_and_the_case_gets_what_is_left() {
    let request = |watt: f64| Request {
        watt,
        efficiency: 0.9,
    };
    let asked = [request(0.28), request(0.28), request(3.0)];
    let given = shares(2.5, &asked).unwrap();
    for (share, wanted) in given.iter().zip([0.311_111, 0.311_111, 1.877_778]) {
        near("share", share.input_w, wanted, 5e-7);
    }
    near("case", given[2].output_w, 1.69, 1e-12);
    let scarce = shares(0.5, &asked).unwrap();
    for (share, wanted) in scarce.iter().zip([0.311_111, 0.188_889, 0.0]) {
        near("share", share.input_w, wanted, 5e-7);
    }
    near("second", scarce[1].output_w, 0.17, 1e-12);
    assert!(shares(f64::NAN, &asked).is_err());
}

#[test]
fn a_case_charges_faster_once_its_guests_are_full() {
    let guest = |cell: Cell, stage: Stage, start: f64| Guest {
        cell,
        start: State::rested(start),
        stages: vec![stage],
        efficiency: 0.9,
    };
    let b1 = cell("B1");
    let bud = || {
        guest(
            b1.clone(),
            Stage::current_voltage(0.062, 4.35, 0.0062).unwrap(),
            0.2,
        )
    };
    let small = cell("B0 350 mAh 0.2 ohm");
    let case = || {
        guest(
            small.clone(),
            Stage::current_voltage(0.35, 4.35, 0.0175).unwrap(),
            0.2,
        )
    };
    let charges = charge_together(1.2, &[bud(), bud(), case()], 4).unwrap();
    let alone = charge(&b1, State::rested(0.2), &bud().stages, Until::default()).unwrap();
    near("guest", charges[0].finish.time_s, alone.finish.time_s, 1e-6);
    near("guest", charges[1].finish.time_s, alone.finish.time_s, 1e-6);
    let by_itself = charge(&small, State::rested(0.2), &case().stages, Until::default()).unwrap();
    assert!(charges[2].finish.time_s > by_itself.finish.time_s);
    let finer = charge_together(1.2, &[bud(), bud(), case()], 64).unwrap();
    // What all take together stays within the input, slice by slice.
    for k in 0..40 {
        let (from, to) = (f64::from(k) * 100.0, f64::from(k + 1) * 100.0);
        let taken: f64 = finer.iter().map(|c| c.energy_between(from, to) / 0.9).sum();
        assert!(taken <= 1.2 * 100.0 * (1.0 + 1e-4), "{from}: {taken}");
    }
    for (charge, cell) in charges.iter().zip([&b1, &b1, &small]) {
        assert!(charge.imbalance(cell).abs() < 1e-9);
    }
    // Finer slices change little.
    near(
        "case",
        charges[2].finish.time_s / finer[2].finish.time_s,
        1.0,
        1e-3,
    );
    // Nothing left at first: the case waits.
    let scarce = charge_together(0.5, &[bud(), bud(), case()], 4).unwrap();
    assert!(scarce[2].soc_after(60.0) < by_itself.soc_after(60.0));
    assert!(scarce[2].finish.time_s > charges[2].finish.time_s);
}

/// Source: `electrical_ocv.csv`; means of the table and states of charge as computed from the parameter set.
#[test]
fn published_voltages_are_as_published() {
    let table = rows(include_str!("published/electrical_ocv.csv"));
    for (column, set) in PUBLISHED.iter().enumerate() {
        let ocv = set.ocv().unwrap();
        for row in &table {
            let number = |k: usize| row[k].parse::<f64>().unwrap();
            near(set.name, ocv.at(number(0)), number(column + 1), 1e-12);
        }
    }
    let mean: Vec<f64> = PUBLISHED
        .iter()
        .map(|set| set.ocv().unwrap().integral(0.0, 1.0))
        .collect();
    for (found, wanted) in mean
        .into_iter()
        .zip([3.7175, 3.6895, 3.8155, 3.6655, 3.7564, 3.1936])
    {
        near("mean", found, wanted, 5.1e-5);
    }
    // A finer table of the same set has 0.4434 and 0.7561; 21 points stay within half a percent.
    let main = PUBLISHED[0].ocv().unwrap();
    near("3.7 V", main.soc_at(3.7).unwrap(), 0.4434, 5e-3);
    near("4.0 V", main.soc_at(4.0).unwrap(), 0.7561, 5e-3);
    assert_eq!(main.soc_at(4.3), None);
    let stretched = main.stretched_to(4.35).unwrap();
    near("top", stretched.at(1.0), 4.35, 1e-12);
    near("bottom", stretched.at(0.0), 2.5, 1e-12);
    assert_eq!(
        Ocv::new(&[(0.0, 1.0), (1.0, 2.0)]).unwrap().range(),
        (0.0, 1.0)
    );
}
