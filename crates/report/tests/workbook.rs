//! The workbook and the parts list, read back.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod specimen;
mod support;

use calamine::{Data, Range, Reader, Xlsx};
use methods::{Cell, Detail};
use report::{json, parts_csv, xlsx};
use serde_json::Value;
use std::collections::BTreeMap;
use std::io::Cursor;

fn sheet(name: &str) -> Range<Data> {
    let bytes = xlsx(&specimen::dossier(), &specimen::findings()).unwrap();
    let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    workbook.worksheet_range(name).unwrap()
}

/// Returns the cell of a row (from 1) under a heading.
#[track_caller]
fn cell(range: &Range<Data>, row: usize, heading: &str) -> Data {
    let at = range
        .rows()
        .next()
        .unwrap()
        .iter()
        .position(|c| *c == heading)
        .unwrap_or_else(|| panic!("no heading '{heading}'"));
    range.rows().nth(row).unwrap()[at].clone()
}

#[track_caller]
fn is_number(data: &Data, expected: f64) {
    let Data::Float(found) = data else {
        panic!("{data:?} is not a number")
    };
    assert!(
        (found - expected).abs() <= 1e-12 * expected.abs(),
        "{found} is not {expected}"
    );
}

#[test]
fn numbers_are_numbers_and_units_stand_in_the_headings() {
    let masses = sheet("Masses");
    is_number(&cell(&masses, 1, "As weighed / g"), 28.43);
    is_number(
        &cell(&masses, 1, "Adjusted, ± (95 %) / g"),
        1.959_963_984_540_054 * 0.0081,
    );
    assert_eq!(cell(&masses, 2, "As weighed / g"), Data::Empty);
    let cells = sheet("Cells");
    is_number(&cell(&cells, 1, "Capacity / mAh"), 1200.0);
    is_number(&cell(&cells, 1, "Energy / Wh"), 4.62);
    let steps = sheet("Steps");
    is_number(&cell(&steps, 1, "Temperature / °C"), 60.0);
    is_number(&cell(&steps, 1, "Duration / min"), 2.5);
    let readings = sheet("Readings");
    is_number(&cell(&readings, 1, "Value"), 28.43);
    assert_eq!(
        cell(&readings, 1, "As written"),
        Data::String("28.430 g".into())
    );
}

/// What a cell of the JSON is in the workbook: the same number to the last bit, a day, words.
#[track_caller]
fn is_same(written: &Value, found: &Data, kinds: &mut BTreeMap<String, usize>) {
    let kind = written["cell"].as_str().unwrap();
    *kinds.entry(kind.to_owned()).or_default() += 1;
    let number = match kind {
        "count" => written["count"].as_f64(),
        "number" | "quantity" => written["value"].as_f64(),
        "probability" => written["probability"].as_f64(),
        "date" if written["first"] == written["last"] => {
            let Data::DateTime(day) = found else {
                panic!("{found:?} is no day: {written}")
            };
            let (year, month, day, ..) = day.to_ymd_hms_milli();
            let day = format!("{year:04}-{month:02}-{day:02}");
            assert_eq!(written["first"], day.as_str());
            return;
        }
        "nothing" => {
            assert_eq!(*found, Data::Empty);
            return;
        }
        _ => {
            assert!(matches!(found, Data::String(_)), "{found:?}: {written}");
            return;
        }
    };
    let Data::Float(found) = found else {
        panic!("{found:?} is no number: {written}")
    };
    assert_eq!(Some(found.to_bits()), number.map(f64::to_bits), "{written}");
}

