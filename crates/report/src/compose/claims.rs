//! Claims: what the maker printed, what the evidence says.

use super::{Page, evidence_of, text};
use crate::words::{Words as _, percent};
use crate::{Block, RowMark, Section, finding_anchor, svg, verdict_words};
use methods::{Finding, Method};
use record::Claim;
use record::Place;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    printed(page, &mut blocks);
    against(page, &mut blocks);
    page.section(methods::Section::Claims, &mut blocks);
    Section {
        id: "section-claims".into(),
        title: "Claims".into(),
        blocks,
    }
}

/// Returns the finding that judges a claim.
fn judgement<'a>(page: &Page<'a>, claim: &Claim) -> Option<&'a Finding> {
    page.of(Method::Claims)
        .find(|f| f.about == Some(Place::claim(&claim.id)))
}

fn printed(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for claim in &page.dossier.claims {
        let finding = judgement(page, claim);
        let mut figure: Vec<String> = Vec::new();
        figure.extend(claim.value.as_ref().map(ToString::to_string));
        figure.extend(claim.rating.as_ref().map(ToString::to_string));
        figure.extend(claim.names.clone());
        figure.extend(claim.after.as_ref().map(|a| format!("after {a}")));
        let about = [
            claim.says.item.as_deref().map(|id| page.item_name(id)),
            claim.says.mode.clone(),
            claim.says.dimension.clone(),
        ];
        rows.push((
            vec![
                format!("“{}”", claim.text),
                claim.printed.clone(),
                claim.kind.words().into(),
                about.into_iter().flatten().collect::<Vec<_>>().join(", "),
                figure.join(", "),
                text(claim.tolerance.as_ref()),
                text(finding.and_then(|f| f.verdict).map(verdict_words).as_ref()),
            ],
            RowMark {
                anchor: page.entry(&Place::claim(&claim.id)),
                link: finding.map(|f| finding_anchor(&f.id)),
                verdict: finding.and_then(|f| f.verdict),
                evidence: evidence_of(&claim.evidence),
            },
        ));
    }
    let columns = [
        ("Claim, verbatim", false),
        ("Printed", false),
        ("Kind", false),
        ("About", false),
        ("Says", false),
        ("Tolerance", false),
        ("Verdict", false),
    ];
    page.table("claims", "Claims as printed", &columns, rows, blocks);
}

/// Draws found intervals against printed figures, both as a share of the printed figure.
fn against(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let rows: Vec<svg::AgainstRow> = page
        .dossier
        .claims
        .iter()
        .filter_map(|c| against_row(c, judgement(page, c)?))
        .collect();
    if rows.is_empty() {
        return;
    }
    let alternative = rows
        .iter()
        .map(|r| {
            format!(
                "{}: found {}, printed {}.",
                r.label, r.found_text, r.printed_text
            )
        })
        .collect::<Vec<_>>()
        .join(" ");
    let id = page.anchor("drawing-against".into());
    blocks.push(Block::Drawing {
        id,
        caption: "What was found, with its 95 % interval, as a share of the printed figure.".into(),
        svg: svg::against(&rows, &alternative),
        alternative,
    });
}

fn against_row(claim: &Claim, finding: &Finding) -> Option<svg::AgainstRow> {
    let stated = claim.value.as_ref()?;
    let verdict = finding.verdict?;
    let figure = finding
        .figures
        .iter()
        .find(|f| f.unit.dimension() == stated.dimension())?;
    let printed = stated.si();
    let share = |value: f64| figure.unit.to_si(value) / printed;
    let row = svg::AgainstRow {
        label: claim.text.clone(),
        verdict,
        low: share(figure.interval.low),
        value: share(figure.value),
        high: share(figure.interval.high),
        found_text: figure.text.clone(),
        printed_text: stated.to_string(),
        probability: finding.conformance.map(percent).unwrap_or_default(),
    };
    (printed > 0.0 && [row.low, row.value, row.high].iter().all(|x| x.is_finite())).then_some(row)
}
