//! Opening: the steps, what they freed and destroyed, the photographs taken on the way.

use super::{Page, evidence_of, stated};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use methods::{Between, Cell, Column, Detail};
use record::Place;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    // The method's own table of steps carries cautions; the record's is shown without one.
    if !page.details().any(|d| matches!(d, Detail::Steps { .. })) {
        steps(page, &mut blocks);
    }
    let is_told = |detail: &Detail| matches!(detail, Detail::Steps { .. } | Detail::Chart(_));
    page.answers(
        methods::Section::Opening,
        is_told,
        &mut blocks,
        &mut working,
    );
    let dossier = page.dossier;
    for photo in dossier.photos.iter().filter(|p| p.after.is_some()) {
        page.photo(photo, &mut working);
    }
    Section {
        id: "section-opening".into(),
        title: "How it opens".into(),
        blocks,
        working,
    }
}

fn steps(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for (i, step) in page.dossier.steps.iter().enumerate() {
        let names = |ids: &[String]| {
            let items = ids.iter().map(|id| page.item_cell(id));
            Cell::list(items, Between::Comma)
        };
        let cells = vec![
            Cell::count(i + 1),
            Cell::words(step.action.words()),
            Cell::words(if step.done {
                step.text.clone()
            } else {
                format!("{} (planned)", step.text)
            }),
            Cell::words(step.tool.as_deref().unwrap_or("by hand")),
            stated(step.temperature.as_ref()),
            stated(step.duration.as_ref()),
            names(&step.frees),
            names(&step.destroys),
            Cell::words(step.undo.words()),
            Cell::names(step.hazards.iter().map(|h| h.words())),
        ];
        rows.push((
            cells,
            RowMark {
                anchor: page.entry(&Place::step(&step.id)),
                evidence: evidence_of(&step.evidence),
                ..RowMark::default()
            },
        ));
    }
    let columns = vec![
        Column::count("No."),
        Column::words("Action"),
        Column::words("In words"),
        Column::words("Tool"),
        Column::quantity("Temperature"),
        Column::quantity("Time"),
        Column::words("Frees"),
        Column::words("Destroys"),
        Column::words("Can be undone"),
        Column::words("Hazards"),
    ];
    page.table("steps", "Steps of opening", columns, rows, blocks);
}