/// Every table of the demonstration's findings and one with every kind of cell.
#[test]
fn every_number_of_the_findings_is_that_number_in_the_workbook() {
    let mut kinds = BTreeMap::new();
    let real = support::lamp();
    let made = (specimen::dossier(), specimen::findings());
    for (dossier, findings) in [real, &made] {
        let bytes = xlsx(dossier, findings).unwrap();
        let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
        let sheet = workbook.worksheet_range("Tables").unwrap();
        let text = json(findings);
        let written: Value = serde_json::from_str(&text).unwrap();
        let mut next = 0;
        let mut tables = 0;
        for finding in written["findings"].as_array().unwrap() {
            for detail in finding["details"].as_array().unwrap() {
                if detail["detail"] != "table" {
                    continue;
                }
                // Charts have rows of their own in between.
                let caption = format!(
                    "{} {}",
                    finding["title"].as_str().unwrap(),
                    detail["caption"].as_str().unwrap()
                );
                let is_caption = |row: &[Data]| row[0] == Data::String(caption.clone());
                next += sheet.rows().skip(next).position(is_caption).unwrap() + 2;
                for row in detail["rows"].as_array().unwrap() {
                    let found = sheet.rows().nth(next).unwrap();
                    for (written, found) in row.as_array().unwrap().iter().zip(found) {
                        is_same(written, found, &mut kinds);
                    }
                    next += 1;
                }
                tables += 1;
            }
        }
        assert!(tables > 0);
    }
    let met: Vec<&str> = kinds.keys().map(String::as_str).collect();
    assert_eq!(
        met,
        [
            "count",
            "date",
            "list",
            "named",
            "nothing",
            "number",
            "place",
            "probability",
            "quantity",
            "verdict",
            "words"
        ]
    );
    for kind in ["count", "number", "probability", "quantity"] {
        assert!(kinds[kind] > 40, "{kinds:?}");
    }
}

/// Masses, steps and the chart of masses in the workbook are those of the findings.
#[test]
fn rows_and_charts_carry_the_numbers_of_the_findings() {
    let (dossier, findings) = support::lamp();
    let bytes = xlsx(dossier, findings).unwrap();
    let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    let mut sheet = |name: &str| workbook.worksheet_range(name).unwrap();
    let (masses, steps, tables) = (sheet("Masses"), sheet("Steps"), sheet("Tables"));
    let mut charted = 0;
    for detail in findings.findings.iter().flat_map(|f| &f.details) {
        match detail {
            Detail::Masses { rows } => {
                for (n, row) in (1..).zip(rows) {
                    let Some((mass, u)) = row.adjusted else {
                        continue;
                    };
                    is_number(&cell(&masses, n, "Adjusted / g"), mass);
                    is_number(
                        &cell(&masses, n, "Adjusted, ± (95 %) / g"),
                        1.959_963_984_540_054 * u,
                    );
                }
            }
            Detail::Steps { rows } => {
                for (n, row) in (1..).zip(rows) {
                    if let Cell::Count { count } = &row.fasteners {
                        is_number(&cell(&steps, n, "Fasteners undone"), *count as f64);
                    }
                    if let Cell::Quantity(heat) = &row.temperature {
                        assert_eq!(heat.unit.symbol(), "°C");
                        is_number(&cell(&steps, n, "Temperature / °C"), heat.value);
                    }
                }
            }
            Detail::Chart(chart) if chart.over.is_some() => {
                let captioned = |row: &[Data]| match &row[0] {
                    Data::String(text) => text.ends_with(&chart.caption),
                    _ => false,
                };
                // Behind the caption the headings, then the points of all series.
                let from = 2 + tables.rows().position(captioned).unwrap();
                let points = chart.series.iter().flat_map(|s| &s.points);
                for (point, row) in points.zip(tables.rows().skip(from)) {
                    is_number(&row[2], point.at.unwrap());
                    is_number(&row[3], point.value);
                    charted += 1;
                }
            }
            Detail::Chart(chart) => {
                let points = &chart.series[0].points;
                let told = |row: &[Data]| row[1] == Data::String(points[0].words.clone());
                let from = tables.rows().position(told).unwrap();
                for (point, row) in points.iter().zip(tables.rows().skip(from)) {
                    assert_eq!(row[1], Data::String(point.words.clone()));
                    is_number(&row[2], point.value);
                    is_number(&row[3], point.low.unwrap());
                    is_number(&row[4], point.high.unwrap());
                    charted += 1;
                }
            }
            _ => {}
        }
    }
    assert!(charted > 10);
}

