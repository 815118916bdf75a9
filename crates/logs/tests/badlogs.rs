//! Thirty-five small logs, each with one trap, end as their table says.
//!
//! Source: `tests/published/badlogs.csv`, made by a script that shares no code with this crate: the same 31 samples
//! written in 35 ways, charge and energy by trapezoids in IEEE double precision.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads the logs that lie beside it"
)]

use logs::{Fault, Log, LogError, Options, Seat, read_text};
use std::fs;
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/published"))
}

fn read_with(name: &str, options: &Options) -> Result<Log, LogError> {
    let bytes = fs::read(folder().join("badlogs").join(name)).unwrap();
    read_text(bytes.as_slice(), name, options, &mut |_| true)
}

fn read(name: &str) -> Log {
    read_with(name, &Options::default()).unwrap_or_else(|error| panic!("{error}"))
}

fn said(log: &Log) -> String {
    log.notes
        .iter()
        .map(|note| note.what.as_str())
        .collect::<Vec<_>>()
        .join("\n")
}

struct Row {
    file: String,
    must: String,
    rows: u64,
    charge_mah: Option<f64>,
    energy_mwh: Option<f64>,
}

fn table() -> Vec<Row> {
    let mut reader = csv::Reader::from_path(folder().join("badlogs.csv")).unwrap();
    reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            Row {
                file: record[0].to_owned(),
                must: record[2].to_owned(),
                rows: record[3].parse().unwrap(),
                charge_mah: record[4].parse().ok(),
                energy_mwh: record[5].parse().ok(),
            }
        })
        .collect()
}

