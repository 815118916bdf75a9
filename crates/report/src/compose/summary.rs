//! Summary: verdicts at a glance, what is still to measure, cautions.

use super::{Page, text};
use crate::words::{Words as _, counted, percent};
use crate::{Block, RowMark, Section, anchor, finding_anchor, svg, verdict_words};
use methods::{Finding, Verdict};

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let judged: Vec<&Finding> = page
        .findings
        .findings
        .iter()
        .filter(|f| f.verdict.is_some())
        .collect();
    if judged.is_empty() {
        blocks.push(Block::Paragraph("No claim has been judged.".into()));
    } else {
        blocks.push(Block::Paragraph(tally(&judged)));
        verdicts(page, &judged, &mut blocks);
    }
    contradictions(page, &mut blocks);
    missing(page, &mut blocks);
    cautions(page, &mut blocks);
    Section {
        id: "section-summary".into(),
        title: "Summary".into(),
        blocks,
    }
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

/// Says the counts as a sentence.
fn tally(judged: &[&Finding]) -> String {
    let parts: Vec<String> = counts(judged)
        .iter()
        .filter(|(_, n)| *n > 0)
        .map(|(verdict, n)| match (verdict, n) {
            (Verdict::Holds, 1) => "1 holds".into(),
            (Verdict::Holds, n) => format!("{n} hold"),
            (Verdict::Fails, 1) => "1 fails".into(),
            (Verdict::Fails, n) => format!("{n} fail"),
            (Verdict::Undecided, 1) => "1 stays undecided".into(),
            (Verdict::Undecided, n) => format!("{n} stay undecided"),
            (Verdict::NeedsEvidence, 1) => "1 needs evidence".into(),
            (Verdict::NeedsEvidence, n) => format!("{n} need evidence"),
        })
        .collect();
    let statements = counted(
        judged.len(),
        "statement was judged",
        "statements were judged",
    );
    format!("{statements}: {}.", parts.join(", "))
}

/// Draws the strip of verdicts and the table it numbers.
fn verdicts(page: &mut Page<'_>, judged: &[&Finding], blocks: &mut Vec<Block>) {
    let marks: Vec<Verdict> = judged.iter().filter_map(|f| f.verdict).collect();
    let id = page.anchor("drawing-verdicts".into());
    let alternative = format!("Verdicts by number. {}", tally(judged));
    blocks.push(Block::Drawing {
        id,
        caption: "Verdicts at a glance; the numbers are those of the table below.".into(),
        svg: svg::verdicts(&marks, &alternative),
        alternative,
    });
    let mut rows = Vec::new();
    for (i, finding) in judged.iter().enumerate() {
        let claim = finding
            .about
            .as_deref()
            .and_then(|id| page.dossier.claim(id));
        let statement = claim.map_or_else(|| finding.title.clone(), |c| format!("“{}”", c.text));
        rows.push((
            vec![
                (i + 1).to_string(),
                statement,
                text(claim.map(|c| c.kind.words()).as_ref()),
                finding
                    .verdict
                    .map(|v| verdict_words(v).to_string())
                    .unwrap_or_default(),
                finding.conformance.map(percent).unwrap_or_default(),
            ],
            RowMark {
                link: Some(finding_anchor(&finding.id)),
                verdict: finding.verdict,
                ..RowMark::default()
            },
        ));
    }
    page.table(
        "verdicts",
        "Verdicts, and how probable it is that the statement is true",
        &[
            ("No.", true),
            ("Statement", false),
            ("Kind", false),
            ("Verdict", false),
            ("Probability", true),
        ],
        rows,
        blocks,
    );
}

/// Says first what fails.
fn contradictions(page: &Page<'_>, blocks: &mut Vec<Block>) {
    let failing: Vec<String> = page
        .findings
        .findings
        .iter()
        .filter(|f| f.verdict == Some(Verdict::Fails))
        .map(|f| f.sentence.clone())
        .collect();
    if !failing.is_empty() {
        blocks.push(Block::Heading("What does not hold".into()));
        blocks.push(Block::List(failing));
    }
}

/// Lists the measurements that would settle what is open.
fn missing(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows: Vec<(Vec<String>, RowMark)> = Vec::new();
    for finding in &page.findings.findings {
        for missing in &finding.missing {
            let before = match (missing.too_late, &missing.before_step) {
                (true, _) => "too late for this piece".into(),
                (false, Some(step)) => {
                    let number = page.dossier.steps.iter().position(|s| s.id == *step);
                    number.map_or_else(|| step.clone(), |n| format!("before step {}", n + 1))
                }
                (false, None) => "at any time".into(),
            };
            let settles = finding
                .about
                .as_deref()
                .and_then(|id| page.dossier.claim(id))
                .map_or_else(|| finding.title.clone(), |c| format!("“{}”", c.text));
            let row = vec![
                missing.measure.clone(),
                text(missing.resolution.as_ref()),
                before,
                settles,
            ];
            if rows.iter().any(|(cells, _)| *cells == row) {
                continue;
            }
            let link = Some(anchor("finding", &finding.id));
            rows.push((
                row,
                RowMark {
                    link,
                    ..RowMark::default()
                },
            ));
        }
    }
    if !rows.is_empty() {
        blocks.push(Block::Heading("What to measure next".into()));
    }
    page.table(
        "missing",
        "Evidence that is missing",
        &[
            ("Measure", false),
            ("With", false),
            ("When", false),
            ("Settles", false),
        ],
        rows,
        blocks,
    );
}

/// Repeats every caution once.
fn cautions(page: &Page<'_>, blocks: &mut Vec<Block>) {
    let mut said: Vec<&String> = Vec::new();
    for caution in page.findings.findings.iter().flat_map(|f| &f.cautions) {
        if !said.contains(&caution) {
            said.push(caution);
        }
    }
    if !said.is_empty() {
        blocks.push(Block::Heading("Cautions".into()));
        blocks.extend(said.into_iter().map(|c| Block::Caution(c.clone())));
    }
}
