//! Every row of the tables beside this file; `published/README.md` says where each is from.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    reason = "tests read the tables beside them"
)]

use standing::likeness::{Attribute, Comparison, Scale, Value};
use standing::quantile::{self, TYPES, quantile_by};
use standing::share::{self, Method};
use standing::{many, trend};
use std::path::Path;

fn rows(name: &str) -> Vec<csv::StringRecord> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/published")
        .join(name);
    let bytes = std::fs::read(path).unwrap();
    let rows = csv::Reader::from_reader(&*bytes).into_records();
    rows.map(Result::unwrap).collect()
}

fn number(text: &str) -> f64 {
    text.parse().unwrap()
}

#[track_caller]
fn near(found: f64, printed: f64, within: f64, what: &str) {
    assert!(
        (found - printed).abs() <= within,
        "{what}: {found}, printed {printed} ± {within}"
    );
}

fn data(name: &str) -> Vec<f64> {
    match name {
        "NIST 12" => vec![
            95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.0610, 95.1591, 95.1195, 95.1772,
            95.0925, 95.1990, 95.1682,
        ],
        "22 values" => vec![
            12.5, 12.0, 11.8, 14.2, 14.9, 14.5, 21.0, 8.2, 10.3, 11.3, 14.1, 9.9, 12.2, 12.0, 12.1,
            11.0, 19.8, 11.0, 10.0, 8.8, 9.0, 12.3,
        ],
        set => set
            .trim_matches(['{', '}'])
            .split(',')
            .map(number)
            .collect(),
    }
}

#[test]
fn nine_types_of_quantile() {
    let rows = rows("standing_quantile_types.csv");
    assert_eq!(rows.len(), 9);
    for row in rows {
        let values = data(&row[0]);
        for (kind, printed) in TYPES.into_iter().zip(row.iter().skip(2)) {
            let found = quantile_by(kind, &values, number(&row[1])).unwrap();
            let what = format!("{} at {} by {kind:?}", &row[0], &row[1]);
            near(found, number(printed), 1e-6, &what);
        }
    }
}

#[test]
fn limits_of_the_median() {
    let rows = rows("standing_median_ci.csv");
    assert_eq!(rows.len(), 51);
    for row in rows {
        let [n, lower, upper] = [0, 1, 2].map(|i| row[i].parse().unwrap());
        let found = 100.0 * quantile::coverage(n, lower, upper, 0.5);
        // Printed to one digit, halves rounded either way.
        near(found, number(&row[3]), 0.0501, "published");
        near(found, number(&row[4]), 5.1e-5, "computed");
    }
}

#[test]
fn limits_of_other_quantiles() {
    let rows = rows("standing_quantile_ci.csv");
    assert_eq!(rows.len(), 60);
    for row in rows {
        let found = quantile::ranks(row[0].parse().unwrap(), number(&row[1]), 0.95);
        let rank = |text: &str| text.parse().ok();
        assert_eq!(
            (found.lower, found.upper),
            (rank(&row[2]), rank(&row[3])),
            "{row:?}"
        );
        near(found.coverage, number(&row[4]), 6e-7, "coverage");
    }
}

#[test]
fn limits_of_shares() {
    let rows = rows("standing_proportion.csv");
    assert_eq!(rows.len(), 136);
    for row in rows {
        let method = match &row[2] {
            "wilson" => Method::Wilson,
            "wcc" => Method::WilsonCorrected,
            "exact" => Method::Exact,
            "jeffreys_et" => Method::Jeffreys,
            "hpd" => Method::JeffreysDensest,
            "midp" => Method::MidP,
            "ac" => Method::AgrestiCoull,
            "wald" => Method::Wald,
            other => panic!("{other}"),
        };
        let [x, n] = [0, 1].map(|i| row[i].parse().unwrap());
        let found = share::limits(method, x, n, 0.95).unwrap();
        let what = format!("{row:?}");
        near(found.low, number(&row[3]), 6e-9, &what);
        near(found.high, number(&row[4]), 6e-9, &what);
        if !row[5].is_empty() {
            near(found.low, number(&row[5]), 2e-8, &what);
            near(found.high, number(&row[6]), 2e-8, &what);
        }
    }
}

#[test]
fn chance_of_every_score() {
    let rows = rows("standing_mk_exact.csv");
    assert_eq!(rows.len(), 88);
    for row in rows {
        let found = trend::chance_of_score(row[0].parse().unwrap(), row[1].parse().unwrap());
        near(found, number(&row[2]), 6e-10, &format!("{row:?}"));
    }
}

/// The eight persons of the table: age, sex, civil status, salary, children, available credit.
fn persons() -> Vec<Vec<Value>> {
    [
        (21.0, "M", "MARRIED", 3000.0, 1.0, 2200.0),
        (21.0, "M", "SINGLE", 1200.0, 0.0, 100.0),
        (19.0, "N", "SINGLE", 32000.0, 1.0, 22000.0),
        (30.0, "M", "SINGLE", 1800.0, 1.0, 1100.0),
        (21.0, "F", "MARRIED", 2900.0, 1.0, 2000.0),
        (21.0, "F", "SINGLE", 1100.0, 0.0, 100.0),
        (19.0, "F", "WIDOW", 10000.0, 0.0, 6000.0),
        (30.0, "F", "DIVORCED", 1500.0, 1.0, 2200.0),
    ]
    .into_iter()
    .map(|(age, sex, status, salary, children, credit)| {
        vec![
            Value::Number(age),
            Value::Label(sex.into()),
            Value::Label(status.into()),
            Value::Number(salary),
            Value::Number(children),
            Value::Number(credit),
        ]
    })
    .collect()
}

#[test]
fn distances_of_eight_persons() {
    let persons = persons();
    let scales = [
        Scale::Number,
        Scale::Label,
        Scale::Label,
        Scale::Number,
        Scale::Number,
        Scale::Number,
    ];
    let attributes = scales.map(|scale| Attribute { scale, weight: 1.0 });
    let comparison = Comparison::of_range(attributes.to_vec(), &persons);
    let rows = rows("standing_gower.csv");
    assert_eq!(rows.len(), 28);
    for row in rows {
        let [i, j] = [0, 1].map(|k| row[k].parse::<usize>().unwrap() - 1);
        let found = comparison.distance(&persons[i], &persons[j]).unwrap().value;
        near(found, number(&row[2]), 6e-9, "computed");
        near(found, number(&row[3]), 6e-8, "published");
    }
    let nearest = comparison.nearest(&persons[0], &persons[1..]);
    let printed = [
        (5, 0.168728),
        (4, 0.317874),
        (2, 0.359024),
        (8, 0.477788),
        (6, 0.526230),
    ];
    for ((found, distance), (person, printed)) in nearest.iter().zip(printed) {
        assert_eq!(found + 2, person);
        near(distance.value, printed, 6e-7, "nearest");
    }
}

#[test]
fn adjusted_probabilities() {
    let rows = rows("standing_multtest.csv");
    assert_eq!(rows.len(), 10);
    let probabilities: Vec<f64> = rows.iter().map(|row| number(&row[0])).collect();
    let by = [
        many::bonferroni,
        many::holm,
        many::hochberg,
        many::benjamini_hochberg,
        many::benjamini_yekutieli,
    ];
    for (column, adjust) in (1..).zip(by) {
        for (row, found) in rows.iter().zip(adjust(&probabilities)) {
            // The probabilities are printed to twelve digits, and a factor takes their rounding along.
            let printed = number(&row[column]);
            near(found, printed, 1e-10 * printed, &format!("column {column}"));
        }
    }
}
