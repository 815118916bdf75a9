//! Opening: the steps, what they freed and destroyed, the photographs taken on the way.

use super::{Page, evidence_of, text};
use crate::words::Words as _;
use crate::{Block, RowMark, Section};
use methods::Detail;
use record::Place;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    // The method's own table of steps carries cautions; the record's is shown without one.
    if !page.details().any(|d| matches!(d, Detail::Steps { .. })) {
        steps(page, &mut blocks);
    }
    page.section(methods::Section::Opening, &mut blocks);
    let dossier = page.dossier;
    for photo in dossier.photos.iter().filter(|p| p.after.is_some()) {
        page.photo(photo, &mut blocks);
    }
    Section {
        id: "section-opening".into(),
        title: "Opening".into(),
        blocks,
    }
}

fn steps(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for (i, step) in page.dossier.steps.iter().enumerate() {
        let names = |ids: &[String]| {
            ids.iter()
                .map(|id| page.item_name(id))
                .collect::<Vec<_>>()
                .join(", ")
        };
        let cells = vec![
            (i + 1).to_string(),
            step.action.words().into(),
            if step.done {
                step.text.clone()
            } else {
                format!("{} (planned)", step.text)
            },
            step.tool.clone().unwrap_or_else(|| "by hand".into()),
            text(step.temperature.as_ref()),
            text(step.duration.as_ref()),
            names(&step.frees),
            names(&step.destroys),
            step.undo.words().into(),
            step.hazards
                .iter()
                .map(|h| h.words())
                .collect::<Vec<_>>()
                .join(", "),
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
    let columns = [
        ("No.", true),
        ("Action", false),
        ("In words", false),
        ("Tool", false),
        ("Temperature", true),
        ("Time", true),
        ("Frees", false),
        ("Destroys", false),
        ("Can be undone", false),
        ("Hazards", false),
    ];
    page.table("steps", "Steps of opening", &columns, rows, blocks);
}
