//! Versions of a report: what was corrected is said in every form; what is left out leaves no loose end.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use jiff::civil::{Date, date};
use methods::Verdict;
use report::{
    Edition, article, html, leave_out, mark_edition, may_be_left_out, published_json,
    read_published,
};
use std::collections::BTreeSet;

fn day(day: i8) -> Option<Date> {
    Some(date(2026, 3, day))
}

/// The second version of the lamp: one verdict and one figure were others before.
fn second() -> Edition {
    let (_, after) = support::lamp();
    let mut before = after.clone();
    let found = before.findings.iter_mut();
    let finding = found
        .into_iter()
        .find(|f| f.verdict == Some(Verdict::Fails) && !f.figures.is_empty());
    let finding = finding.unwrap();
    finding.verdict = Some(Verdict::Holds);
    finding.figures[0].figure.text = "12.3 g".into();
    let first = Edition::first(day(1));
    first.next(
        &before,
        after,
        day(9),
        Some("The scale was read wrongly".into()),
    )
}

#[test]
fn a_first_version_says_so() {
    let mut document = support::document().clone();
    let edition = Edition::first(day(1));
    assert_eq!(edition.sentence(), "Version 1 of 1 March 2026.");
    let sections = document.sections.len();
    mark_edition(&mut document, &edition);
    assert_eq!(document.sections.len(), sections);
    assert!(html(&document).contains("Version 1 of 1 March 2026."));
}

#[test]
fn a_second_version_says_what_was_corrected_in_every_form() {
    let edition = second();
    let said = "Version 2 of 9 March 2026; corrections since version 1 of 1 March 2026: \
                1 verdict and 1 figure. Reason: The scale was read wrongly.";
    assert_eq!(edition.sentence(), said);
    assert_eq!(edition.corrections.len(), 2);
    let verdict = &edition.corrections[0];
    assert_eq!(
        (verdict.was.as_deref(), verdict.now.as_deref()),
        (Some("holds"), Some("fails"))
    );
    let figure = &edition.corrections[1];
    assert_eq!(figure.was.as_deref(), Some("12.3 g"));
    assert_eq!(figure.finding, verdict.finding);

    let mut document = support::document().clone();
    mark_edition(&mut document, &edition);
    let page = html(&document);
    assert!(page.contains(said));
    assert!(page.contains("What was corrected since version 1"));
    // Figures stay with their units.
    assert!(page.contains("12.3\u{a0}g"));
    let text = article(&document).text;
    assert!(
        text.contains("What was corrected since version 1"),
        "{text}"
    );
    assert!(text.contains("verdict was holds, is now fails."), "{text}");
    assert!(loose_ends(&page).is_empty());
    // The old value is struck where it stood and in the list, in words that are heard as well.
    let struck = "verdict was <del>holds</del>, is now <ins>fails</ins>";
    assert!(page.contains(struck), "{page}");
    assert!(page.contains("<b>Corrected in version 2 of 9 March 2026:</b>"));
    assert!(page.contains("Reason: The scale was read wrongly.</p>"));
    assert_eq!(page.matches("<del>12.3\u{a0}g</del>").count(), 2);
    assert!(text.contains(said), "{text}");

    let findings = &support::lamp().1;
    let text = published_json(findings, Some(&edition));
    let (back, of) = read_published(&text).unwrap();
    assert_eq!((&back, of.as_ref()), (findings, Some(&edition)));
}

#[test]
fn earlier_corrections_stay_told() {
    let (_, findings) = support::lamp();
    let third = second().next(findings, findings, day(20), Some("New words".into()));
    assert!(third.corrections.is_empty());
    let kept = &third.before[0];
    assert_eq!(
        (kept.version, kept.date, kept.corrections.len()),
        (2, day(9), 2)
    );
    let mut document = support::document().clone();
    mark_edition(&mut document, &third);
    let page = html(&document);
    assert!(page.contains("Corrections of version 2 of 9 March 2026"));
    assert!(page.contains("Version 2. Reason: The scale was read wrongly."));
    assert!(page.contains("<del>holds</del>"));
    let text = published_json(findings, Some(&third));
    assert_eq!(read_published(&text).unwrap().1, Some(third));
    // What was written before versions told of earlier ones is read.
    let old = published_json(findings, Some(&second()));
    let mut old: serde_json::Value = serde_json::from_str(&old).unwrap();
    old["edition"].as_object_mut().unwrap().remove("before");
    assert_eq!(read_published(&old.to_string()).unwrap().1, Some(second()));
}

#[test]
fn nothing_moved_is_said_too() {
    let (_, findings) = support::lamp();
    let edition = second().next(findings, findings, day(20), None);
    let said = "Version 3 of 20 March 2026; no verdict and no figure is another than in version 2.";
    assert_eq!(edition.sentence(), said);
}

#[test]
fn any_section_can_be_left_out_and_nothing_leads_there() {
    let document = support::document();
    let mut left = 0;
    for section in &document.sections {
        let mut without = document.clone();
        leave_out(&mut without, &BTreeSet::from([section.id.clone()]));
        if !may_be_left_out(&section.id) {
            assert_eq!(without, *document);
            continue;
        }
        left += 1;
        let page = html(&without);
        assert!(!page.contains(&format!("id=\"{}\"", section.id)));
        assert!(page.contains("Left out of this report by its publisher"));
        assert_eq!(loose_ends(&page), BTreeSet::new(), "{}", section.id);
    }
    assert!(left > 5, "{left}");
}

/// Links within a page that lead nowhere.
fn loose_ends(page: &str) -> BTreeSet<String> {
    let values = |name: &str| -> BTreeSet<String> {
        let parts = page.split(name).skip(1);
        parts
            .map(|rest| rest.split('"').next().unwrap().to_string())
            .collect()
    };
    let ids = values(" id=\"");
    values(" href=\"#")
        .into_iter()
        .filter(|link| !ids.contains(link))
        .collect()
}
