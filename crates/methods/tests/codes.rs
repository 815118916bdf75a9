//! Date codes and check digits on the demonstration dossier and on changed copies of it: invented data
//! with answers worked out by hand.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "support/answers.rs"]
mod support;

use jiff::civil::{Date, date};
use methods::{Cell, Detail, Finding, Verdict, codes};
use record::{Dossier, Identifier};
use std::path::Path;
use support::answers;

/// The demonstration dossier without its label texts and identifiers, which have dates of their own.
fn bare() -> Dossier {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let mut dossier = store::open(&folder).expect("the demonstration dossier checks clean");
    dossier.product.labels.clear();
    dossier.product.identifiers.clear();
    dossier.product.made = None;
    dossier.product.bought = Some(date(2026, 9, 14));
    dossier.product.opened = date(2026, 10, 5);
    for item in &mut dossier.items {
        if let Some(part) = &mut item.part {
            part.marking.clear();
        }
    }
    dossier
}

/// Gives the first parts markings of two lines, the second a date code.
fn marked(codes: &[&str]) -> Dossier {
    let mut dossier = bare();
    let mut left = codes.iter();
    for item in &mut dossier.items {
        let Some(part) = &mut item.part else { continue };
        let Some(code) = left.next() else { break };
        part.marking = vec!["QXY".to_string(), (*code).to_string()];
    }
    assert!(left.next().is_none(), "not enough parts");
    dossier
}

#[track_caller]
fn named<'f>(findings: &'f [Finding], id: &str) -> &'f Finding {
    let found = findings.iter().find(|f| f.id.to_string() == id);
    found.unwrap_or_else(|| panic!("no {id} among {findings:#?}"))
}

fn rows(finding: &Finding) -> &Vec<Vec<Cell>> {
    match &finding.details[0] {
        Detail::Table(table) => &table.rows,
        other => panic!("{other:?}"),
    }
}

fn words(cell: &Cell) -> String {
    cell.printed()
}

#[test]
fn the_newest_code_bounds_the_day_of_assembly() {
    // Week 28 of 2026 is 6 to 12 July (ISO 8601), week 20 is 11 to 17 May.
    let findings = answers(codes::examine, &marked(&["2620", "2628B", "2624"]));
    let finding = named(&findings, "codes.assembly");
    assert!(
        finding.sentence.contains("on 6 July 2026 or later"),
        "{}",
        finding.sentence
    );
    assert_eq!(rows(finding).len(), 3);
    assert!(rows(finding)[0].contains(&Cell::words("2628B")));
    // Eight weeks from middle to middle; each code is a rectangle of six days from first to last day.
    let spread = &finding.figures[0];
    assert_eq!(spread.unit.symbol(), "wk");
    assert!((spread.value - 8.0).abs() < 1e-9, "{}", spread.text);
    let one_code = 6.0 / 7.0 / 12f64.sqrt();
    assert!((spread.standard_uncertainty - one_code * 2f64.sqrt()).abs() < 1e-9);
    assert!(
        spread.working.iter().any(|l| l.contains("age of")),
        "{:?}",
        spread.working
    );
    // From 9 July, the middle of the newest week, to 5 October: 88 days.
    assert!((finding.figures[1].value - 88.0 / 7.0).abs() < 1e-9);
    assert!(!finding.evidence.is_empty());
    assert_eq!(
        named(&findings, "codes.order").verdict,
        Some(Verdict::Holds)
    );
}

#[test]
fn an_old_part_is_the_odd_one_out() {
    let findings = answers(
        codes::examine,
        &marked(&["2620", "2622", "2624", "2628", "2301"]),
    );
    let finding = named(&findings, "codes.assembly");
    assert!(
        finding.sentence.contains("Odd one out: “2301”"),
        "{}",
        finding.sentence
    );
    assert!(
        finding
            .sentence
            .contains("older than the others by 177 weeks"),
        "{}",
        finding.sentence
    );
    assert!(finding.assumptions.iter().any(|a| a.contains("3.5")));
    let few = answers(codes::examine, &marked(&["2620", "2301"]));
    assert!(!named(&few, "codes.assembly").sentence.contains("Odd"));
}

