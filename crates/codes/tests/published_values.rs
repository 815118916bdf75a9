//! Every published vector of `tests/published/vectors.csv`; sources stand in each row.
//!
//! Rows from memory are soft: the value must be offered, and for conventions (not arithmetic) with a
//! caution.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use codes::{Context, Kind, MarkedObject, Reading, Value, read};
use jiff::civil::Date;

struct Row {
    topic: String,
    input: String,
    expected: String,
    soft: bool,
}

fn rows(topic: &str) -> Vec<Row> {
    let text = include_str!("published/vectors.csv");
    let rows: Vec<Row> = csv::Reader::from_reader(text.as_bytes())
        .records()
        .map(|r| {
            let r = r.unwrap();
            Row {
                topic: r[0].to_string(),
                input: r[1].to_string(),
                expected: r[2].to_string(),
                soft: r[6].starts_with("from memory"),
            }
        })
        .filter(|r| r.topic == topic)
        .collect();
    assert!(!rows.is_empty(), "no rows of {topic}");
    rows
}

fn number(value: &Value) -> Option<f64> {
    match value {
        Value::Resistance { ohm, .. } => Some(*ohm),
        Value::Capacitance {
            farad, rated_volt, ..
        } if rated_volt.is_none() => Some(*farad),
        Value::Voltage { volt } => Some(*volt),
        _ => None,
    }
}

/// Asks for a reading of one of the kinds with exactly the published number.
#[track_caller]
fn numbers(topic: &str, on: MarkedObject, kinds: &[Kind]) {
    for row in rows(topic) {
        let expected: f64 = row.expected.parse().unwrap();
        let readings = read(&row.input, &Context::on(on));
        let found = readings.iter().find(|r| {
            kinds.contains(&r.kind) && r.value.as_ref().and_then(number) == Some(expected)
        });
        let Some(found) = found else {
            panic!(
                "{topic} {}: {expected} is not among {readings:#?}",
                row.input
            );
        };
        if row.soft {
            assert!(found.caution.is_some(), "{topic} {}", row.input);
        } else {
            let rivals = readings
                .iter()
                .filter(|r| kinds.contains(&r.kind))
                .map(|r| r.likelihood)
                .fold(0.0, f64::max);
            assert_eq!(
                found.likelihood, rivals,
                "{topic} {}: {readings:#?}",
                row.input
            );
        }
    }
}

#[test]
fn letter_and_digit_codes_of_resistors() {
    numbers(
        "rkm-resistor",
        MarkedObject::Resistor,
        &[Kind::ResistorLetters],
    );
}

#[test]
fn letter_and_digit_codes_of_capacitors() {
    numbers(
        "rkm-capacitor",
        MarkedObject::Capacitor,
        &[Kind::CapacitorLetters],
    );
}

#[test]
fn three_and_four_digits_on_chip_resistors() {
    numbers(
        "smd-3-4-digit",
        MarkedObject::Resistor,
        &[Kind::ResistorDigits, Kind::ResistorLetters],
    );
}

#[test]
fn table_numbers_on_chip_resistors() {
    numbers("eia-96", MarkedObject::Resistor, &[Kind::ResistorEia96]);
}

#[test]
fn multiplier_letters_of_table_numbers() {
    for row in rows("eia-96-multiplier") {
        let letter = row.input.chars().next().unwrap();
        let power = codes::eia96::multiplier(letter).unwrap();
        let expected: f64 = row.expected.parse().unwrap();
        assert_eq!(format!("1e{power}").parse::<f64>().unwrap(), expected);
    }
}

#[test]
fn three_digits_on_capacitors() {
    numbers(
        "cap-3-digit",
        MarkedObject::Capacitor,
        &[Kind::CapacitorDigits],
    );
}

#[test]
fn letters_of_chip_capacitors() {
    for row in rows("mlcc-letter") {
        let tenths = codes::mlcc::tenths(row.input.chars().next().unwrap()).unwrap();
        assert_eq!(f64::from(tenths) / 10.0, row.expected.parse().unwrap());
    }
    numbers(
        "mlcc-code",
        MarkedObject::Capacitor,
        &[Kind::CapacitorTable],
    );
}

#[test]
fn voltages_in_two_characters() {
    numbers(
        "cap-voltage-2char",
        MarkedObject::Capacitor,
        &[Kind::VoltageTwoCharacters],
    );
}

#[test]
fn voltages_in_one_letter() {
    numbers(
        "tantalum-voltage",
        MarkedObject::Capacitor,
        &[Kind::VoltageLetter],
    );
}

#[test]
fn the_one_letter_voltage_is_the_two_character_one_without_its_decade() {
    let volts = |text: &str| -> f64 {
        let readings = read(text, &Context::on(MarkedObject::Capacitor));
        let voltage = readings
            .iter()
            .find(|r| matches!(r.kind, Kind::VoltageLetter | Kind::VoltageTwoCharacters));
        voltage
            .and_then(|r| r.value.as_ref())
            .and_then(number)
            .unwrap()
    };
    for row in rows("tantalum-voltage").iter().filter(|r| !r.soft) {
        let decade = if row.expected.parse::<f64>().unwrap() < 10.0 {
            0
        } else {
            1
        };
        assert_eq!(volts(&row.input), volts(&format!("{decade}{}", row.input)));
    }
}

#[test]
fn dielectrics_of_classes_two_and_three() {
    for row in rows("dielectric-class2") {
        let first = &read(&row.input, &Context::on(MarkedObject::Capacitor))[0];
        let Some(Value::Change {
            low_celsius,
            high_celsius,
            up_percent,
            down_percent,
        }) = first.value
        else {
            panic!("{}: {first:?}", row.input);
        };
        let found = format!("{low_celsius}..{high_celsius} degC; +{up_percent}/-{down_percent} %");
        assert_eq!(found, row.expected, "{}", row.input);
    }
}

