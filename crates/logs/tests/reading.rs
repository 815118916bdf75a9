//! Files as meters and people write them, other than those the reader was written with: made here, with what must come
//! out worked out by hand.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use logs::{Fault, Log, LogError, Options, Seat, Sign, TimeForm, read_text};
use proptest::prelude::*;
use std::fmt::Write as _;

fn read_bytes(bytes: &[u8]) -> Result<Log, LogError> {
    read_text(bytes, "meter.csv", &Options::default(), &mut |_| true)
}

#[track_caller]
fn read(text: &str) -> Log {
    read_bytes(text.as_bytes()).unwrap_or_else(|error| panic!("{error} ({})", error.remedy))
}

#[track_caller]
fn charges(text: &str, coulomb: f64) -> Log {
    let log = read(text);
    let found: f64 = log.runs.iter().map(|run| run.series[0].charge_c()).sum();
    assert!(
        (found - coulomb).abs() < 1e-6,
        "{found} against {coulomb}: {:?} {:?}",
        log.mapping,
        log.notes
    );
    log
}

#[test]
fn a_header_in_another_language_with_units_after_a_stroke_is_read() {
    charges(
        "Tiempo/s;Voltaje/mV;Corriente/mA\n0;3900;500\n60;3950;500\n120;4000;500\n",
        60.0,
    );
}

#[test]
fn units_behind_the_numbers_are_read() {
    let log = charges(
        "Time,Voltage,Current\n0 s,5.02V,800 mA\n10 s,5.01V,1.2 A\n",
        10.0,
    );
    assert_eq!(log.mapping.channels[0].seat, Seat::Socket);
}

#[test]
fn date_and_time_in_two_columns_run_over_midnight() {
    let text = "Date,Time,Vbat,Ibat\n2031-12-31,23:59:50,3.9,1.0\n2032-01-01,00:00:00,3.9,1.0\n2032-01-01,00:00:10,3.9,1.0\n";
    charges(text, 20.0);
}

#[test]
fn afternoon_times_and_month_first_dates_are_read() {
    let text = "stamp time,V,A\n12/31/2031 11:59:50 PM,3.9,1.0\n01/01/2032 12:00:00 AM,3.9,1.0\n01/01/2032 12:00:10 AM,3.9,1.0\n";
    let log = charges(text, 20.0);
    assert_eq!(log.mapping.time.form, TimeForm::MonthFirst);
}

/// Over 2,000 rows of one day, whose date tells nothing, the first midnight shows that the day stands first.
#[test]
fn the_first_midnight_tells_the_order_even_far_behind_the_head() {
    let mut text = String::from("when,V,A\n");
    for k in 0..3000_u32 {
        let s = 86_400 - 2000 + k;
        let (day, of_day) = (4 + s / 86_400, s % 86_400);
        writeln!(
            text,
            "{day:02}/05/2031 {:02}:{:02}:{:02},3.9,1.0",
            of_day / 3600,
            of_day / 60 % 60,
            of_day % 60
        )
        .unwrap();
    }
    charges(&text, 2999.0);
    // The same with the month first: 05/04 is followed by 05/05.
    let swapped = text.replace("04/05/", "05/04/");
    charges(&swapped, 2999.0);
}

#[test]
fn old_line_ends_latin_bytes_and_blanks_between_columns_are_read() {
    charges("t_s,v,a\r0,3.9,1.0\r10,3.9,1.0\r20,3.9,1.0\r", 20.0);
    let latin = b"Zeit;Temperatur \xb0C;Spannung V;Strom A\n0;25;3,9;1,0\n10;25;3,9;1,0\n";
    let log = read_bytes(latin).unwrap();
    assert_eq!(log.runs[0].series[0].charge_c(), 10.0);
    assert_eq!(log.runs[0].series[0].points[0].celsius, Some(25.0));
    charges(
        "  t_s     v     a\n  0   3.90  1.0\n 10   3.91  1.0\n",
        10.0,
    );
}

#[test]
fn unmarked_utf16_is_told_by_its_looks() {
    let text = "t_s,v,a\n0,3.9,1.0\n10,3.9,1.0\n";
    for big in [false, true] {
        let bytes: Vec<u8> = text
            .encode_utf16()
            .flat_map(|unit| {
                if big {
                    unit.to_be_bytes()
                } else {
                    unit.to_le_bytes()
                }
            })
            .collect();
        assert_eq!(
            read_bytes(&bytes).unwrap().runs[0].series[0].charge_c(),
            10.0
        );
    }
}

