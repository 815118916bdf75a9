//! Verdicts in words, what is still to measure, cautions of all findings.

use super::Page;
use crate::words::counted;
use crate::{Block, RowMark, Section, finding_anchor, place_words};
use methods::{Cell, Column, Detail, Finding, Findings, Method, Verdict};
use record::{Dossier, Place};

/// The order in which verdicts are told: what fails first.
pub(super) const ORDER: [Verdict; 4] = [
    Verdict::Fails,
    Verdict::Undecided,
    Verdict::NeedsEvidence,
    Verdict::Holds,
];

/// What could not be told, and what would settle it.
pub(super) fn open_questions(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    missing(page, &mut blocks);
    Section {
        id: "section-open".into(),
        title: "What could not be told".into(),
        blocks,
        working: Vec::new(),
    }
}

/// Returns the findings with a verdict: those on claims, then the others.
pub(crate) fn judged(findings: &Findings) -> (Vec<&Finding>, Vec<&Finding>) {
    let with_verdict = findings.findings.iter().filter(|f| f.verdict.is_some());
    with_verdict.partition(|f| f.method() == Method::Claims)
}

/// Counts verdicts in the order in which they are always shown.
pub(crate) fn counts(findings: &[&Finding]) -> [(Verdict, usize); 4] {
    [
        Verdict::Holds,
        Verdict::Fails,
        Verdict::Undecided,
        Verdict::NeedsEvidence,
    ]
    .map(|v| (v, findings.iter().filter(|f| f.verdict == Some(v)).count()))
}

/// Returns the verb of so many claims with a verdict.
pub(super) fn verb(verdict: Verdict, count: usize) -> &'static str {
    match (verdict, count) {
        (Verdict::Holds, 1) => "holds",
        (Verdict::Holds, _) => "hold",
        (Verdict::Fails, 1) => "fails",
        (Verdict::Fails, _) => "fail",
        (Verdict::Undecided, 1) => "stays undecided",
        (Verdict::Undecided, _) => "stay undecided",
        (Verdict::NeedsEvidence, 1) => "needs evidence",
        (Verdict::NeedsEvidence, _) => "need evidence",
    }
}

/// Returns the verb of so many claims with a verdict, as short as it gets.
pub(super) fn short_verb(verdict: Verdict, count: usize) -> &'static str {
    match (verdict, count) {
        (Verdict::Undecided, _) => "undecided",
        (Verdict::NeedsEvidence, 1) => "needs evidence",
        (Verdict::NeedsEvidence, _) => "need evidence",
        (verdict, count) => verb(verdict, count),
    }
}

/// Says how the printed claims came out.
pub(super) fn tally(judged: &[&Finding]) -> String {
    let counts = ORDER.map(|v| (v, judged.iter().filter(|f| f.verdict == Some(v)).count()));
    let parts = counts.iter().filter(|(_, n)| *n > 0);
    let parts: Vec<String> = parts
        .map(|(v, n)| format!("{} {}", methods::words::spelt(*n), verb(*v, *n)))
        .collect();
    format!(
        "The maker prints {}: {}.",
        counted(judged.len(), "claim", "claims"),
        methods::words::listed(parts)
    )
}

/// A measurement and all that it would settle.
struct Open<'a> {
    settles: Vec<String>,
    missing: &'a methods::Missing,
    link: String,
}

/// Lists the measurements that would settle what is open, each once.
fn missing(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows: Vec<Open> = Vec::new();
    for finding in &page.findings.findings {
        for missing in &finding.missing {
            // A claim that says itself what it needs is told by that.
            let claim = missing.settles.as_ref();
            let own = claim.and_then(|claim| {
                let mut all = page.findings.findings.iter();
                all.find(|f| f.about.as_ref() == Some(claim))
            });
            if own.is_some_and(|own| !own.missing.is_empty()) {
                continue;
            }
            let settles = own
                .unwrap_or(finding)
                .claim(page.dossier)
                .map_or_else(|| finding.title.clone(), |c| format!("“{}”", c.text));
            let known = rows.iter_mut().find(|row| {
                row.missing.measure == missing.measure
                    && row.missing.before_step == missing.before_step
                    && row.missing.resolution == missing.resolution
            });
            match known {
                Some(row) if row.settles.contains(&settles) => {}
                Some(row) => row.settles.push(settles),
                None => rows.push(Open {
                    settles: vec![settles],
                    missing,
                    link: finding_anchor(&finding.id),
                }),
            }
        }
    }
    // What cannot wait stands first.
    rows.sort_by_key(
        |row| match (row.missing.too_late, &row.missing.before_step) {
            (false, Some(_)) => 0,
            (false, None) => 1,
            (true, _) => 2,
        },
    );
    let rows = rows.into_iter().map(|row| {
        let before = match (row.missing.too_late, &row.missing.before_step) {
            (true, _) => "not on this sample any more".into(),
            (false, Some(step)) => {
                let number = step_number(page.dossier, step);
                number.map_or_else(|| place_words(step), |n| format!("before step {n}"))
            }
            (false, None) => "at any time".into(),
        };
        let cells = vec![
            Cell::words(row.settles.join(" ")),
            Cell::words(methods::words::capital(&row.missing.measure)),
            Cell::text(row.missing.resolution.as_ref()),
            Cell::words(before),
        ];
        let mark = RowMark {
            link: Some(row.link),
            ..RowMark::default()
        };
        (cells, mark)
    });
    let rows = rows.collect();
    page.table(
        "missing",
        "What would settle the open questions",
        vec![
            Column::words("Open question"),
            Column::words("What would settle it"),
            Column::words("How fine"),
            Column::words("Still possible?"),
        ],
        rows,
        blocks,
    );
}

/// Returns every caution once. Those of single steps stand at the steps; here they are counted.
pub(crate) fn cautions(findings: &Findings) -> Vec<String> {
    let mut steps: Vec<String> = Vec::new();
    for detail in findings.findings.iter().flat_map(|f| &f.details) {
        if let Detail::Steps { rows } = detail {
            let careful = rows.iter().filter(|r| !r.cautions.is_empty());
            steps.extend(careful.map(|r| r.number.to_string()));
        }
    }
    let mut said: Vec<String> = Vec::new();
    for finding in &findings.findings {
        if finding.method() == Method::Opening && !steps.is_empty() {
            continue;
        }
        for caution in &finding.cautions {
            if !said.contains(caution) {
                said.push(caution.clone());
            }
        }
    }
    if !steps.is_empty() {
        said.push(format!(
            "Steps {} carry cautions of their own, printed at the step under Opening. Local rules \
             and licensed practice come first.",
            steps.join(", ")
        ));
    }
    said
}

/// Returns the number of a step, from 1.
pub(crate) fn step_number(dossier: &Dossier, step: &Place) -> Option<usize> {
    let mut steps = dossier.steps.iter();
    Some(steps.position(|s| Place::step(&s.id) == *step)? + 1)
}
