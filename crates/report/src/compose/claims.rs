//! Claims: what the maker printed, what the evidence says.

use super::{Page, evidence_of, stated};
use crate::words::{Words as _, percent};
use crate::{Block, RowMark, Section, finding_anchor};
use methods::{
    Axis, Between, Cell, Chart, Column, Finding, Form, Method, Point, Series, Standing, Verdict,
};
use quantity::units;
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
        let verdict = finding.and_then(|f| f.verdict);
        rows.push((
            vec![
                Cell::words(format!("“{}”", claim.text)),
                Cell::words(&claim.printed),
                Cell::words(claim.kind.words()),
                Cell::list(about.into_iter().flatten(), Between::Comma),
                Cell::list(figure, Between::Comma),
                stated(claim.tolerance.as_ref()),
                verdict.map_or(Cell::Nothing, Cell::verdict),
            ],
            RowMark {
                anchor: page.entry(&Place::claim(&claim.id)),
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
        Column::verdict("Verdict"),
    ];
    page.table("claims", "Claims as printed", columns, rows, blocks);
}

/// Draws found intervals against printed figures, both as a share of the printed figure.
fn against(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let points: Vec<Point> = page
        .dossier
        .claims
        .iter()
        .filter_map(|c| point(c, judgement(page, c)?))
        .collect();
    let chart = Chart {
        caption: "What was found, with its 95 % interval, as a share of the printed figure.".into(),
        form: Form::Intervals,
        values: Axis {
            quantity: "share of the printed figure".into(),
            unit: units::percent(),
        },
        over: None,
        series: vec![Series {
            words: "printed".into(),
            points,
        }],
    };
    super::details::chart(page, "against", &chart, blocks);
}

fn point(claim: &Claim, finding: &Finding) -> Option<Point> {
    let stated = claim.value.as_ref()?;
    let verdict = finding.verdict?;
    let mut figures = finding.figures.iter();
    let figure = figures.find(|f| f.unit.dimension() == stated.dimension())?;
    let printed = stated.si();
    let share = |value: f64| 100.0 * figure.unit.to_si(value) / printed;
    let (low, high) = (share(figure.interval.low), share(figure.interval.high));
    let odds = finding.conformance.map(|p| format!(" ({})", percent(p)));
    let point = Point {
        place: Some(Place::claim(&claim.id)),
        low: Some(low),
        high: Some(high),
        limit: Some(100.0),
        standing: if verdict == Verdict::Fails {
            Standing::Contradicted
        } else {
            Standing::Plain
        },
        remark: format!(
            "{}, {}{}",
            figure.text,
            verdict.words(),
            odds.unwrap_or_default()
        ),
        ..Point::new(&claim.text, share(figure.value))
    };
    let known = [low, point.value, high].iter().all(|x| x.is_finite());
    (printed > 0.0 && known).then_some(point)
}
