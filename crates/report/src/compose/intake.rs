//! Intake: the product before it was opened; readings and instruments.

use super::{Page, evidence_of, text};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use record::{Place, Reading};

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let dossier = page.dossier;
    blocks.extend(dossier.product.note.iter().cloned().map(Block::Paragraph));
    labels(page, &mut blocks);
    identifiers(page, &mut blocks);
    accessories(page, &mut blocks);
    for photo in dossier.photos.iter().filter(|p| p.after.is_none()) {
        page.photo(photo, &mut blocks);
    }
    readings(page, &mut blocks);
    instruments(page, &mut blocks);
    correlations(page, &mut blocks);
    Section {
        id: "section-intake".into(),
        title: "Intake".into(),
        blocks,
    }
}

fn labels(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for label in &page.dossier.product.labels {
        rows.push((
            vec![
                label.place.clone(),
                label.text.clone(),
                text(label.input.as_ref()),
                text(label.output.as_ref()),
            ],
            RowMark {
                anchor: page.entry(&Place::label(&label.id)),
                evidence: evidence_of(&label.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = [
        ("Place", false),
        ("Text, verbatim", false),
        ("Input", false),
        ("Output", false),
    ];
    page.table("labels", "Labels", &columns, rows, blocks);
}

fn identifiers(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let rows = page
        .dossier
        .product
        .identifiers
        .iter()
        .map(|identifier| {
            (
                vec![identifier.kind.clone(), identifier.text.clone()],
                RowMark {
                    evidence: evidence_of(&identifier.evidence),
                    ..RowMark::default()
                },
            )
        })
        .collect();
    let columns = [("Identifier", false), ("As printed", false)];
    page.table("identifiers", "Identifiers", &columns, rows, blocks);
}

fn accessories(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let rows = page
        .dossier
        .product
        .accessories
        .iter()
        .map(|a| {
            (
                vec![
                    a.name.clone(),
                    a.count.at_least().to_string(),
                    text(a.note.as_ref()),
                ],
                RowMark::default(),
            )
        })
        .collect();
    let columns = [("In the package", false), ("Count", true), ("Note", false)];
    page.table("accessories", "Accessories", &columns, rows, blocks);
}

fn readings(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for reading in &page.dossier.readings {
        let instrument = reading.instrument.as_deref().map(|id| {
            page.dossier
                .instrument(id)
                .map_or_else(|| id.to_string(), |i| i.name.clone())
        });
        let link = page
            .dossier
            .item(&reading.item)
            .map(|i| crate::anchor("item", &i.id));
        rows.push((
            vec![
                page.item_name(&reading.item),
                what(reading),
                reading.value.to_string(),
                text(reading.pieces.as_ref()),
                text(instrument.as_ref()),
                when(page, reading),
                text(reading.note.as_ref()),
            ],
            RowMark {
                anchor: page.entry(&Place::reading(&reading.id)),
                link,
                evidence: evidence_of(&reading.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = [
        ("Item", false),
        ("What", false),
        ("Reading", true),
        ("Pieces", true),
        ("Instrument", false),
        ("Taken", false),
        ("Note", false),
    ];
    page.table("readings", "Readings as taken", &columns, rows, blocks);
}

fn what(reading: &Reading) -> String {
    match &reading.mode {
        Some(mode) => format!("{}, {mode}", reading.what.words()),
        None => reading.what.words().into(),
    }
}

fn when(page: &Page<'_>, reading: &Reading) -> String {
    let number = |id: &String| {
        let at = page.dossier.steps.iter().position(|s| s.id == *id);
        at.map_or_else(|| id.clone(), |n| (n + 1).to_string())
    };
    let mut parts = Vec::new();
    parts.extend(
        reading
            .before
            .as_ref()
            .map(|s| format!("before step {}", number(s))),
    );
    parts.extend(
        reading
            .after
            .as_ref()
            .map(|s| format!("after step {}", number(s))),
    );
    if !reading.without.is_empty() {
        let names: Vec<String> = reading
            .without
            .iter()
            .map(|id| page.item_name(id))
            .collect();
        parts.push(format!("without {}", names.join(", ")));
    }
    parts.join("; ")
}

fn instruments(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for instrument in &page.dossier.instruments {
        rows.push((
            vec![
                instrument.name.clone(),
                text(instrument.resolution.as_ref()),
                text(instrument.accuracy.as_ref()),
                text(instrument.calibrated.as_ref()),
                text(instrument.note.as_ref()),
            ],
            RowMark {
                anchor: page.entry(&Place::instrument(&instrument.id)),
                ..RowMark::default()
            },
        ));
    }
    let columns = [
        ("Instrument", false),
        ("Resolution", true),
        ("Limit of error", true),
        ("Calibrated", false),
        ("Note", false),
    ];
    page.table("instruments", "Instruments", &columns, rows, blocks);
}

fn correlations(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let rows = page
        .dossier
        .correlations
        .iter()
        .map(|c| {
            let coefficient = crate::words::decimal(c.coefficient, 2);
            (
                vec![
                    c.between.join(" and "),
                    coefficient,
                    text(c.because.as_ref()),
                ],
                RowMark::default(),
            )
        })
        .collect();
    let columns = [
        ("Readings", false),
        ("Correlation coefficient", true),
        ("Because", false),
    ];
    page.table(
        "correlations",
        "Stated correlations of readings",
        &columns,
        rows,
        blocks,
    );
}