#[test]
fn a_code_later_than_the_day_of_purchase_is_an_error_in_the_record() {
    // Week 38 of 2026 begins on 14 September, the day it was bought; week 39 a week later.
    let findings = answers(codes::examine, &marked(&["2620", "2638"]));
    assert_eq!(
        named(&findings, "codes.order").verdict,
        Some(Verdict::Holds)
    );
    let findings = answers(codes::examine, &marked(&["2620", "2639"]));
    let late = named(&findings, "codes.order");
    assert_eq!(late.verdict, Some(Verdict::Fails));
    assert!(
        late.sentence.contains("14 September 2026") && late.sentence.contains("2639"),
        "{}",
        late.sentence
    );
    assert!(late.about.is_some());
    // The bound is then made of the codes that can be.
    let mut dossier = marked(&["2620", "2645"]);
    dossier.product.bought = None;
    let findings = answers(codes::examine, &dossier);
    assert!(
        named(&findings, "codes.assembly")
            .sentence
            .contains("on 11 May 2026 or later")
    );
    assert!(named(&findings, "codes.order").sentence.contains("opened"));
}

#[test]
fn a_number_far_in_the_future_is_not_taken_for_a_date() {
    // Neither 2044 (which has no week 56) nor week 44 of 2056 can be.
    let findings = answers(codes::examine, &marked(&["2620", "4456"]));
    assert_eq!(
        named(&findings, "codes.order").verdict,
        Some(Verdict::Holds)
    );
    let unused = &named(&findings, "codes.assembly").unused;
    assert!(unused.iter().any(|u| u.contains("4456")), "{unused:?}");
    // 4412 is not week 12 of 2044, so it is week 44 of 2012.
    let findings = answers(codes::examine, &marked(&["4412"]));
    let finding = named(&findings, "codes.assembly");
    assert!(
        finding.sentence.contains("on 29 October 2012 or later"),
        "{}",
        finding.sentence
    );
}

#[test]
fn a_code_that_can_be_read_two_ways_says_so() {
    // As week and year 2412 is week 24 of 2012; as year and week it is week 12 of 2024. Counted from the
    // week with 1 January 2012, a Sunday, week 24 begins on 4 June.
    let findings = answers(codes::examine, &marked(&["2412"]));
    let finding = named(&findings, "codes.assembly");
    assert!(
        finding.sentence.contains("on 18 March 2024 or later"),
        "{}",
        finding.sentence
    );
    assert!(
        finding
            .sentence
            .contains("Whichever way the codes are read, it was 4 June 2012 or later")
    );
    let row = &rows(finding)[0];
    assert!(
        words(&row[3]).contains("24 is the year")
            && words(&row[4]).contains("the order week, year"),
        "{row:?}"
    );
}

#[test]
fn short_codes_are_told_but_not_used() {
    let findings = answers(codes::examine, &marked(&["R4"]));
    let finding = named(&findings, "codes.assembly");
    assert!(finding.sentence.starts_with("No date code can be used"));
    assert!(
        finding.unused.iter().any(|u| u.contains("R4")),
        "{:?}",
        finding.unused
    );
    assert!(answers(codes::examine, &bare()).is_empty());
}

fn identifier(kind: &str, text: &str) -> Identifier {
    Identifier {
        kind: kind.to_string(),
        text: text.to_string(),
        private: false,
        evidence: Vec::new(),
    }
}

