//! Logs that were measured on real cells, step by step.
//!
//! The logs belong to the source distribution of the Python package battery-data-toolkit 0.4.6 (Apache-2.0) and are not
//! kept here. To obtain them:
//!
//! ```sh
//! pip download --no-deps --no-binary :all: battery-data-toolkit==0.4.6
//! tar xzf battery_data_toolkit-0.4.6.tar.gz
//! export UNDERLID_MEASURED_LOGS=$PWD/battery_data_toolkit-0.4.6/tests/files
//! ```
//!
//! Without that variable these tests say so and end. Values: `tests/published/measured_steps.csv` and the numbers below,
//! computed from the same files with numpy, scipy and pandas.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads the logs that lie beside it"
)]

use logs::phases::{Kind, phases};
use logs::{Log, Options, Section, Series, read_text};
use std::path::PathBuf;

fn read(name: &str) -> Option<Log> {
    let Some(folder) = std::env::var_os("UNDERLID_MEASURED_LOGS") else {
        eprintln!("skipped: UNDERLID_MEASURED_LOGS names no folder");
        return None;
    };
    let bytes = std::fs::read(PathBuf::from(folder).join(name)).unwrap();
    let log = read_text(bytes.as_slice(), name, &Options::default(), &mut |_| true);
    Some(log.unwrap_or_else(|error| panic!("{error}")))
}

fn series(log: &Log) -> &Series {
    assert_eq!(
        (log.runs.len(), log.runs[0].series.len()),
        (1, 1),
        "{:?}",
        log.notes
    );
    &log.runs[0].series[0]
}

/// The section whose marks include a cycle and a step.
fn section<'a>(log: &'a Log, cycle: &str, step: &str) -> &'a Section {
    let place = |name: &str| {
        log.mapping
            .marks
            .iter()
            .position(|mark| mark.name == name)
            .unwrap()
    };
    let (cycle_at, step_at) = (
        place("Cycle_Index"),
        log.mapping
            .marks
            .iter()
            .position(|mark| mark.name.starts_with("Step"))
            .unwrap(),
    );
    series(log)
        .sections
        .iter()
        .find(|section| section.marks[cycle_at] == cycle && section.marks[step_at] == step)
        .unwrap()
}

fn wrong_by(what: &str, found: f64, wanted: f64, allowed: f64) -> Option<String> {
    let off = (found - wanted).abs() > allowed;
    off.then(|| format!("{what}: {found} against {wanted}"))
}

#[test]
fn every_step_of_the_cycler_has_its_times_charge_and_energy() {
    let Some(log) = read("arbin_example.csv") else {
        return;
    };
    assert_eq!(log.rows.used, 2142);
    let series = series(&log);
    let mut table = csv::Reader::from_path(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/published/measured_steps.csv"
    ))
    .unwrap();
    let mut wrong = Vec::new();
    let mut steps = 0;
    for record in table.records() {
        let record = record.unwrap();
        let value = |at: usize| record[at].parse::<f64>().unwrap();
        let found = section(&log, &record[0], &record[1]);
        let (first, last) = (&series.points[found.first], &series.points[found.last]);
        let rows = last.row - first.row + 1;
        let counted =
            |of: fn(&logs::Point) -> Option<f64>| (of(last).unwrap() - of(first).unwrap()) / 3600.0;
        let step = format!("cycle {} step {}", &record[0], &record[1]);
        wrong.extend(
            [
                wrong_by("rows", rows as f64, value(2), 0.0),
                wrong_by("first", first.t_s, value(3), 5.1e-5),
                wrong_by("last", last.t_s, value(4), 5.1e-5),
                wrong_by("first current", first.amperes, value(5), 5.1e-7),
                wrong_by("last current", last.amperes, value(6), 5.1e-7),
                wrong_by("last voltage", last.volts, value(9), 5.1e-7),
                wrong_by(
                    "charge",
                    series.charge(found.first, found.last).value / 3600.0,
                    value(11),
                    5.1e-7,
                ),
                wrong_by(
                    "counted charge",
                    counted(|point| point.counted_c),
                    value(12),
                    5.1e-7,
                ),
                wrong_by(
                    "energy",
                    series.energy(found.first, found.last).unwrap().value / 3600.0,
                    value(13),
                    5.1e-7,
                ),
                wrong_by(
                    "counted energy",
                    counted(|point| point.counted_j),
                    value(14),
                    5.1e-7,
                ),
            ]
            .into_iter()
            .flatten()
            .map(|what| format!("{step}, {what}")),
        );
        steps += 1;
    }
    assert_eq!(steps, 12);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_switches_of_the_cycler_lie_between_the_published_samples() {
    let Some(log) = read("arbin_example.csv") else {
        return;
    };
    let series = series(&log);
    let found = phases(series);
    for (from_s, to_s, charge_ah) in [
        (520.0261, 525.0309, 0.157_360),
        (4133.3668, 4138.3631, f64::NAN),
    ] {
        let at = found
            .iter()
            .position(|phase| {
                phase.kind == Kind::ConstantVoltage && (phase.begins.from_s - from_s).abs() < 1e-3
            })
            .unwrap_or_else(|| panic!("no switch at {from_s} s: {found:#?}"));
        assert!(
            (found[at].begins.to_s - to_s).abs() < 1e-3,
            "{:?}",
            found[at].begins
        );
        let before = &found[at - 1];
        assert_eq!(before.kind, Kind::ConstantCurrent);
        // Without what the step's own first interval holds.
        let charge = before.charge.value / 3600.0;
        assert!(
            charge_ah.is_nan() || (charge - charge_ah).abs() < 1e-6,
            "{charge}"
        );
    }
}

