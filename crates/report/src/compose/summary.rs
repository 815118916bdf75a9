//! Verdicts in words, what is still to measure, cautions of all findings.

use super::Page;
use crate::open::{counted, open};
use crate::{Block, RowMark, Section};
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
    let (mut blocks, mut working) = (Vec::new(), Vec::new());
    missing(page, &mut blocks);
    // What opening ends is told by the rows above.
    for finding in page.of(Method::Opening).filter(|f| is_ended(f)) {
        page.finding(finding, &mut working);
    }
    Section {
        id: "section-open".into(),
        title: "What could not be told".into(),
        blocks,
        working,
    }
}

/// Returns whether a finding says what opening ends of what is still to be measured.
pub(super) fn is_ended(finding: &Finding) -> bool {
    finding.method() == Method::Opening && finding.id.question.as_str() == "evidence"
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
pub(crate) fn short_verb(verdict: Verdict, count: usize) -> &'static str {
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
        crate::words::counted(judged.len(), "claim", "claims"),
        methods::words::listed(parts)
    )
}

/// Tells the measurements that would settle what is open: how many, then each in a row.
fn missing(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let all = open(page.dossier, page.findings);
    blocks.extend(counted(&all).map(Block::Paragraph));
    let rows = all.into_iter().map(|open| {
        let cells = vec![
            Cell::words(open.settles.join(" ")),
            Cell::words(methods::words::capital(&open.missing.measure)),
            Cell::text(open.missing.resolution.as_ref()),
            Cell::words(open.possible()),
        ];
        let mark = RowMark {
            link: Some(open.link),
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
        let carry = match steps.as_slice() {
            [one] => format!("Step {one} carries cautions of its own"),
            _ => format!("Steps {} carry cautions of their own", steps.join(", ")),
        };
        said.push(format!(
            "{carry}, printed at the step under Opening. Local rules and licensed practice come first."
        ));
    }
    said
}

/// Returns the number of a step, from 1.
pub(crate) fn step_number(dossier: &Dossier, step: &Place) -> Option<usize> {
    let mut steps = dossier.steps.iter();
    Some(steps.position(|s| Place::step(&s.id) == *step)? + 1)
}