#[test]
fn check_digits_are_tested() {
    // GS1 pages: 629104150021 has the check digit 3.
    let mut dossier = bare();
    dossier.product.identifiers = vec![identifier("GTIN", "6291041500213")];
    let findings = answers(codes::examine, &dossier);
    assert_eq!(
        named(&findings, "codes.numbers").verdict,
        Some(Verdict::Holds)
    );
    dossier
        .product
        .identifiers
        .push(identifier("IMEI", "26053179311383 8"));
    let findings = answers(codes::examine, &dossier);
    let wrong = named(&findings, "codes.numbers");
    assert_eq!(wrong.verdict, Some(Verdict::Fails));
    assert!(
        wrong.sentence.contains("8 should be 7"),
        "{}",
        wrong.sentence
    );
}

#[test]
fn lots_on_labels_count_and_serial_numbers_do_not() {
    let mut dossier = bare();
    dossier.product.identifiers = vec![
        identifier("serial number", "NC3-2631-004417"),
        identifier("lot", "2622"),
    ];
    let findings = answers(codes::examine, &dossier);
    let finding = named(&findings, "codes.assembly");
    assert_eq!(rows(finding).len(), 1);
    assert!(
        finding.sentence.contains("on 25 May 2026 or later"),
        "{}",
        finding.sentence
    );
    assert!(
        finding.unused.iter().any(|u| u.contains("2631")),
        "{:?}",
        finding.unused
    );
}

#[test]
fn the_recorded_day_of_manufacture_must_fit() {
    let made = |day: Date| {
        let mut dossier = marked(&["2622"]);
        dossier.product.made = Some(day);
        named(&answers(codes::examine, &dossier), "codes.made").clone()
    };
    assert_eq!(made(date(2026, 5, 25)).verdict, Some(Verdict::Holds));
    let early = made(date(2026, 5, 20));
    // As week and year the code means week 26 of 2022, so it does not fail for certain.
    assert_eq!(early.verdict, Some(Verdict::Undecided));
    assert!(
        early.sentence.contains("at least 5 days before it"),
        "{}",
        early.sentence
    );
}

#[test]
fn a_lot_older_than_a_part_inside_cannot_be() {
    let with_lot = |lot: &str| {
        let mut dossier = marked(&["2631"]);
        dossier.product.identifiers = vec![identifier("lot", lot)];
        answers(codes::examine, &dossier)
    };
    let findings = with_lot("2633");
    assert_eq!(named(&findings, "codes.made").verdict, Some(Verdict::Holds));
    let bound = &named(&findings, "codes.assembly").sentence;
    assert!(
        bound.contains("on 27 July 2026 or later") && bound.contains("own code: “2633”"),
        "{bound}"
    );
    // Week 27 of 2026 ends on 5 July, 22 days before week 31 begins; neither code has another reading.
    let early = with_lot("2627");
    let early = named(&early, "codes.made");
    assert_eq!(early.verdict, Some(Verdict::Fails));
    assert!(
        early.sentence.contains("at least 22 days before it"),
        "{}",
        early.sentence
    );
}

/// A recorded day and the product's own lot code disagree: the newest code of a part tells which is the slip.
#[test]
fn the_lot_on_the_product_settles_which_date_is_wrong() {
    let mut dossier = marked(&["2628B"]);
    dossier.product.made = Some(date(2026, 6, 29));
    let alone = answers(codes::examine, &dossier);
    let alone = &named(&alone, "codes.made").sentence;
    assert!(alone.contains("the part was replaced"), "{alone}");
    dossier.product.identifiers = vec![identifier("lot", "2631")];
    let settled = answers(codes::examine, &dossier);
    let settled = named(&settled, "codes.made");
    assert_eq!(settled.verdict, Some(Verdict::Fails));
    let said = &settled.sentence;
    assert!(!said.contains("replaced"), "{said}");
    assert!(
        said.contains("“2631”") && said.ends_with("so the earlier date is probably a slip."),
        "{said}"
    );
}

#[test]
fn the_demonstration_dossier_has_codes() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let findings = answers(codes::examine, &store::open(&folder).unwrap());
    let finding = named(&findings, "codes.assembly");
    assert!(rows(finding).len() >= 2, "{finding:#?}");
    assert!(finding.figures.iter().all(|f| f.value.is_finite()));
}