#[test]
fn every_log_gives_the_rows_charge_and_energy_of_the_table() {
    let table = table();
    assert_eq!(table.len(), 35);
    let mut wrong = Vec::new();
    for row in &table {
        let interval_s = (row.must == "ask").then_some(10.0);
        let options = Options {
            interval_s,
            ..Options::default()
        };
        let found = read_with(&row.file, &options);
        let (Some(charge), Some(energy)) = (row.charge_mah, row.energy_mwh) else {
            if let Ok(log) = found {
                wrong.push(format!("{}: read as {:?}", row.file, log.rows));
            }
            continue;
        };
        let log = match found {
            Ok(log) => log,
            Err(error) => {
                wrong.push(format!("{}: {error}", row.file));
                continue;
            }
        };
        let channel = if log.charge_c("cell") == 0.0 {
            ""
        } else {
            "cell"
        };
        let (q, e) = (
            log.charge_c(channel) / 3.6,
            log.energy_j(channel).unwrap_or(f64::NAN) / 3.6,
        );
        // The table has four decimals; two of the files write time with microseconds or less.
        let same = (q - charge).abs() <= 1.0e-4
            && (e - energy).abs() <= 1.0e-4
            && log.rows.used == row.rows;
        if !same {
            wrong.push(format!(
                "{}: {q:.4} mAh, {e:.4} mWh, {} rows; {:?}",
                row.file, log.rows.used, log.notes
            ));
        }
        if row.must != "ok" && row.must.contains("warn") && log.notes.is_empty() {
            wrong.push(format!("{}: no warning", row.file));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn errors_name_file_line_and_remedy() {
    let failure = |name| read_with(name, &Options::default()).unwrap_err();
    for (name, fault, line) in [
        ("29_empty.csv", Fault::Empty, None),
        ("30_header_only.csv", Fault::NoRows, Some(1)),
        ("31_text.csv", Fault::NoTable, None),
        ("15_no_time_column.csv", Fault::NeedsInterval, None),
    ] {
        let error = failure(name);
        assert_eq!(
            (error.fault, error.line, error.file.as_str()),
            (fault, line, name),
            "{error}"
        );
        assert!(!error.remedy.is_empty() && error.to_string().starts_with(name));
    }
}

#[test]
fn warnings_say_what_was_met() {
    for (name, words) in [
        ("08_clock_midnight.csv", "one day was added"),
        ("18_counter_reset.csv", "counter was set back"),
        (
            "21_time_backwards.csv",
            "time goes backwards here; the rows were sorted",
        ),
        (
            "22_gap.csv",
            "from 200.000 s to 280.000 s; 19.8 % of the charge",
        ),
        ("23_nan_blank_overload.csv", "4 of 31 rows were left out"),
        ("27_header_again.csv", "the header stands here again"),
        (
            "28_restart.csv",
            "time falls back from 150.000 s to 0.000 s",
        ),
        ("32_one_row.csv", "one row and no interval"),
        ("33_nul_bytes.csv", "NUL bytes"),
        ("35_last_line_cut.csv", "no line end"),
    ] {
        let log = read(name);
        assert!(said(&log).contains(words), "{name}: {}", said(&log));
    }
    for name in [
        "01_plain.csv",
        "04_units_row.csv",
        "12_minutes.csv",
        "20_repeated_stamp.csv",
        "34_quoted.csv",
    ] {
        assert_eq!(read(name).notes, [], "{name}");
    }
}

/// The share of the charge in the gap is 0.1982; the table says so.
#[test]
fn the_share_of_a_gap_is_stated() {
    let log = read("22_gap.csv");
    let series = &log.runs[0].series[0];
    let share = series.gaps[0].charge_c / series.charge_c();
    assert!((share - 0.1982).abs() < 5e-5, "{share}");
}

#[test]
fn what_the_file_does_not_tell_is_marked_unsure() {
    let unsure = |name: &str, about: &str| {
        let log = read(name);
        log.reasons
            .iter()
            .any(|reason| reason.unsure && reason.about == about)
    };
    assert!(unsure("26_ambiguous_comma.csv", "decimals"));
    assert!(unsure("10_day_month.csv", "when"));
    assert!(!unsure("09_datetime.csv", "when"));
    assert!(!unsure("02_semicolon_decimal_comma.csv", "decimals"));
}

/// By the counter 53.062 mAh, as the step into the reset is lost to it; 55.284 mAh from 880.005 on.
#[test]
fn counters_give_differences_and_lose_the_step_into_a_reset() {
    let counted = |name: &str| {
        let log = read(name);
        let series = &log.runs[0].series[0];
        (
            series.points[series.last()].counted_c.unwrap() / 3.6,
            series.resets,
        )
    };
    let (reset, not_from_zero) = (
        counted("18_counter_reset.csv"),
        counted("19_counter_not_from_zero.csv"),
    );
    assert!((reset.0 - 53.062).abs() < 5e-4 && reset.1 == 1, "{reset:?}");
    assert!(
        (not_from_zero.0 - 55.284).abs() < 5e-4 && not_from_zero.1 == 0,
        "{not_from_zero:?}"
    );
}

#[test]
fn two_channels_know_where_they_sat_and_give_the_efficiency() {
    let log = read("24_two_channels.csv");
    let seats: Vec<_> = log
        .mapping
        .channels
        .iter()
        .map(|one| (one.name.as_str(), one.seat))
        .collect();
    assert_eq!(seats, [("in", Seat::Socket), ("cell", Seat::Cell)]);
    let (input, cell) = (
        log.energy_j("in").unwrap() / 3.6,
        log.energy_j("cell").unwrap() / 3.6,
    );
    // The input's current is written with four decimals.
    assert!((input - 245.6477).abs() < 5e-3, "{input}");
    assert!((cell / input - 0.9).abs() < 2e-5);
}

#[test]
fn a_charging_current_below_zero_is_turned_and_said() {
    let log = read("17_minus_is_charge.csv");
    assert!(log.runs[0].series[0].turned && !read("01_plain.csv").runs[0].series[0].turned);
}

#[test]
fn a_mapping_that_was_guessed_reads_the_same_when_it_is_given() {
    for row in table() {
        let Ok(log) = read_with(&row.file, &Options::default()) else {
            continue;
        };
        let options = Options {
            mapping: Some(log.mapping.clone()),
            ..Options::default()
        };
        let again = read_with(&row.file, &options).unwrap();
        assert_eq!(again.runs, log.runs, "{}", row.file);
        let text = serde_json::to_string(&log.mapping).unwrap();
        assert_eq!(
            serde_json::from_str::<logs::Mapping>(&text).unwrap(),
            log.mapping
        );
    }
}

/// The same samples as rows of a sheet.
#[test]
fn rows_of_a_sheet_read_as_text_does() {
    let text = fs::read_to_string(folder().join("badlogs/01_plain.csv")).unwrap();
    let rows = text
        .lines()
        .map(|line| line.split(',').map(str::to_owned).collect());
    let log = logs::read_rows(rows, "charge.xlsx", &Options::default(), &mut |_| true).unwrap();
    assert_eq!(log.runs, read("01_plain.csv").runs);
}