#[test]
fn a_table_without_a_header_is_told_apart_by_its_numbers_and_says_so() {
    let log = charges("0,3.90,0.5\n10,3.91,0.5\n20,3.92,0.5\n", 10.0);
    assert!(
        log.reasons
            .iter()
            .any(|reason| reason.about == "header" && reason.unsure)
    );
}

#[test]
fn overload_of_a_bench_instrument_is_no_current() {
    let log = charges("t_s,v,a\n0,3.9,1.0\n10,3.9,9.9E37\n20,3.9,1.0\n", 20.0);
    assert_eq!((log.rows.used, log.rows.dropped), (2, 1));
}

#[test]
fn numbered_channels_are_kept_apart() {
    let text = "Time (s),CH1 Voltage (V),CH1 Current (A),CH2 Voltage (V),CH2 Current (A)\n0,5,1,4,0.9\n10,5,1,4,0.9\n";
    let log = read(text);
    assert_eq!(log.charge_c("ch1"), 10.0);
    assert_eq!(log.charge_c("ch2"), 9.0);
}

#[test]
fn a_discharge_with_a_positive_current_is_turned() {
    let mut text = String::from("t_s,cell_v,cell_a\n");
    for k in 0..20 {
        writeln!(text, "{},{:.3},0.5", 60 * k, 4.1 - 0.03 * f64::from(k)).unwrap();
    }
    let log = charges(&text, -570.0);
    let series = &log.runs[0].series[0];
    let found = logs::answers::discharges(series, &logs::phases::phases(series));
    assert_eq!(found.len(), 1);
    assert!(
        (found[0].charge.value - 570.0).abs() < 1e-9
            && found[0].run_time_s == 1140.0
            && found[0].at_cell
    );
    // Stated, it stays.
    let mut mapping = log.mapping.clone();
    mapping.sign = Sign::AsWritten;
    let options = Options {
        mapping: Some(mapping),
        ..Options::default()
    };
    let stated = read_text(text.as_bytes(), "meter.csv", &options, &mut |_| true).unwrap();
    assert_eq!(stated.runs[0].series[0].charge_c(), 570.0);
}

#[test]
fn a_file_from_the_newest_row_on_is_refused_with_a_line_and_a_remedy() {
    let mut text = String::from("t_s,v,a\n");
    for k in (0..50).rev() {
        writeln!(text, "{k},3.9,1.0").unwrap();
    }
    let error = read_bytes(text.as_bytes()).unwrap_err();
    assert_eq!(error.fault, Fault::Backwards);
    assert!(
        error.line.is_some() && error.remedy.contains("oldest first"),
        "{error}"
    );
}

#[test]
fn what_is_no_log_is_refused_by_what_it_is() {
    for (bytes, fault) in [
        (&b"PK\x03\x04rest"[..], Fault::NotText),
        (&[0; 100_000][..], Fault::NotText),
        (&b"\n \n\t\n"[..], Fault::Empty),
        (&b"name,remark\nred,big\nblue,small\n"[..], Fault::NoTable),
        (
            &b"t_s,temperature_c,note\n0,21,1\n1,22,1\n"[..],
            Fault::NoColumn,
        ),
        (&b"t_s,v,a\n0,3.9,OL\n1,3.9,OL\n"[..], Fault::NoRows),
    ] {
        let error = read_bytes(bytes).unwrap_err();
        assert_eq!(error.fault, fault, "{error}");
        assert!(!error.remedy.is_empty());
    }
}

/// A line without an end, a megabyte long, between rows: it is left out and the rest is read.
#[test]
fn a_line_without_end_is_read_past() {
    let mut text = String::from("t_s,v,a\n0,3.9,1.0\n10,3.9,1.0\n");
    text.push_str(&"x".repeat(1_000_000));
    text.push_str("\n20,3.9,1.0\n");
    let log = charges(&text, 20.0);
    assert!(
        log.notes
            .iter()
            .any(|note| note.line == Some(4) && note.what.contains("64 KiB")),
        "{:?}",
        log.notes
    );
}

