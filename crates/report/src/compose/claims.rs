//! Claims: what the maker printed beside what was found.

use super::{Page, evidence_of, stated, summary};
use crate::words::Words as _;
use crate::{
    Block, ClaimGroup, ClaimRow, ClaimTable, Photographs, RowMark, Section, finding_anchor, svg,
};
use methods::words::{likely, likely_to, spelt_start};
use methods::{
    Between, Cell, Column, Finding, Findings, Judgement, Limits, Margin, Method, QuantityValue,
    Verdict,
};
use quantity::{GAP, digits};
use record::{Claim, Dossier, Place};
use std::collections::BTreeSet;
use std::sync::LazyLock;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let judged: Vec<Judged<'_>> = judged(page);
    if judged.is_empty() {
        blocks.push(Block::Paragraph("No printed claim is on record.".into()));
    } else {
        let findings: Vec<&Finding> = judged.iter().map(|j| j.finding).collect();
        blocks.push(Block::Paragraph(summary::tally(&findings)));
        plot(page, &judged, &mut blocks);
        blocks.push(table(page, &judged));
    }
    as_recorded(page, &mut working);
    page.section(methods::Section::Claims, &mut working);
    Section {
        id: "section-claims".into(),
        title: "Do the printed claims hold?".into(),
        blocks,
        working,
    }
}

/// A printed claim as judged, for a page that shows each by itself.
#[derive(Debug, Clone)]
pub struct JudgedClaim<'a> {
    /// The claim.
    pub claim: &'a Claim,
    /// The finding that judges it.
    pub finding: &'a Finding,
    /// Its verdict.
    pub verdict: Verdict,
    /// Its row as the report prints it.
    pub row: ClaimRow,
    /// What was found with its uncertainty and unit ("126.7 ± 4.1 min"); empty where nothing was.
    pub found: String,
}

/// Returns the claims that are judged, failures first, in each group the farthest beyond its limit first.
pub fn judged_claims<'a>(dossier: &'a Dossier, findings: &'a Findings) -> Vec<JudgedClaim<'a>> {
    static NONE: LazyLock<Photographs> = LazyLock::new(Photographs::default);
    let mut page = Page {
        dossier,
        findings,
        photographs: &NONE,
        anchors: BTreeSet::new(),
    };
    let judged: Vec<Judged<'_>> = judged(&page);
    let row = |judged: Judged<'a>| JudgedClaim {
        claim: judged.claim,
        finding: judged.finding,
        verdict: judged.verdict,
        row: row(&mut page, &judged),
        found: judged.found(),
    };
    judged.into_iter().map(row).collect()
}

/// A claim with its finding.
struct Judged<'a> {
    number: usize,
    claim: &'a Claim,
    finding: &'a Finding,
    verdict: Verdict,
}

