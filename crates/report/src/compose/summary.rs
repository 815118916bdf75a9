//! Summary: verdicts at a glance, what is still to measure, cautions.

use super::Page;
use crate::words::{Words as _, counted};
use crate::{Block, RowMark, Section, finding_anchor, place_words, svg};
use methods::{Cell, Column, Detail, Finding, Findings, Method, Verdict};
use record::{Dossier, Place};

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let (claims, checks) = judged(page.findings);
    if claims.is_empty() {
        blocks.push(Block::Paragraph("No claim has been judged.".into()));
    } else {
        let words = ["claim was", "claims were"];
        blocks.push(Block::Paragraph(tally(&claims, words)));
        verdicts(page, &claims, &mut blocks);
    }
    if !checks.is_empty() {
        let words = ["further question was", "further questions were"];
        blocks.push(Block::Paragraph(tally(&checks, words)));
        self::checks(page, &checks, &mut blocks);
    }
    contradictions(page, &mut blocks);
    missing(page, &mut blocks);
    let cautions = cautions(page.findings);
    if !cautions.is_empty() {
        blocks.push(Block::Heading("Cautions".into()));
        blocks.extend(cautions.into_iter().map(Block::Caution));
    }
    Section {
        id: "section-summary".into(),
        title: "Summary".into(),
        blocks,
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

/// Says the counts as a sentence.
fn tally(judged: &[&Finding], [one, many]: [&str; 2]) -> String {
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
    format!(
        "{} judged: {}.",
        counted(judged.len(), one, many),
        parts.join(", ")
    )
}

/// Draws the strip of verdicts and the table it numbers.
fn verdicts(page: &mut Page<'_>, judged: &[&Finding], blocks: &mut Vec<Block>) {
    let marks: Vec<Verdict> = judged.iter().filter_map(|f| f.verdict).collect();
    let id = page.anchor("drawing-verdicts".into());
    let alternative = format!(
        "Verdicts on claims by number. {}",
        tally(judged, ["claim was", "claims were"])
    );
    blocks.push(Block::Drawing {
        id,
        caption: "Verdicts at a glance; the numbers are those of the table below.".into(),
        svg: svg::verdicts(&marks, &alternative),
        alternative,
    });
    let mut rows = Vec::new();
    for (i, finding) in judged.iter().enumerate() {
        let claim = finding.claim(page.dossier);
        let statement = claim.map_or_else(|| finding.title.clone(), |c| format!("“{}”", c.text));
        rows.push((
            vec![
                Cell::count(i + 1),
                Cell::words(statement),
                Cell::text(claim.map(|c| c.kind.words()).as_ref()),
                finding.verdict.map_or(Cell::Nothing, Cell::verdict),
                finding.conformance.map_or(Cell::Nothing, Cell::probability),
            ],
            RowMark {
                link: Some(finding_anchor(&finding.id)),
                ..RowMark::default()
            },
        ));
    }
    page.table(
        "verdicts",
        "Verdicts on claims, and how probable it is that each is true",
        vec![
            Column::count("No."),
            Column::words("Claim"),
            Column::words("Kind"),
            Column::verdict("Verdict"),
            Column::probability("Probability"),
        ],
        rows,
        blocks,
    );
}

/// Lists what else was judged: weights that agree, arithmetic of labels, margins.
fn checks(page: &mut Page<'_>, checks: &[&Finding], blocks: &mut Vec<Block>) {
    let rows = checks
        .iter()
        .map(|finding| {
            let verdict = finding.verdict.map_or(Cell::Nothing, Cell::verdict);
            (
                vec![Cell::words(&finding.title), verdict],
                RowMark {
                    link: Some(finding_anchor(&finding.id)),
                    ..RowMark::default()
                },
            )
        })
        .collect();
    let columns = vec![Column::words("Question"), Column::verdict("Verdict")];
    page.table(
        "checks",
        "Checks of the record itself",
        columns,
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
    let mut rows: Vec<(Vec<Cell>, RowMark)> = Vec::new();
    let mut urgency: Vec<u8> = Vec::new();
    for finding in &page.findings.findings {
        for missing in &finding.missing {
            let before = match (missing.too_late, &missing.before_step) {
                (true, _) => "too late for this piece".into(),
                (false, Some(step)) => {
                    let number = step_number(page.dossier, step);
                    number.map_or_else(|| place_words(step), |n| format!("before step {n}"))
                }
                (false, None) => "at any time".into(),
            };
            let settles = finding
                .claim(page.dossier)
                .map_or_else(|| finding.title.clone(), |c| format!("“{}”", c.text));
            let row = vec![
                Cell::words(settles),
                Cell::words(&missing.measure),
                Cell::text(missing.resolution.as_ref()),
                Cell::words(before),
            ];
            if rows.iter().any(|(cells, _)| *cells == row) {
                continue;
            }
            let link = Some(finding_anchor(&finding.id));
            urgency.push(match (missing.too_late, &missing.before_step) {
                (false, Some(_)) => 0,
                (false, None) => 1,
                (true, _) => 2,
            });
            rows.push((
                row,
                RowMark {
                    link,
                    ..RowMark::default()
                },
            ));
        }
    }
    // What cannot wait stands first.
    let mut ranked: Vec<_> = urgency.into_iter().zip(rows).collect();
    ranked.sort_by_key(|(urgency, _)| *urgency);
    let rows: Vec<_> = ranked.into_iter().map(|(_, row)| row).collect();
    if !rows.is_empty() {
        blocks.push(Block::Heading("What to measure next".into()));
    }
    page.table(
        "missing",
        "Evidence that is missing",
        vec![
            Column::words("Settles"),
            Column::words("Measure"),
            Column::words("With"),
            Column::words("When"),
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