/// Time constants and what is left, by scipy's least squares on the same samples: from 20 s after the switch, above
/// 0.06 A.
#[test]
fn the_tails_of_the_cycler_decay_as_published() {
    let Some(log) = read("arbin_example.csv") else {
        return;
    };
    let series = series(&log);
    for (cycle, switch, one, two) in [
        ("1", 525.0309, (112.66, 8.9e-3), (45.4, 187.3, 2.9e-3)),
        ("2", 4138.3631, (107.63, 8.3e-3), (51.4, 197.3, 2.6e-3)),
    ] {
        let step = section(&log, cycle, "11");
        let tail: Vec<_> = series.points[step.first..=step.last]
            .iter()
            .filter(|point| point.t_s > switch + 20.0 && point.amperes > 0.06)
            .collect();
        let times: Vec<f64> = tail.iter().map(|point| point.t_s).collect();
        let amperes: Vec<f64> = tail.iter().map(|point| point.amperes).collect();
        let single = logs::tail::one_exponential(&times, &amperes).unwrap();
        assert!((single.tau_s[0] - one.0).abs() <= 0.0051, "{single:?}");
        assert!((single.rms_a - one.1).abs() <= 0.51e-4, "{single:?}");
        let double = logs::tail::two_exponentials(&times, &amperes).unwrap();
        assert!(
            (double.tau_s[0] - two.0).abs() <= 0.051 && (double.tau_s[1] - two.1).abs() <= 0.051,
            "{double:?}"
        );
        assert!((double.rms_a - two.2).abs() <= 0.51e-4, "{double:?}");
    }
}

/// 0.08676 ohm from the row before to 5 s later, where the instrument itself says 0.017098: a resistance needs its time.
#[test]
fn a_step_resistance_says_after_which_time() {
    let Some(log) = read("arbin_example.csv") else {
        return;
    };
    let found = logs::answers::step_resistances(series(&log));
    let first = found.iter().find(|step| step.t_s == 0.0).unwrap();
    // The reference divides by the current after the step, not by its rise from -96 µA.
    assert!(
        (first.ohm / 0.086_76 - 1.0).abs() < 2e-4 && (first.after_s - 5.0275).abs() < 1e-9,
        "{first:?}"
    );
}

/// Sparse rows: the counter is right, and the trapezoid is off by these shares.
#[test]
fn sparse_steps_of_the_laboratory_cell_differ_from_their_counter_as_published() {
    let Some(log) = read("batterydata/p492-13-raw.csv") else {
        return;
    };
    let series = series(&log);
    assert_eq!(log.rows.used, 2021);
    for (cycle, step, percent) in [
        ("2", "10", -0.01),
        ("4", "106", -0.75),
        ("4", "108", 9.87),
        ("9", "211", -0.27),
    ] {
        let found = section(&log, cycle, step);
        let counted = series.points[found.last].counted_c.unwrap()
            - series.points[found.first].counted_c.unwrap();
        let charge = series.charge(found.first, found.last);
        let off = 100.0 * (charge.value / counted - 1.0);
        assert!(
            (off - percent).abs() < 0.0051,
            "cycle {cycle} step {step}: {off}"
        );
    }
}

/// One free line of text above the header, tabs, minutes.
#[test]
fn a_tab_separated_export_with_a_line_of_text_is_read() {
    let Some(log) = read("maccor_example.001") else {
        return;
    };
    assert_eq!(log.mapping.header, Some(2));
    assert_eq!(log.mapping.time.form, logs::TimeForm::Number("min".into()));
    assert!(
        log.rows.used == 8 && log.rows.dropped == 0,
        "{:?} {:?}",
        log.rows,
        log.notes
    );
}