impl Judged<'_> {
    fn judgement(&self) -> Option<&Judgement> {
        self.finding.judgement.as_ref()
    }

    /// The figure found and where it lies, in the unit of the claim.
    fn margin(&self) -> Option<(QuantityValue, Margin)> {
        let judgement = self.judgement()?;
        let limits = judgement.limits.as_ref()?;
        let Cell::Quantity(found) = &judgement.found else {
            return None;
        };
        let found = found.to(&limits.unit)?;
        let margin = limits.margin(found.value)?;
        Some((found, margin))
    }

    /// What was found, a quantity with its uncertainty.
    fn found(&self) -> String {
        let Some(judgement) = self.judgement() else {
            return String::new();
        };
        match &judgement.found {
            Cell::Quantity(found) => {
                let limits = judgement.limits.as_ref();
                let ends = limits.map_or_else(Vec::new, |limits| limits.ends(&found.unit));
                found.print_beside(&ends)
            }
            other => other.printed(),
        }
    }

    /// How far the figure lies from the limit that counts, and which that is where it breaks it.
    fn against(&self) -> String {
        let limits = self.judgement().and_then(|j| j.limits.as_ref());
        let Some((limits, (found, margin))) = limits.zip(self.margin()) else {
            return String::new();
        };
        let words = margin_words(&found, margin);
        let limit = counting(limits, found.value, margin).map(|counting| {
            let number = digits::decimal(counting.limit, digits::carried(counting.limit));
            format!("{number}{GAP}{}", limits.unit.symbol())
        });
        match (margin, limit) {
            (Margin::Over(_), Some(limit)) => format!("{words} the {} allowed", limit.trim_end()),
            (Margin::Short(_), Some(limit)) => {
                format!("{words} of the {} needed", limit.trim_end())
            }
            _ => words,
        }
    }

    /// How far it lies beyond its limit as a share of it; less than nothing inside, last without one.
    fn rank(&self) -> f64 {
        let said = self
            .claim
            .value
            .as_ref()
            .map_or(f64::NAN, |v| v.value.abs());
        match self.margin() {
            Some((_, Margin::Over(by) | Margin::Short(by))) if said > 0.0 => by / said,
            Some((_, Margin::ToSpare(by))) if said > 0.0 => -by / said,
            _ => f64::NEG_INFINITY,
        }
    }
}

/// Returns the claims that are judged, failures first, in each group the farthest beyond its limit first.
fn judged<'a>(page: &Page<'a>) -> Vec<Judged<'a>> {
    let claims = (1..).zip(&page.dossier.claims);
    let mut all: Vec<Judged<'a>> = claims
        .filter_map(|(number, claim)| {
            let finding = finding_of(page, claim)?;
            Some(Judged {
                number,
                claim,
                finding,
                verdict: finding.verdict?,
            })
        })
        .collect();
    let group = |v: Verdict| summary::ORDER.iter().position(|o| *o == v);
    all.sort_by(|a, b| {
        group(a.verdict)
            .cmp(&group(b.verdict))
            .then(b.rank().total_cmp(&a.rank()))
    });
    all
}

/// Returns the finding that judges a claim.
fn finding_of<'a>(page: &Page<'a>, claim: &Claim) -> Option<&'a Finding> {
    page.of(Method::Claims)
        .find(|f| f.about == Some(Place::claim(&claim.id)))
}

fn table(page: &mut Page<'_>, judged: &[Judged<'_>]) -> Block {
    let groups = summary::ORDER.iter().filter_map(|verdict| {
        let of_group = judged.iter().filter(|j| j.verdict == *verdict);
        let rows: Vec<ClaimRow> = of_group.map(|j| row(page, j)).collect();
        let words = format!(
            "{} {}",
            spelt_start(rows.len(), "claim", "claims"),
            summary::verb(*verdict, rows.len())
        );
        (!rows.is_empty()).then_some(ClaimGroup {
            verdict: *verdict,
            words,
            rows,
        })
    });
    let groups = groups.collect();
    Block::Claims(ClaimTable {
        id: page.anchor("table-claims".into()),
        caption: "Every printed claim, failures first".into(),
        groups,
    })
}

