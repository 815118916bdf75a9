//! What holds for every cell and every charger.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use charging::{
    Cell, Charger, ChargingError, Converter, Draw, Ends, FoldBack, Ocv, Pair, Precharge, Question,
    Source, Stage, State, Until, ask, charge, draws,
};
use proptest::prelude::*;

prop_compose! {
    /// From thumbnail to power tool, with tables of 3 to 9 points and up to two pairs.
    fn any_cell()(
        decades in -1.3..1.0f64,
        inner in prop::collection::vec((0.02..1.0f64, 0.0..1.0f64), 1..8),
        scale in 0.4..2.5f64,
        series in 0.2..0.9f64,
        pairs in prop::collection::vec((0.1..1.0f64, 0.3..3.0f64), 0..3),
    ) -> Cell {
        let capacity = 10f64.powf(decades);
        let whole: f64 = inner.iter().map(|(apart, _)| apart).sum();
        let rise: f64 = inner.iter().map(|(_, rise)| rise + 0.02).sum();
        let mut points = vec![(0.0, 3.0)];
        let (mut soc, mut volt) = (0.0, 3.0);
        for (k, (apart, up)) in inner.iter().enumerate() {
            soc += apart / whole;
            volt += 1.2 * (up + 0.02) / rise;
            points.push(if k + 1 == inner.len() { (1.0, 4.2) } else { (soc, volt) });
        }
        let ohm = 0.1 / capacity * scale;
        let rest: f64 = pairs.iter().map(|(share, _)| share).sum();
        let pairs: Vec<Pair> = pairs
            .iter()
            .map(|(share, decades)| {
                let across = ohm * (1.0 - series) * share / rest;
                Pair { ohm: across, farad: 10f64.powf(*decades) / across }
            })
            .collect();
        Cell::new(capacity, Ocv::new(&points).unwrap(), ohm * series, &pairs).unwrap()
    }
}

prop_compose! {
    fn any_charger()(
        kind in 0..3,
        efficiency in 0.6..1.0f64,
        heat in prop::option::of(0.2..5.0f64),
        aside in 0.0..0.02f64,
        pass in 0.0..1.0f64,
        precharge in any::<bool>(),
    ) -> Charger {
        let converter = match kind {
            0 => Converter::Linear,
            1 => Converter::Switched { efficiency },
            _ => Converter::Pump { ratio: 2.0, efficiency },
        };
        let mut charger = Charger::new(converter, 1.0, 4.2, Some(0.05));
        charger.aside_a = aside;
        charger.pass_ohm = pass;
        charger.fold_back = heat.map(|watt| FoldBack {
            limit_c: 100.0,
            ambient_c: 100.0 - 20.0 * watt,
            kelvin_per_watt: 20.0,
        });
        charger.precharge = precharge.then_some(Precharge { ampere: 0.1, until_v: 3.2, timer: None });
        charger
    }
}

fn source(charger: &Charger, ampere: f64) -> Source {
    match charger.converter {
        Converter::Pump { .. } => Source::programmable(3.3, 11.0, ampere),
        _ => Source::fixed(5.0, ampere),
    }
}

