//! The workbook and the parts list, read back.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod specimen;

use calamine::{Data, Range, Reader, Xlsx};
use report::{parts_csv, xlsx};
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
        &cell(&masses, 1, "Adjusted, standard uncertainty / g"),
        0.0081,
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
        cell(&readings, 1, "Unit of value"),
        Data::String("g".into())
    );
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
    assert_eq!(reader.headers().unwrap().len(), 14);
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 2);
    assert_eq!(&rows[0][6], "'=4411B / 07?");
    // A lone dash calculates nothing.
    assert_eq!(&rows[1][6], "-");
    assert_eq!(&rows[0][4], "2");
    assert!(text.ends_with("\r\n"));
}