#[test]
fn reading_can_be_stopped_and_tells_how_far_it_is() {
    let mut text = String::from("t_s,v,a\n");
    for k in 0..200_000 {
        writeln!(text, "{k},3.9,1.0").unwrap();
    }
    let mut told = 0;
    let stopped = read_text(
        text.as_bytes(),
        "long.csv",
        &Options::default(),
        &mut |so_far| {
            told = so_far.rows;
            so_far.rows < 100_000
        },
    );
    assert_eq!(stopped.unwrap_err().fault, Fault::Stopped);
    assert!((100_000..170_000).contains(&told));
}

/// Letting points go changes no integral between those that stay, nor phases' names.
#[test]
fn integrals_stay_exact_when_points_are_let_go() {
    let mut text = String::from("t_s,v,a,step\n");
    for k in 0..100_000_u32 {
        let t = f64::from(k);
        let (v, a) = if k < 60_000 {
            (3.5 + 0.7 * t / 60_000.0, 1.0)
        } else {
            (4.2, (-(t - 60_000.0) / 9000.0).exp())
        };
        writeln!(text, "{t},{v:.6},{a:.6},{}", k / 33_333).unwrap();
    }
    let with = |most_points| {
        let options = Options {
            most_points,
            ..Options::default()
        };
        let mut log = read_text(text.as_bytes(), "long.csv", &options, &mut |_| true).unwrap();
        log.runs.remove(0).series.remove(0)
    };
    let (all, few) = (with(1_000_000), with(500));
    assert!(few.points.len() <= 1100 && few.rows == 100_000 && all.points.len() == 100_000);
    assert_eq!(few.charge_c(), all.charge_c());
    for (few_part, all_part) in few.sections.iter().zip(&all.sections) {
        let (a, b) = (
            few.charge(few_part.first, few_part.last),
            all.charge(all_part.first, all_part.last),
        );
        assert_eq!(a, b);
    }
    let names = |series: &logs::Series| -> Vec<_> {
        logs::phases::phases(series)
            .iter()
            .map(|phase| phase.kind)
            .collect()
    };
    assert_eq!(names(&few), names(&all));
    let switch = logs::phases::phases(&few)[1].begins;
    assert!(
        switch.from_s <= 60_046.0 && 60_000.0 <= switch.to_s,
        "{switch:?}"
    );
}

proptest! {
    /// Whatever the bytes are, they are read or refused.
    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = read_bytes(&bytes);
    }

    /// A table with cells of any kind gives no number that is not finite, and its phases are found.
    #[test]
    fn any_table_gives_finite_numbers(
        rows in prop::collection::vec((-10.0_f64..1e4, "[-+0-9.,eEoLnaN ]{0,8}", -5.0_f64..5.0), 0..60),
    ) {
        let mut text = String::from("time_s;voltage_v;current_a\n");
        for (t, v, a) in &rows {
            writeln!(text, "{t};{v};{a}").unwrap();
        }
        if let Ok(log) = read_bytes(text.as_bytes()) {
            for run in &log.runs {
                for series in &run.series {
                    prop_assert!(series.charge_c().is_finite());
                    prop_assert!(series.points.windows(2).all(|pair| pair[0].t_s <= pair[1].t_s));
                    let phases = logs::phases::phases(series);
                    let sum: f64 = phases.iter().map(|phase| phase.charge.value + phase.switching_c).sum();
                    prop_assert!((sum - series.charge_c()).abs() <= 1e-6 * (1.0 + series.charge_c().abs() + sum.abs() + 1e5));
                }
            }
        }
    }

    /// Delimiter, decimals and the unit of the current change nothing.
    #[test]
    fn how_a_log_is_written_changes_nothing(amperes in prop::collection::vec(0.02_f64..4.0, 5..40), comma in any::<bool>(), milli in any::<bool>()) {
        let write = |comma: bool, milli: bool| {
            let mut text = String::from(if milli { "t_s;v;i_ma\n" } else { "t_s;v;i_a\n" });
            for (k, a) in amperes.iter().enumerate() {
                let a = (a * 1e4).round() / 1e4;
                let i = if milli { format!("{:.1}", a * 1e3) } else { format!("{a:.4}") };
                let v = format!("{:.4}", 3.6 + 0.01 * k as f64);
                let (v, i) = if comma { (v.replace('.', ","), i.replace('.', ",")) } else { (v, i) };
                writeln!(text, "{};{v};{i}", 10 * k).unwrap();
            }
            text
        };
        let plain = read(&write(false, false)).runs[0].series[0].charge_c();
        let other = read(&write(comma, milli)).runs[0].series[0].charge_c();
        prop_assert!((plain - other).abs() < 1e-9 * plain);
    }
}
