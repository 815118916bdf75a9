//! The terminal summary.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

mod sample;

use report::{Marked, Tone, terminal};
use unicode_width::UnicodeWidthStr as _;

fn marked(width: usize) -> Marked {
    terminal(&sample::dossier(), &sample::findings(), width)
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