fn row(page: &mut Page<'_>, judged: &Judged<'_>) -> ClaimRow {
    let Judged {
        number,
        claim,
        finding,
        verdict,
    } = judged;
    let judgement = judged.judgement();
    let found = judgement.map_or(&Cell::Nothing, |j| &j.found);
    // Beside a figure that is held against limits stands how it was found; else how is why.
    let is_figure =
        matches!(found, Cell::Quantity(_)) && judgement.is_some_and(|j| j.limits.is_some());
    let open = judgement.and_then(|j| j.open);
    let odds = finding
        .conformance
        .filter(|_| *verdict != Verdict::NeedsEvidence);
    let reason = match (open, odds) {
        // How sure the verdict is; of an open one, how likely the claim is.
        (_, Some(p)) => match verdict {
            Verdict::Fails => likely(1.0 - p),
            Verdict::Holds => likely(p),
            Verdict::Undecided | Verdict::NeedsEvidence => likely_to(p, "to hold"),
        },
        (Some(open), None) => open.words().to_string(),
        (None, None) => String::new(),
    };
    ClaimRow {
        number: *number,
        anchor: page.entry(&Place::claim(&claim.id)),
        said: format!("“{}”", claim.text),
        printed: methods::words::place(&claim.printed),
        found: judgement.map_or_else(String::new, Judgement::printed),
        how: judgement
            .filter(|_| is_figure)
            .map(|j| j.how.clone())
            .unwrap_or_default(),
        margin: judged.against(),
        reason,
        why: why(judgement, is_figure),
        strip: claim_line(judged).map(|line| svg::claim_strip(&line)),
        working: finding_anchor(&finding.id),
        evidence: evidence_of(&claim.evidence),
    }
}

/// The limits of a figure, then what else speaks for or against it.
fn why(judgement: Option<&Judgement>, is_figure: bool) -> String {
    let Some(judgement) = judgement else {
        return String::new();
    };
    let limits = judgement.limits.as_ref().map(|limits| {
        let granted = match limits.granted.as_str() {
            "" => String::new(),
            granted => format!(" ({granted})"),
        };
        let shown = |value: f64| digits::decimal(value, digits::carried(value));
        let unit = limits.unit.symbol();
        let kept = match (limits.low, limits.high) {
            (Some(low), Some(high)) => format!("{} to {} {unit}", shown(low), shown(high)),
            (Some(low), None) => format!("at least {} {unit}", shown(low)),
            (None, Some(high)) => format!("at most {} {unit}", shown(high)),
            (None, None) => "any value".to_string(),
        };
        format!("{} would do{granted}", kept.trim_end())
    });
    let how = (!is_figure).then(|| judgement.how.clone());
    let parts = [limits, how, Some(judgement.why.clone())];
    let parts = parts.into_iter().flatten().filter(|part| !part.is_empty());
    let sentences = parts.map(|part| format!("{}.", methods::words::capital(&part)));
    sentences.collect::<Vec<_>>().join(" ")
}

/// Says how far a value lies from its limit, to the digits of its uncertainty.
fn margin_words(found: &QuantityValue, margin: Margin) -> String {
    let amount = |by: f64| {
        let decimals = found.half().and_then(digits::decimals);
        let decimals = decimals.unwrap_or_else(|| digits::significant(by, 2));
        let number = digits::decimal(by, decimals.min(digits::significant(by, 2)));
        format!("{number}{GAP}{}", found.unit.symbol())
            .trim_end()
            .to_string()
    };
    match margin {
        Margin::Over(by) => format!("{} over", amount(by)),
        Margin::Short(by) => format!("{} short", amount(by)),
        Margin::ToSpare(by) => format!("{} to spare", amount(by)),
    }
}

/// Returns the limit that a value is held against: the one it is beyond, else the nearer. Beyond lies to the right,
/// whichever it is.
fn counting(limits: &Limits, value: f64, margin: Margin) -> Option<CountingLimit> {
    let greatest = |limit| CountingLimit { limit, sign: 1.0 };
    let least = |limit| CountingLimit { limit, sign: -1.0 };
    match (margin, limits.high, limits.low) {
        (Margin::Over(_), Some(high), _) => Some(greatest(high)),
        (Margin::Short(_), _, Some(low)) => Some(least(low)),
        (_, Some(high), None) => Some(greatest(high)),
        (_, None, Some(low)) => Some(least(low)),
        (_, Some(high), Some(low)) if high - value <= value - low => Some(greatest(high)),
        (_, _, Some(low)) => Some(least(low)),
        _ => None,
    }
}

