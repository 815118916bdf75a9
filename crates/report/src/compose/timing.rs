//! How long it charges and runs: a bar for each mode and each charge, currents by mode behind.

use super::Page;
use super::evidence_of;
use crate::words::{Words as _, interval};
use crate::{Block, RowMark, Section, svg};
use methods::{Cell, Column, Detail, Finding, Method};
use quantity::{Figure, Unit, digits};
use record::{Claim, ClaimKind, Place};

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let charges = charges(page);
    let runs = runs(page);
    for (id, caption, bars) in [
        (
            "charging",
            "Charging from empty to full. The dashed part is the range in which the end lies.",
            charges,
        ),
        (
            "run-time",
            "Run time by mode, from the charge that can be used.",
            runs,
        ),
    ] {
        if let Some((svg, alternative)) = svg::times(&bars) {
            blocks.push(Block::Drawing {
                id: page.anchor(crate::anchor("drawing", id)),
                caption: caption.into(),
                alternative,
                svg,
                upright: None,
            });
        }
    }
    let is_time = |f: &Finding| {
        f.method() == Method::Runtime
            || (f.method() == Method::Power && f.id.question.as_str() == "charge")
    };
    let is_told = |detail: &Detail| matches!(detail, Detail::Chart(_));
    page.answers(is_time, is_told, &mut blocks, &mut working);
    loads(page, &mut working);
    Section {
        id: "section-times".into(),
        title: "How long does it charge and run?".into(),
        blocks,
        working,
    }
}

/// Returns a bar for each cell that charges.
fn charges(page: &Page<'_>) -> Vec<svg::TimeBar> {
    let charging = page
        .of(Method::Power)
        .filter(|f| f.id.question.as_str() == "charge");
    let bars = charging.filter_map(|finding| {
        let item = finding.about.as_ref().and_then(Place::item_id);
        let words = item.map(|id| page.item_name(id)).unwrap_or_default();
        let claims = ticks(page, ClaimKind::ChargingTime, item, None, "min");
        let mut figures = finding.figures.iter();
        if let Some(full) = figures.find(|f| f.key.what.as_str() == "full-charging-time") {
            let [low, high] = ends_in(full, "min")?;
            return Some(svg::TimeBar {
                words,
                solid: low,
                most: high,
                shown: interval(full).unwrap_or_else(|| full.text.clone()),
                claims,
            });
        }
        let times = finding
            .figures
            .iter()
            .filter(|f| f.key.what.as_str().ends_with("charging-time"));
        let minutes: Vec<f64> = times.filter_map(|f| in_unit(f, "min")).collect();
        let least = minutes.iter().copied().reduce(f64::min)?;
        let most = minutes.iter().copied().reduce(f64::max)?;
        let shown = if most > least {
            format!(
                "{} to {} min",
                digits::decimal(least, 0),
                digits::decimal(most, 0)
            )
        } else {
            format!("{} min", digits::decimal(least, 0))
        };
        Some(svg::TimeBar {
            words,
            solid: least,
            most,
            shown,
            claims,
        })
    });
    bars.collect()
}

/// Returns a bar for each mode in use, the longest last; standby would hide all others.
fn runs(page: &Page<'_>) -> Vec<svg::TimeBar> {
    let bars = page.of(Method::Runtime).filter_map(|finding| {
        let figure = finding
            .figures
            .iter()
            .find(|f| f.key.what.as_str() == "run-time")?;
        let mode = finding.id.words.first().filter(|mode| *mode != "standby")?;
        let hours = in_unit(figure, "h")?;
        let item = finding.about.as_ref().and_then(Place::item_id);
        Some(svg::TimeBar {
            words: mode.clone(),
            solid: hours,
            most: hours,
            shown: figure.text.clone(),
            claims: ticks(page, ClaimKind::RunTime, item, Some(mode), "h"),
        })
    });
    let mut bars: Vec<svg::TimeBar> = bars.collect();
    bars.sort_by(|a, b| a.solid.total_cmp(&b.solid));
    bars
}

fn in_unit(figure: &Figure, unit: &str) -> Option<f64> {
    let Cell::Quantity(value) = Cell::figure(figure) else {
        return None;
    };
    Some(value.to(&Unit::parse(unit).ok()?)?.value)
}

/// Returns the ends of a figure's interval; its value twice where it has none.
fn ends_in(figure: &Figure, unit: &str) -> Option<[f64; 2]> {
    let Cell::Quantity(value) = Cell::figure(figure) else {
        return None;
    };
    let value = value.to(&Unit::parse(unit).ok()?)?;
    let interval = value.interval.map(|i| [i.low, i.high]);
    Some(interval.unwrap_or([value.value; 2]))
}

/// Returns what the maker prints, where it stands on the axis and in words.
fn ticks(
    page: &Page<'_>,
    kind: ClaimKind,
    item: Option<&str>,
    mode: Option<&String>,
    unit: &str,
) -> Vec<(f64, String)> {
    let claims = page.dossier.claims.iter();
    let own = claims.filter(|claim: &&Claim| {
        claim.kind == kind
            && claim.says.item.as_deref() == item
            && (mode.is_none() || claim.says.mode.as_ref() == mode)
    });
    let ticks = own.filter_map(|claim| {
        let unit = Unit::parse(unit).ok()?;
        let value = claim.value.as_ref()?;
        Some((unit.of_si(value.si()), format!("“{}”", claim.text)))
    });
    ticks.collect()
}

fn loads(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for item in &page.dossier.items {
        for (n, load) in item.loads.iter().enumerate() {
            rows.push((
                vec![
                    Cell::item(item),
                    Cell::words(&load.mode),
                    Cell::stated(&load.current),
                    Cell::text(load.origin.map(|o| o.words()).as_ref()),
                ],
                RowMark {
                    anchor: Place::load(item, n).and_then(|load| page.entry(&load)),
                    link: Some(crate::anchor("item", &item.id)),
                    evidence: evidence_of(&load.evidence),
                    ..RowMark::default()
                },
            ));
        }
    }
    let columns = vec![
        Column::place("Item"),
        Column::words("Mode of use"),
        Column::quantity("Current"),
        Column::words("Origin"),
    ];
    page.table("loads", "Currents by mode of use", columns, rows, blocks);
}
