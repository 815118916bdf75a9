//! Published tables: preferred series, table numbers, year letters, colours, tolerances, sizes, cells,
//! ingress digits. Sources: `tests/published/README.md`.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use codes::e_series::{Series, memberships, nearest};
use codes::tolerance::Tolerance;
use codes::{Context, Kind, MarkedObject, Value, read};

fn table(text: &str) -> Vec<csv::StringRecord> {
    let rows: Vec<csv::StringRecord> = csv::Reader::from_reader(text.as_bytes())
        .records()
        .map(Result::unwrap)
        .collect();
    assert!(!rows.is_empty());
    rows
}

fn series(name: &str) -> Series {
    *Series::ALL
        .iter()
        .find(|s| format!("{s:?}") == name)
        .unwrap()
}

#[test]
fn preferred_values() {
    let rows = table(include_str!("published/eseries.csv"));
    assert_eq!(
        rows.len(),
        Series::ALL.iter().map(|s| s.len()).sum::<usize>()
    );
    for row in rows {
        let series = series(&row[0]);
        let value: u32 = row[2].parse().unwrap();
        // Two-digit values are listed from 10 to 91, three-digit ones from 100 to 988.
        let value = if &row[3] == "2" { value * 10 } else { value };
        assert_eq!(series.value(row[1].parse().unwrap()), value, "{row:?}");
        let decimal: f64 = format!("{value}e-5").parse().unwrap();
        assert!(memberships(decimal).contains(&series), "{row:?}");
        let near = nearest(decimal, series).unwrap();
        assert!(near.deviation_percent.abs() < 1e-9, "{near:?}");
        assert!((near.member / decimal - 1.0).abs() < 1e-12, "{near:?}");
    }
}

#[test]
fn rounded_powers_differ_from_the_series_where_the_standard_does() {
    // Second oracle: 10^(i/n). E192 differs once, E24 eight times, E12 five, E6 two, E3 one.
    for (series, digits, expected) in [
        (Series::E192, 100.0, 1),
        (Series::E96, 100.0, 0),
        (Series::E48, 100.0, 0),
        (Series::E24, 10.0, 8),
        (Series::E12, 10.0, 5),
        (Series::E6, 10.0, 2),
        (Series::E3, 10.0, 1),
    ] {
        let differing = (0..series.len())
            .filter(|i| {
                let power = 10f64.powf(*i as f64 / series.len() as f64) * digits;
                (power.round() * 100.0 / digits) as u32 != series.value(*i)
            })
            .count();
        assert_eq!(differing, expected, "{series:?}");
    }
}

#[test]
fn table_numbers() {
    for row in table(include_str!("published/eia96.csv")) {
        let expected: u32 = row[1].parse().unwrap();
        assert_eq!(
            codes::eia96::significand(row[0].parse().unwrap()),
            Some(expected)
        );
        let readings = read(
            &format!("{}A", &row[0]),
            &Context::on(MarkedObject::Resistor),
        );
        let found = readings.iter().find(|r| r.kind == Kind::ResistorEia96);
        let Some(Value::Resistance { ohm, .. }) = found.unwrap().value else {
            panic!()
        };
        assert_eq!(ohm, f64::from(expected));
    }
    assert_eq!(codes::eia96::significand(0), None);
    assert_eq!(codes::eia96::significand(97), None);
}

#[test]
fn year_letters() {
    for row in table(include_str!("published/datecodes.csv")) {
        let readings = read(&format!("{}5", &row[0]), &Context::default());
        let found = readings
            .iter()
            .find(|r| r.kind == Kind::DateYearMonth && !r.because.contains("one published table"))
            .unwrap();
        let Some(Value::Dates { spans }) = &found.value else {
            panic!()
        };
        let mut years: Vec<String> = spans.iter().map(|s| s.first.year().to_string()).collect();
        years.sort();
        assert_eq!(years, [&row[1], &row[2], &row[3]], "{row:?}");
    }
    for skipped in ["I5", "O5", "Q5", "Y5", "Z5"] {
        assert!(
            !read(skipped, &Context::default())
                .iter()
                .any(|r| r.kind == Kind::DateYearMonth),
            "{skipped}"
        );
    }
}

#[test]
fn colour_bands() {
    use codes::colours::Colour;
    for row in table(include_str!("published/colour_bands.csv")) {
        let colour = Colour::parse(&row[0]).unwrap();
        assert_eq!(colour.digit(), row[1].parse().ok(), "{row:?}");
        assert_eq!(colour.power(), row[2].parse().unwrap(), "{row:?}");
        assert_eq!(colour.ppm_per_kelvin(), row[4].parse().ok(), "{row:?}");
        if &row[0] != "grey" {
            assert_eq!(
                colour.tolerance().map(|t| t.0),
                row[3].parse().ok(),
                "{row:?}"
            );
        }
    }
}