#[test]
fn claims_stand_beside_their_verdicts() {
    let claims = sheet("Claims");
    assert_eq!(cell(&claims, 1, "Verdict"), Data::String("fails".into()));
    is_number(&cell(&claims, 1, "Probability that it is true"), 0.004);
    assert_eq!(
        cell(&claims, 1, "What to measure"),
        Data::String("weigh the sealed product".into())
    );
}

#[test]
fn text_that_looks_like_a_formula_stays_text() {
    let parts = sheet("Parts");
    assert_eq!(
        cell(&parts, 1, "Marking"),
        Data::String("=4411B / 07?".into())
    );
    let bytes = xlsx(&specimen::dossier(), &specimen::findings()).unwrap();
    let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    assert!(workbook.worksheet_formula("Parts").unwrap().is_empty());
}

#[allow(
    clippy::disallowed_methods,
    reason = "a stamp of the clock in the file would show after two seconds"
)]
#[test]
fn the_same_input_gives_the_same_bytes() {
    let make = || xlsx(&specimen::dossier(), &specimen::findings()).unwrap();
    let first = make();
    std::thread::sleep(std::time::Duration::from_millis(2100));
    assert_eq!(first, make());
}

#[test]
fn very_long_text_is_shortened_and_not_refused() {
    let mut findings = specimen::findings();
    findings.findings[5].sentence = "ä".repeat(40_000);
    let bytes = xlsx(&specimen::dossier(), &findings).unwrap();
    let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    let told = workbook.worksheet_range("Findings").unwrap();
    let longest = told
        .rows()
        .flatten()
        .map(|c| c.to_string())
        .max_by_key(|c| c.chars().count())
        .unwrap();
    // The format holds 32 767 characters in a cell (ECMA-376 as implemented by spreadsheets).
    let count = longest.chars().count();
    assert!((30_000..=32_767).contains(&count), "{count} characters");
    assert!(longest.starts_with("ää"));
    assert_eq!(told.rows().count(), findings.findings.len() + 1);
}

#[test]
fn the_parts_list_is_csv_without_formulas() {
    let text = parts_csv(&specimen::findings());
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    assert_eq!(reader.headers().unwrap().len(), 12);
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 2);
    assert_eq!(&rows[0][5], "'=4411B / 07?");
    // A lone dash calculates nothing.
    assert_eq!(&rows[1][5], "-");
    assert_eq!(&rows[0][3], "2");
    assert!(text.ends_with("\r\n"));
}

/// ECMA-376, part 1, 22.2.2.1 (Application).
#[test]
fn the_workbook_names_our_program_and_has_its_sheets() {
    use std::io::Read as _;
    let (dossier, findings) = support::lamp();
    let bytes = xlsx(dossier, findings).unwrap();
    let mut parts = zip::ZipArchive::new(Cursor::new(&bytes)).unwrap();
    let mut text = String::new();
    parts
        .by_name("docProps/app.xml")
        .unwrap()
        .read_to_string(&mut text)
        .unwrap();
    assert!(
        text.contains("<Application>Underlid</Application>"),
        "{text}"
    );
    let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    let names = workbook.sheet_names();
    for name in [
        "Claims", "Parts", "Power", "Cells", "Masses", "Sizes", "Steps", "Readings", "Open",
    ] {
        assert!(names.iter().any(|n| n == name), "{name} in {names:?}");
    }
    // Numbers of claims carry no residue of a conversion of units: at most 14 digits.
    let claims = workbook.worksheet_range("Claims").unwrap();
    let mut found = 0;
    for row in claims.rows().skip(1) {
        if let Data::Float(number) = row[8] {
            let short: f64 = format!("{number:.13e}").parse().unwrap();
            assert_eq!(number.to_bits(), short.to_bits());
            found += 1;
        }
    }
    assert!(found > 8, "{found}");
}
