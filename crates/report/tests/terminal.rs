//! The terminal summary.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

mod support;

use methods::{Method, Verdict};
use report::{Marked, Tone, terminal};
use unicode_width::UnicodeWidthStr as _;

fn marked(width: usize) -> Marked {
    terminal(&support::lamp().0, &support::lamp().1, width)
}

fn summary(width: usize) -> String {
    marked(width).to_string()
}

#[test]
fn lines_keep_to_the_width() {
    for width in [40, 60, 80, 100] {
        for line in summary(width).lines() {
            assert!(line.width() <= width, "{width}: {line}");
        }
    }
}

#[test]
fn what_fails_is_marked_and_no_colour_is_in_the_text() {
    assert!(!summary(80).contains('\u{1b}'));
    let marked = marked(80);
    let fails = marked.spans().find(|(_, text)| text.starts_with("x fails"));
    assert_eq!(fails.unwrap().0, Tone::Accent);
}

#[test]
fn verdicts_stand_in_aligned_columns() {
    let text = summary(80);
    let (dossier, findings) = support::lamp();
    let claims = findings
        .findings
        .iter()
        .filter(|f| f.method() == Method::Claims);
    let claims: Vec<_> = claims.filter_map(|f| f.verdict).collect();
    let count = |verdict| claims.iter().filter(|v| **v == verdict).count();
    let tally = format!(
        "Claims: {} hold · {} fail · {} undecided · {} need evidence",
        count(Verdict::Holds),
        count(Verdict::Fails),
        count(Verdict::Undecided),
        count(Verdict::NeedsEvidence)
    );
    assert!(text.contains(&tally), "{tally} is missing in\n{text}");
    let starts: Vec<usize> = text
        .lines()
        .filter(|l| {
            let word: String = l.trim_start().chars().skip(2).collect();
            let verdicts = ["holds", "fails", "undecided", "needs evidence"];
            l.contains('“') && verdicts.iter().any(|v| word.starts_with(v))
        })
        .map(|l| l[..l.find('“').unwrap()].width())
        .collect();
    assert_eq!(starts, vec![28; dossier.claims.len()]);
    assert!(text.contains("(before step ") || text.contains("(not on this sample any more)"));
    assert!(text.contains("! Steps 4, 5, "), "{text}");
}

#[test]
fn a_number_stays_with_its_unit_where_the_writer_glued_them() {
    let (dossier, mut findings) = support::lamp().clone();
    let judged = findings
        .findings
        .iter_mut()
        .find(|f| f.method() == Method::Claims && f.verdict == Some(Verdict::Fails));
    judged.unwrap().sentence =
        "word ".repeat(9) + "41.13\u{a0}g and on, Donau" + &"dampf".repeat(30);
    let text = terminal(&dossier, &findings, 80).to_string();
    assert!(text.contains("41.13\u{a0}g"), "{text}");
    assert!(text.lines().all(|l| l.width() <= 80), "{text}");
}