#[test]
fn colour_examples() {
    for row in table(include_str!("published/colours.csv")) {
        let first = &read(&row[0], &Context::on(MarkedObject::Resistor))[0];
        let Some(Value::Resistance { ohm, tolerance, .. }) = first.value else {
            panic!("{first:?}")
        };
        assert_eq!(ohm, row[1].parse().unwrap());
        assert_eq!(tolerance, Some(Tolerance::percent(row[2].parse().unwrap())));
    }
}

#[test]
fn tolerance_letters() {
    for row in table(include_str!("published/tolerance_letters.csv")) {
        let text = format!("100n{}", &row[0]);
        let readings = read(&text, &Context::on(MarkedObject::Capacitor));
        let found = readings.iter().find(|r| r.kind == Kind::CapacitorLetters);
        let Some(Value::Capacitance { tolerance, .. }) = found.unwrap().value else {
            panic!()
        };
        let (minus, plus) = (row[1].parse().unwrap(), row[2].parse().unwrap());
        assert_eq!(
            tolerance,
            Some(Tolerance::Percent { minus, plus }),
            "{text}"
        );
    }
    for (letter, either) in [('B', 0.1), ('C', 0.25), ('D', 0.5), ('F', 1.0), ('G', 2.0)] {
        let readings = read(
            &format!("4p7{letter}"),
            &Context::on(MarkedObject::Capacitor),
        );
        let Some(Value::Capacitance { tolerance, .. }) = readings[0].value else {
            panic!()
        };
        assert_eq!(tolerance, Some(Tolerance::Picofarad { either }));
    }
}

#[test]
fn chip_sizes_in_both_systems() {
    for row in table(include_str!("published/chip_sizes.csv")) {
        let (length, width): (f64, f64) = (row[2].parse().unwrap(), row[3].parse().unwrap());
        let words: Vec<&str> = row[0]
            .split([' ', '(', ')'])
            .filter(|w| !w.is_empty())
            .collect();
        let asked: Vec<(&str, Kind)> = match words.as_slice() {
            ["chip", imperial, "metric", metric] => vec![
                (imperial, Kind::ChipSizeImperial),
                (metric, Kind::ChipSizeMetric),
            ],
            ["tantalum", code, "case", _] => vec![(code, Kind::TantalumCase)],
            other => panic!("{other:?}"),
        };
        for (code, kind) in asked {
            let readings = read(code, &Context::on(MarkedObject::Outline));
            let found = readings.iter().find(|r| r.kind == kind).unwrap();
            let Some(Value::Size {
                length_mm,
                width_mm,
                ..
            }) = found.value
            else {
                panic!()
            };
            assert_eq!((length_mm, width_mm), (length, width), "{code}");
            if row[5].contains("memory") {
                assert!(found.caution.is_some(), "{code}");
            }
        }
    }
}

#[test]
fn cells() {
    for row in table(include_str!("published/cells.csv")) {
        let first = &read(&row[0], &Context::on(MarkedObject::Cell))[0];
        let Some(Value::Cell(size)) = &first.value else {
            panic!("{first:?}")
        };
        let number = |i: usize| row[i].parse::<f64>().ok();
        assert_eq!(size.diameter_mm, number(2), "{row:?}");
        assert_eq!(size.thickness_mm, number(3), "{row:?}");
        assert_eq!(size.width_mm, number(4), "{row:?}");
        assert_eq!(size.height_mm, number(5), "{row:?}");
        if !row[1].is_empty() {
            assert_eq!(size.chemistry.as_deref(), Some(&row[1]));
        }
    }
}

#[test]
fn ingress_digits() {
    for row in table(include_str!("published/ingress.csv")) {
        let (code, first) = match &row[1] {
            "first" => (format!("IP{}X", &row[0]), true),
            _ => (format!("IPX{}", &row[0]), false),
        };
        let reading = &read(&code, &Context::on(MarkedObject::Label))[0];
        assert!(reading.meaning.contains(&row[2]), "{}", reading.meaning);
        let Some(Value::Ingress { solids, water }) = reading.value else {
            panic!()
        };
        let digit = row[0].parse().ok();
        assert_eq!(
            if first { (digit, None) } else { (None, digit) },
            (solids, water)
        );
    }
}