fn scaled(charger: Charger, cell: &Cell, rate: f64) -> Charger {
    let c = cell.capacity_ah();
    Charger {
        ampere: rate * c,
        termination_a: Some(0.05 * rate.min(1.0) * c),
        precharge: charger.precharge.map(|p| Precharge {
            ampere: 0.1 * rate * c,
            ..p
        }),
        ..charger
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn energy_is_never_created(
        cell in any_cell(), charger in any_charger(), rate in 0.2..3.0f64, from in 0.0..0.8f64,
        offered in 0.1..5.0f64, cable in 0.0..0.3f64, load in 0.0..0.02f64,
    ) {
        let charger = scaled(charger, &cell, rate);
        let load = load * cell.capacity_ah() * rate.min(1.0);
        let source = source(&charger, offered + charger.aside_a);
        let stages = charger.stages(&source, cable, load).unwrap();
        let charge = charge(&cell, State::rested(from), &stages, Until::default());
        // A converter without headroom, or a load that holds the current up, says so instead of going on for ever.
        let charge = match charge {
            Ok(charge) => charge,
            Err(ChargingError::NeverEnds { .. }) => return Ok(()),
            Err(error) => return Err(TestCaseError::fail(format!("{error}"))),
        };
        prop_assert!(charge.imbalance(&cell).abs() < 1e-9, "{:e}", charge.imbalance(&cell));
        let out = charge.totals.energy_j + charge.totals.load_j;
        prop_assert!(charge.totals.input_j >= out * (1.0 - 1e-9), "{:?}", charge.totals);
        for sample in charge.curve(50) {
            prop_assert!(sample.moment.voltage_v.is_finite() && sample.moment.current_a.is_finite());
            prop_assert!(sample.moment.voltage_v <= 4.2 + 1e-8, "{sample:?}");
            let given = sample.moment.voltage_v * sample.moment.supplied_a;
            prop_assert!(sample.input_w.unwrap() >= given - 1e-9, "{sample:?}");
        }
        let pieces = charge.pieces();
        for pair in pieces.windows(2) {
            prop_assert!((pair[0].end_s() - pair[1].start_s).abs() < 1e-9);
            prop_assert_eq!(pair[0].to().soc, pair[1].from().soc);
        }
    }

    #[test]
    fn more_current_never_charges_slower(
        cell in any_cell(), rate in 0.2..2.0f64, more in 1.0..2.0f64, from in 0.0..0.7f64,
    ) {
        // To a state of charge without a termination: what a termination current means for the state of charge
        // depends on what the current before it has left across the pairs.
        let c = cell.capacity_ah();
        let to = |rate: f64, soc: f64| {
            let stages = [Stage::current_voltage(rate * c, 4.2, 0.0).unwrap().until(Ends::default())];
            let until = Until { soc: Some(soc), seconds: None };
            charge(&cell, State::rested(from), &stages, until).unwrap().finish.time_s
        };
        for soc in [0.75, 0.9] {
            let (slow, fast) = (to(rate, soc), to(rate * more, soc));
            prop_assert!(fast <= slow * (1.0 + 1e-9), "{fast} after {slow}");
        }
        let end = |rate: f64| {
            let stages = [Stage::current_voltage(rate * c, 4.2, 0.05 * c).unwrap()];
            charge(&cell, State::rested(from), &stages, Until::default()).unwrap().finish.time_s
        };
        let (slow, fast) = (end(rate), end(rate * more));
        prop_assert!(fast <= slow * (1.0 + 1e-9), "{fast} after {slow}");
    }

    #[test]
    fn the_order_of_pairs_does_not_matter(cell in any_cell(), rate in 0.2..2.0f64) {
        let c = cell.capacity_ah();
        let mut turned = cell.pairs().to_vec();
        turned.reverse();
        let other = cell.with(c, cell.ohm(), &turned).unwrap();
        let stages = [Stage::current_voltage(rate * c, 4.2, 0.05 * c).unwrap()];
        let one = charge(&cell, State::rested(0.1), &stages, Until::default()).unwrap();
        let two = charge(&other, State::rested(0.1), &stages, Until::default()).unwrap();
        prop_assert!((one.finish.time_s / two.finish.time_s - 1.0).abs() < 1e-10);
        prop_assert!((one.totals.heat_pairs_j - two.totals.heat_pairs_j).abs() <= 1e-9 * one.totals.energy_j);
    }

    #[test]
    fn a_charge_cut_in_two_is_the_same_charge(
        cell in any_cell(), rate in 0.2..2.0f64, cut in 0.05..0.95f64, power in any::<bool>(),
    ) {
        let c = cell.capacity_ah();
        let mut stage = Stage::current_voltage(rate * c, 4.2, 0.05 * c).unwrap();
        if power {
            let law = charging::Law::Power(3.4 * rate * c);
            stage.limits = stage.limits.and(law, charging::Binding::SourcePower).unwrap();
        }
        let whole = charge(&cell, State::rested(0.1), &[stage], Until::default()).unwrap();
        let at = Until { seconds: Some(cut * whole.finish.time_s), soc: None };
        let first = charge(&cell, State::rested(0.1), &[stage], at).unwrap();
        let second = charge(&cell, first.finish.state, &[stage], Until::default()).unwrap();
        let time = first.finish.time_s + second.finish.time_s;
        prop_assert!((time / whole.finish.time_s - 1.0).abs() < 1e-7, "{time} {}", whole.finish.time_s);
        let energy = first.totals.energy_j + second.totals.energy_j;
        prop_assert!((energy / whole.totals.energy_j - 1.0).abs() < 1e-8);
        // By state of charge as well.
        let soc = first.finish.state.soc;
        let at = Until { soc: Some(soc), seconds: None };
        let by_soc = charge(&cell, State::rested(0.1), &[stage], at).unwrap();
        prop_assert!((by_soc.finish.time_s - first.finish.time_s).abs() <= 1e-6 * time.max(1.0));
        prop_assert_eq!(by_soc.finish.state.soc, soc);
    }

    #[test]
    fn draws_answer_as_a_kept_charge_does(cell in any_cell(), rate in 0.2..2.0f64, minutes in 1.0..90.0f64) {
        let c = cell.capacity_ah();
        let stages = [Stage::current_voltage(rate * c, 4.2, 0.05 * c).unwrap()];
        let questions = [
            Question::TimeTo(0.8),
            Question::SocAfter(60.0 * minutes),
            Question::ChargeAfter(60.0 * minutes),
            Question::EnergyAfter(1e9),
        ];
        let kept = charge(&cell, State::rested(0.1), &stages, Until::default()).unwrap();
        let asked = ask(&cell, State::rested(0.1), &stages, Until::default(), &questions).unwrap();
        prop_assert_eq!(asked.answers[0], kept.time_to(0.8));
        prop_assert!((asked.answers[1].unwrap() - kept.soc_after(60.0 * minutes)).abs() < 1e-12);
        prop_assert!((asked.answers[2].unwrap() - kept.bought_in(minutes)).abs() <= 1e-12 * c);
        prop_assert!((asked.answers[3].unwrap() / kept.totals.watt_hours() - 1.0).abs() < 1e-12);
        let given = [Draw { cell: cell.clone(), start: State::rested(0.1), stages: &stages }];
        let drawn = draws(&given, Until::default(), &questions);
        prop_assert_eq!(drawn[0].as_ref(), Ok(&asked));
    }
}