/// Returns where a claim with a figure lies against its limit, in widths of what is allowed.
fn claim_line(j: &Judged<'_>) -> Option<svg::ClaimLine> {
    let judgement = j.judgement()?;
    let limits = judgement.limits.as_ref()?;
    let (found, margin) = j.margin()?;
    let (low, high) = found
        .interval
        .map_or((found.value, found.value), |i| (i.low, i.high));
    let half = (high - low) / 2.0;
    let width = if limits.tolerance > 0.0 {
        limits.tolerance
    } else {
        half
    };
    let from = counting(limits, found.value, margin)?;
    let at = |value: f64| from.sign * (value - from.limit) / width;
    let ends = [at(low), at(high)];
    let other = match (limits.low, limits.high) {
        (Some(low), Some(high)) => Some(at(if from.sign > 0.0 { low } else { high })),
        _ => None,
    };
    let line = svg::ClaimLine {
        said: format!("“{}”", j.claim.text),
        found: judgement.printed(),
        margin: margin_words(&found, margin),
        verdict: j.verdict,
        value: at(found.value),
        interval: [ends[0].min(ends[1]), ends[0].max(ends[1])],
        said_at: j.claim.value.as_ref().and_then(|v| {
            let said = limits.unit.of_si(v.si());
            (v.dimension() == limits.unit.dimension()).then(|| at(said))
        }),
        other_limit: other,
    };
    let is_finite = line.value.is_finite() && line.interval.iter().all(|x| x.is_finite());
    is_finite.then_some(line)
}

/// Draws every claim with a figure against its limit.
fn plot(page: &mut Page<'_>, judged: &[Judged<'_>], blocks: &mut Vec<Block>) {
    let rows: Vec<svg::ClaimLine> = judged.iter().filter_map(claim_line).collect();
    if rows.is_empty() {
        return;
    }
    let alternative = svg::claims_in_words(&rows);
    blocks.push(Block::Drawing {
        id: page.anchor("drawing-claims".into()),
        caption: format!(
            "{} with a figure. The black line is the limit, the band what we allow, the short \
             mark what it says, the bar what was found with its 95 % interval: filled where that decides, open \
             where the limit may lie in it. Distances are \
             multiples of what is allowed, drawn closer together the farther out they lie.",
            spelt_start(rows.len(), "claim", "claims")
        ),
        svg: svg::claims(&rows, &alternative),
        alternative,
upright: None,
});
}

/// The limit that a value is held against, and the direction in which it is broken.
struct CountingLimit {
    limit: f64,
    sign: f64,
}

/// The claims as the record has them.
fn as_recorded(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for claim in &page.dossier.claims {
        let mut figure: Vec<Cell> = Vec::new();
        figure.extend(claim.value.as_ref().map(Cell::stated));
        figure.extend(claim.rating.as_ref().map(|r| Cell::words(&r.text)));
        figure.extend(claim.names.as_ref().map(Cell::words));
        figure.extend(claim.after.as_ref().map(|a| Cell::stated(a).named("after")));
        let about = [
            claim.says.item.as_deref().map(|id| page.item_cell(id)),
            claim.says.mode.as_ref().map(Cell::words),
            claim.says.dimension.as_ref().map(Cell::words),
        ];
        let finding = finding_of(page, claim);
        rows.push((
            vec![
                Cell::words(format!("“{}”", claim.text)),
                Cell::words(&claim.printed),
                Cell::words(claim.kind.words()),
                Cell::list(about.into_iter().flatten(), Between::Comma),
                Cell::list(figure, Between::Comma),
                stated(claim.tolerance.as_ref()),
            ],
            RowMark {
                link: finding.map(|f| finding_anchor(&f.id)),
                evidence: evidence_of(&claim.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = vec![
        Column::words("Claim, verbatim"),
        Column::words("Printed"),
        Column::words("Kind"),
        Column::words("About"),
        Column::words("Says"),
        Column::quantity("Tolerance"),
    ];
    page.table(
        "claims-recorded",
        "Claims as recorded, with our reading",
        columns,
        rows,
        blocks,
    );
}