#[test]
fn dielectrics_of_class_one() {
    for row in rows("dielectric-class1") {
        let first = &read(&row.input, &Context::on(MarkedObject::Capacitor))[0];
        let Some(Value::Coefficient {
            ppm_per_kelvin,
            tolerance_ppm_per_kelvin,
        }) = first.value
        else {
            panic!("{}: {first:?}", row.input);
        };
        let found = format!("{ppm_per_kelvin} +/- {tolerance_ppm_per_kelvin}");
        assert_eq!(found, row.expected, "{}", row.input);
    }
}

fn spans(reading: &Reading) -> Vec<(Date, Date)> {
    match &reading.value {
        Some(Value::Dates { spans }) => spans.iter().map(|s| (s.first, s.last)).collect(),
        _ => Vec::new(),
    }
}

#[test]
fn year_letter_and_month() {
    for row in rows("date-2char") {
        let readings = read(&row.input, &Context::default());
        let found = readings
            .iter()
            .find(|r| r.kind == Kind::DateYearMonth)
            .unwrap_or_else(|| panic!("{}", row.input));
        let months: Vec<String> = spans(found)
            .iter()
            .map(|(first, last)| {
                assert_eq!((first.day(), *last), (1, first.last_of_month()));
                format!("{}-{:02}", first.year(), first.month())
            })
            .collect();
        for month in row.expected.split(" | ") {
            assert!(
                months.contains(&month.to_string()),
                "{}: {months:?}",
                row.input
            );
        }
    }
}

#[test]
fn year_and_week() {
    for row in rows("date-yyww") {
        let readings = read(&row.input, &Context::default());
        let iso = readings
            .iter()
            .find(|r| r.kind == Kind::DateYearWeek && r.because.contains("ISO 8601"));
        if row.expected.starts_with("invalid") {
            assert!(iso.is_none(), "{}: {iso:?}", row.input);
            continue;
        }
        let (first, last) = row.expected.split_once("..").unwrap();
        let expected: (Date, Date) = (first.parse().unwrap(), last.parse().unwrap());
        assert_eq!(spans(iso.unwrap()), vec![expected], "{}", row.input);
    }
}

#[test]
fn years_with_week_53() {
    // Computed by Python 3.11 datetime for 2000 to 2030.
    let with: Vec<i16> = (2000..=2030)
        .filter(|y| !read(&format!("{y}-W53"), &Context::default()).is_empty())
        .collect();
    assert_eq!(with, [2004, 2009, 2015, 2020, 2026]);
}

#[test]
fn one_letter_over_four_years() {
    const MONTHS: [&str; 2] = ["Jan", "Dec"];
    for row in rows("date-1char-4year") {
        let readings = read(&row.input, &Context::default());
        let found = readings.iter().find(|r| r.kind == Kind::DateLetter);
        if row.expected == "not used" {
            assert!(found.is_none(), "{}", row.input);
            continue;
        }
        let found = spans(found.unwrap());
        let month = match &row.expected[..3] {
            m if m == MONTHS[0] => 1,
            m if m == MONTHS[1] => 12,
            other => panic!("{other}"),
        };
        assert!(found.iter().all(|(first, _)| first.month() == month));
        // "of the same years" repeats the years of the row before it.
        let years = row.expected[4..]
            .split('/')
            .filter_map(|y| y.parse::<i16>().ok());
        for year in years {
            assert!(
                found.iter().any(|(first, _)| first.year() == year),
                "{} {year}: {found:?}",
                row.input
            );
        }
        if row.expected.contains("same years") {
            assert!(found.iter().all(|(first, _)| first.year() % 4 == 1));
        }
    }
}

#[test]
fn check_digits_of_article_numbers() {
    for row in rows("gs1-check-digit") {
        let digit: u32 = row.expected.parse().unwrap();
        assert_eq!(codes::gs1::check_digit(&row.input), Some(digit));
        checked(&format!("{}{digit}", row.input), Kind::Gs1, digit);
    }
}

#[test]
fn check_digits_of_mobile_devices() {
    for row in rows("imei-check-digit") {
        let digit: u32 = row.expected.parse().unwrap();
        assert_eq!(codes::imei::check_digit(&row.input), Some(digit));
        checked(&format!("{}{digit}", row.input), Kind::Imei, digit);
    }
    // Library python-stdnum 2.2 refuses this one: the digit should be 8.
    let wrong = read("490154203237517", &Context::on(MarkedObject::Label));
    let imei = wrong.iter().find(|r| r.kind == Kind::Imei).unwrap();
    assert!(imei.meaning.contains("7 should be 8"), "{}", imei.meaning);
}

/// The right digit is confirmed, and every other one is refused with the right one named.
#[track_caller]
fn checked(number: &str, kind: Kind, digit: u32) {
    let body = &number[..number.len() - 1];
    for last in 0..10 {
        let readings = read(&format!("{body}{last}"), &Context::on(MarkedObject::Label));
        let found = readings.iter().find(|r| r.kind == kind).unwrap();
        let Some(Value::Number {
            digits,
            check_digit_right,
        }) = &found.value
        else {
            panic!("{found:?}");
        };
        assert_eq!(digits, number);
        assert_eq!(*check_digit_right, Some(last == digit));
        assert_eq!(
            found
                .caution
                .as_ref()
                .is_some_and(|c| c.contains("misread")),
            last != digit
        );
    }
}
