//! The terminal summary.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

mod sample;

use report::{Style, terminal};
use unicode_width::UnicodeWidthStr as _;

fn summary(colour: bool, width: usize) -> String {
    terminal(
        &sample::dossier(),
        &sample::findings(),
        Style { colour, width },
    )
}

#[test]
fn lines_keep_to_the_width() {
    for width in [40, 60, 80, 100] {
        for line in summary(false, width).lines() {
            assert!(line.width() <= width, "{width}: {line}");
        }
    }
}

#[test]
fn colour_codes_appear_only_if_asked_for() {
    assert!(!summary(false, 80).contains('\u{1b}'));
    let coloured = summary(true, 80);
    assert!(coloured.contains("\u{1b}[1;31m"));
    let mut plain = String::new();
    let mut parts = coloured.split('\u{1b}');
    plain.push_str(parts.next().unwrap());
    for part in parts {
        plain.push_str(part.split_once('m').unwrap().1);
    }
    assert_eq!(plain, summary(false, 80));
}

#[test]
fn verdicts_stand_in_aligned_columns() {
    let text = summary(false, 80);
    assert!(
        text.contains("Claims: 1 holds · 1 fails · 1 undecided · 1 needs evidence"),
        "{text}"
    );
    let starts: Vec<usize> = text
        .lines()
        .filter(|l| l.contains('“') && l.starts_with("  "))
        .map(|l| l[..l.find('“').unwrap()].width())
        .collect();
    assert_eq!(starts, [28, 28, 28, 28]);
    assert!(text.contains("spray test, 10 min (before step 1)"));
    assert!(text.contains("! Do not pierce the cell"));
}
