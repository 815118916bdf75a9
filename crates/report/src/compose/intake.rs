//! Intake: the product before it was opened; readings and instruments.

use super::{Page, evidence_of, stated};
use crate::words::Words as _;
use crate::{Block, RowMark};
use methods::{Between, Cell, Column};
use record::{Dossier, Moment, Place, Reading};

/// Writes the product as bought, every photograph, readings and instruments.
pub(super) fn record(page: &mut Page<'_>) -> Vec<Block> {
    let mut working = Vec::new();
    let dossier = page.dossier;
    product(page, &mut working);
    working.extend(dossier.product.note.iter().cloned().map(Block::Paragraph));
    labels(page, &mut working);
    identifiers(page, &mut working);
    accessories(page, &mut working);
    samples(page, &mut working);
    for photo in &dossier.photos {
        page.photo(photo, &mut working);
    }
    readings(page, &mut working);
    instruments(page, &mut working);
    correlations(page, &mut working);
    working
}

/// The facts about the product.
fn product(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let facts = super::facts(page.dossier, page.findings).into_iter();
    let rows = facts.map(|(name, value)| {
        (
            vec![Cell::words(name), Cell::words(value)],
            RowMark::default(),
        )
    });
    let rows = rows.collect();
    let columns = vec![Column::words("Product"), Column::words("As recorded")];
    page.table("product", "The product as bought", columns, rows, blocks);
}

fn labels(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for label in &page.dossier.product.labels {
        rows.push((
            vec![
                Cell::words(&label.place),
                Cell::words(&label.text),
                Cell::text(label.input.as_ref()),
                Cell::text(label.output.as_ref()),
            ],
            RowMark {
                anchor: page.entry(&Place::label(&label.id)),
                evidence: evidence_of(&label.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = vec![
        Column::words("Place"),
        Column::words("Text, verbatim"),
        Column::words("Input"),
        Column::words("Output"),
    ];
    page.table("labels", "Labels", columns, rows, blocks);
}

fn identifiers(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let rows = page
        .dossier
        .product
        .identifiers
        .iter()
        .map(|identifier| {
            (
                vec![Cell::words(&identifier.kind), Cell::words(&identifier.text)],
                RowMark {
                    evidence: evidence_of(&identifier.evidence),
                    ..RowMark::default()
                },
            )
        })
        .collect();
    let columns = vec![Column::words("Identifier"), Column::words("As printed")];
    page.table("identifiers", "Identifiers", columns, rows, blocks);
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
                    Cell::words(&a.name),
                    Cell::pieces(a.count),
                    Cell::text(a.note.as_ref()),
                ],
                RowMark::default(),
            )
        })
        .collect();
    let columns = vec![
        Column::words("In the package"),
        Column::count("Count"),
        Column::words("Note"),
    ];
    page.table("accessories", "Accessories", columns, rows, blocks);
}

/// Further samples of the product, and what differs from the one that was opened first.
fn samples(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let samples = &page.dossier.product.samples;
    let rows = samples.iter().map(|sample| {
        let cells = vec![
            Cell::words(&sample.name),
            sample.bought.map_or(Cell::Nothing, Cell::date),
            Cell::text(sample.hardware_revision.as_ref()),
            Cell::text(sample.firmware.as_ref()),
            Cell::text(sample.condition.as_ref()),
            Cell::list(sample.differs.iter().map(Cell::words), Between::Semicolon),
            Cell::text(sample.note.as_ref()),
        ];
        let mark = RowMark {
            evidence: evidence_of(&sample.evidence),
            ..RowMark::default()
        };
        (cells, mark)
    });
    let rows = rows.collect();
    let columns = vec![
        Column::words("Sample"),
        Column::date("Bought"),
        Column::words("Hardware revision"),
        Column::words("Firmware"),
        Column::words("Condition before opening"),
        Column::words("Differs in"),
        Column::words("Note"),
    ];
    page.table("samples", "Further samples", columns, rows, blocks);
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
                page.item_cell(&reading.item),
                Cell::words(what(reading)),
                Cell::stated(&reading.value),
                stated(reading.tare.as_ref()),
                reading.pieces.map_or(Cell::Nothing, Cell::count),
                Cell::text(instrument.as_ref()),
                Cell::words(when(page, reading)),
                Cell::text(reading.note.as_ref()),
            ],
            RowMark {
                anchor: page.entry(&Place::reading(&reading.id)),
                link,
                evidence: evidence_of(&reading.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = vec![
        Column::place("Item"),
        Column::words("What"),
        Column::quantity("Reading"),
        Column::quantity("Tare taken off"),
        Column::count("Pieces"),
        Column::words("Instrument"),
        Column::words("Taken"),
        Column::words("Note"),
    ];
    page.table("readings", "Readings as taken", columns, rows, blocks);
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
    parts.extend(times(reading.started, reading.stopped));
    parts.join("; ")
}

/// Writes when something was begun and finished, where that is recorded.
pub(super) fn times(started: Option<Moment>, stopped: Option<Moment>) -> Option<String> {
    match (started, stopped) {
        (Some(started), Some(stopped)) => Some(format!("{started} to {stopped}")),
        (Some(started), None) => Some(format!("from {started}")),
        (None, Some(stopped)) => Some(format!("until {stopped}")),
        (None, None) => None,
    }
}

fn instruments(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for instrument in &page.dossier.instruments {
        rows.push((
            vec![
                Cell::words(&instrument.name),
                stated(instrument.resolution.as_ref()),
                stated(instrument.accuracy.as_ref()),
                stated(instrument.repeatability.as_ref()),
                Cell::text(instrument.calibrated.as_ref()),
                Cell::text(instrument.note.as_ref()),
            ],
            RowMark {
                anchor: page.entry(&Place::instrument(&instrument.id)),
                ..RowMark::default()
            },
        ));
    }
    let columns = vec![
        Column::words("Instrument"),
        Column::quantity("Resolution"),
        Column::quantity("Limit of error"),
        Column::quantity("Repeatability"),
        Column::words("Calibrated"),
        Column::words("Note"),
    ];
    page.table("instruments", "Instruments", columns, rows, blocks);
}

/// Names readings by what they are of.
fn between(dossier: &Dossier, readings: &[String]) -> String {
    let name = |id: &String| match dossier.reading(id) {
        Some(reading) => {
            let item = dossier.item(&reading.item);
            let of = item.map_or(reading.item.as_str(), |item| item.name.as_str());
            format!("{} of {of}", reading.what.words())
        }
        None => id.clone(),
    };
    methods::words::listed(readings.iter().map(name).collect())
}

fn correlations(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let rows = page
        .dossier
        .correlations
        .iter()
        .map(|c| {
            (
                vec![
                    Cell::words(between(page.dossier, &c.between)),
                    Cell::number(c.coefficient, 2),
                    Cell::text(c.because.as_ref()),
                ],
                RowMark::default(),
            )
        })
        .collect();
    let columns = vec![
        Column::words("Readings"),
        Column::number("Correlation coefficient"),
        Column::words("Because"),
    ];
    page.table(
        "correlations",
        "Stated correlations of readings",
        columns,
        rows,
        blocks,
    );
}
