//! Opening: the steps with their photographs, tools, times and cautions; behind them ways and working.

use super::Page;
use crate::cards::{Crop, Panel, PanelStep, Strip};
use crate::words::Words as _;
use crate::{Block, Section, photo_anchor, photo_of_step, svg};
use methods::{Detail, Method, StepRow};
use quantity::digits;
use record::{Dossier, Place, Step};

/// Said once, before anything is told of heat, blades and cells.
const BEFORE: &str = "Before you open one: a lithium cell that is bent, pierced or heated can burn. Discharge it first, \
                      unplug it as soon as it can be reached, keep blades flat and shallow beside it. Cautions for \
                      single steps stand at the step; local rules and licensed practice come first.";

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    strip(page, &mut blocks);
    let is_told = |detail: &Detail| matches!(detail, Detail::Chart(_));
    page.answers(
        |f| f.method() == Method::Opening && f.id.question.as_str() == "sequence",
        is_told,
        &mut blocks,
        &mut working,
    );
    Section {
        id: "section-opening".into(),
        title: "How it opens".into(),
        blocks,
        working,
    }
}

/// Tells the opening in pictures, under its one general notice.
fn strip(page: &mut Page<'_>, blocks: &mut Vec<Block>) {
    let dossier = page.dossier;
    if dossier.steps.is_empty() {
        return;
    }
    if dossier.steps.iter().any(|step| !step.hazards.is_empty()) {
        blocks.push(Block::Caution(BEFORE.into()));
    }
    if let Some((svg, alternative)) = svg::timeline(&times(page)) {
        blocks.push(Block::Drawing {
            id: page.anchor("drawing-opening-times".into()),
            caption: "Every step as long as it took; ▲ marks steps with a caution.".into(),
            alternative,
            svg,
        });
    }
    let mut panels: Vec<Panel> = Vec::new();
    let mut waiting = Vec::new();
    for (number, step) in (1..).zip(&dossier.steps) {
        waiting.push(told(page, step, number));
        let picture = picture(page, step);
        if picture.is_some() {
            let steps = std::mem::take(&mut waiting);
            panels.push(Panel { picture, steps });
        }
    }
    if !waiting.is_empty() {
        panels.push(Panel {
            picture: None,
            steps: waiting,
        });
    }
    let id = page.anchor("opening".into());
    blocks.push(Block::Strip(Strip { id, panels }));
}

/// Returns what the method says of a step.
fn row<'a>(page: &Page<'a>, step: &Step) -> Option<&'a StepRow> {
    page.details().find_map(|detail| match detail {
        Detail::Steps { rows } => rows.iter().find(|row| row.step == step.id),
        _ => None,
    })
}

/// Returns minutes and cautions of each step that was done.
fn times(page: &Page<'_>) -> Vec<svg::Timed> {
    let steps = (1..).zip(&page.dossier.steps);
    let done = steps.filter(|(_, step)| step.done);
    done.map(|(number, step)| svg::Timed {
        number,
        minutes: step.duration.as_ref().map(|d| d.si() / 60.0),
        careful: row(page, step).is_some_and(|row| !row.cautions.is_empty()),
    })
    .collect()
}

fn told(page: &mut Page<'_>, step: &Step, number: usize) -> PanelStep {
    let row = row(page, step);
    let mut with = vec![step.tool.clone().unwrap_or_else(|| "by hand".into())];
    with.extend(step.temperature.as_ref().map(ToString::to_string));
    with.extend(step.duration.as_ref().map(|d| {
        let minutes = d.si() / 60.0;
        format!(
            "{} min",
            digits::decimal(minutes, usize::from(minutes < 10.0))
        )
    }));
    if step.undo != record::Undo::Yes {
        with.push(format!("undone: {}", step.undo.words()));
    }
    let freed = step.frees.iter().map(|id| page.item_name(id));
    let frees = freed.collect::<Vec<_>>().join(", ");
    PanelStep {
        anchor: page.entry(&Place::step(&step.id)),
        number,
        text: step.text.clone(),
        with: with.join(" · "),
        frees,
        cautions: row.map(|row| row.cautions.clone()).unwrap_or_default(),
        planned: !step.done,
    }
}

fn picture(page: &Page<'_>, step: &Step) -> Option<Crop> {
    let dossier: &Dossier = page.dossier;
    let (photo, region) = photo_of_step(dossier, step)?;
    let shown = page.photographs.shown(&photo.file)?;
    let caption = region.and_then(|r| r.caption.as_ref());
    Some(Crop {
        picture: page.photographs.crop(&Place::step(&step.id))?.clone(),
        alternative: caption.map_or_else(
            || photo.caption.clone(),
            |caption| format!("{caption}; {}", photo.caption),
        ),
        whole: photo_anchor(&photo.id),
        path: shown.path.clone(),
        bar: None,
    })
}
