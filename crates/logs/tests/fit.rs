//! A cell fitted to the first half of a charge predicts its end.
//!
//! Sources: `tests/published/charging_spm_*.csv`, charges of a single-particle model (PyBaMM 26.10.1.1, parameter set
//! Chen2020, 5 Ah nominal, from empty, to 4.2 V and C/20), so no curve of an equivalent circuit; tables of open-circuit
//! voltage in `ocv.csv`, of six published parameter sets, one of which is of the same cell.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads the logs that lie beside it"
)]

use charging::Ocv;
use logs::fit::{FitError, Fitted, Known, Plan, Prediction, fit, predict_end};
use logs::{Log, Options, Series, read_text};

fn published(name: &str) -> String {
    std::fs::read_to_string(format!(
        "{}/tests/published/{name}",
        env!("CARGO_MANIFEST_DIR")
    ))
    .unwrap()
}

fn log(run: &str) -> Log {
    let name = format!("charging_spm_{run}.csv");
    read_text(
        published(&name).as_bytes(),
        &name,
        &Options::default(),
        &mut |_| true,
    )
    .unwrap()
}

/// The tables of cells that end at 4.2 V, by name.
fn tables(names: &[&str]) -> Vec<Ocv> {
    let text = published("ocv.csv");
    let mut lines = text.lines();
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    let rows: Vec<Vec<f64>> = lines
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect();
    names
        .iter()
        .map(|name| {
            let at = header
                .iter()
                .position(|column| column.starts_with(name))
                .unwrap();
            let points: Vec<(f64, f64)> = rows.iter().map(|row| (row[0], row[at])).collect();
            Ocv::new(&points).unwrap()
        })
        .collect()
}

fn circuit_table() -> Ocv {
    let points: Vec<(f64, f64)> = published("charging_ecm_ocv.csv")
        .lines()
        .skip(1)
        .map(|line| line.split_once(',').unwrap())
        .map(|(soc, volts)| (soc.parse().unwrap(), volts.parse().unwrap()))
        .collect();
    Ocv::new(&points).unwrap()
}

fn half(series: &Series) -> usize {
    let middle = series.points[series.last()].t_s / 2.0;
    series.points.partition_point(|point| point.t_s <= middle) - 1
}

fn predicted(run: &str, names: &[&str], charge_a: f64) -> (Prediction, Fitted) {
    let log = log(run);
    let series = &log.runs[0].series[0];
    let tables = tables(names);
    let last = half(series);
    let fits = fit(series, last, &tables, &Known::from_capacity(5.0, 0.05)).unwrap();
    let plan = Plan {
        charge_a,
        limit_v: 4.2,
        end_a: 0.25,
    };
    let prediction = predict_end(series, last, &tables, &fits, &plan).unwrap();
    (prediction, fits[0].clone())
}

const RUNS: [(&str, f64, f64); 3] = [
    ("C2", 2.5, 8593.320),
    ("1C", 5.0, 5508.762),
    ("2C", 10.0, 4281.043),
];

#[test]
fn the_end_lies_inside_the_interval_predicted_from_the_first_half() {
    for (run, charge_a, end_s) in RUNS {
        let (found, fitted) = predicted(run, &["Ai2020", "NCA_Kim2011", "Chen2020"], charge_a);
        assert!(
            found.from_s <= end_s && end_s <= found.to_s,
            "{run}: {found:?}"
        );
        // An interval that says nothing would hold anything.
        assert!(found.to_s - found.from_s < 0.5 * end_s, "{run}: {found:?}");
        // At 2C the voltage is more that of resistances, and a neighbour's table does as well.
        if run != "2C" {
            assert!(fitted.table == 2, "{run}: {fitted:?}");
        }
    }
}

#[test]
fn without_the_cells_own_table_the_interval_holds_the_end_too() {
    for (run, charge_a, end_s) in RUNS {
        let (found, _) = predicted(run, &["Ai2020", "NCA_Kim2011"], charge_a);
        assert!(
            found.from_s <= end_s && end_s <= found.to_s,
            "{run}: {found:?}"
        );
    }
}

/// Source: `charging_ecm_1C.csv`, an equivalent circuit of 5.0 Ah from a state of charge of 0.05 by PyBaMM; its table is
/// given, so capacity and start must come back.
#[test]
fn capacity_and_start_of_a_circuit_come_back() {
    let name = "charging_ecm_1C.csv";
    let log = read_text(
        published(name).as_bytes(),
        name,
        &Options::default(),
        &mut |_| true,
    )
    .unwrap();
    let series = &log.runs[0].series[0];
    let tables = [circuit_table()];
    // The print is 6 % off.
    let found = &fit(
        series,
        series.last(),
        &tables,
        &Known::from_capacity(5.3, 0.1),
    )
    .unwrap()[0];
    let off = |value: f64, truth: f64, standard: f64| (value - truth).abs() / standard;
    assert!(
        off(found.circuit.capacity_ah, 5.0, found.standard.capacity_ah) < 2.0,
        "{found:?}"
    );
    assert!(
        off(found.circuit.start_soc, 0.05, found.standard.start_soc) < 2.0,
        "{found:?}"
    );
    // The log knows more than the print did.
    assert!(
        (found.circuit.capacity_ah - 5.0).abs() < 0.2 && found.standard.capacity_ah < 0.25,
        "{found:?}"
    );
}

/// The same for the ends of circuits, which charge without diffusion: the truth lies at the other side of the interval.
#[test]
fn the_end_of_an_equivalent_circuit_lies_inside_too() {
    let tables = [circuit_table()];
    for (run, charge_a, end_s) in [
        ("C2", 2.5, 7292.631),
        ("1C", 5.0, 4146.578),
        ("2C", 10.0, 2766.004),
    ] {
        let name = format!("charging_ecm_{run}.csv");
        let log = read_text(
            published(&name).as_bytes(),
            &name,
            &Options::default(),
            &mut |_| true,
        )
        .unwrap();
        let series = &log.runs[0].series[0];
        let last = half(series);
        let fits = fit(series, last, &tables, &Known::from_capacity(5.0, 0.05)).unwrap();
        let plan = Plan {
            charge_a,
            limit_v: 4.2,
            end_a: 0.25,
        };
        let end = predict_end(series, last, &tables, &fits, &plan).unwrap();
        assert!(end.from_s <= end_s && end_s <= end.to_s, "{run}: {end:?}");
    }
}

#[test]
fn what_cannot_be_fitted_says_why() {
    let tables = tables(&["Chen2020"]);
    let known = Known::from_capacity(5.0, 0.05);
    let log = log("1C");
    let mut series = log.runs[0].series[0].clone();
    assert_eq!(fit(&series, 5, &tables, &known), Err(FitError::TooShort));
    assert_eq!(fit(&series, 50, &[], &known), Err(FitError::NothingKnown));
    let nothing = Known {
        capacity_ah: f64::NAN,
        ..known
    };
    assert_eq!(
        fit(&series, 50, &tables, &nothing),
        Err(FitError::NothingKnown)
    );
    series.seat = logs::Seat::Socket;
    assert_eq!(fit(&series, 50, &tables, &known), Err(FitError::NotAtCell));
}
