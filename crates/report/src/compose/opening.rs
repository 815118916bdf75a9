//! Opening: the steps with their photographs, tools, times and cautions; behind them ways and working.

use super::Page;
use crate::cards::{Crop, Panel, PanelStep, Strip};
use crate::{Block, Section, photo_anchor, photo_of_step, svg};
use methods::words::listed;
use methods::{Detail, Method, StepRow};
use record::{Dossier, Place, Step, Undo};

/// Said once, before anything is told of heat, blades and cells.
const BEFORE: &str = "Before you open this product: a lithium cell that is bent, pierced or heated can burn. Discharge it first, \
                      unplug it as soon as it can be reached, keep blades flat and shallow beside it. Cautions for \
                      single steps are given there; local rules and licensed practice come first.";

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
    let often = Often::of(page);
    if dossier.steps.iter().any(|step| !step.hazards.is_empty()) {
        blocks.push(Block::Caution(format!("{BEFORE}{}", often.sentences())));
    }
    if let Some((svg, alternative)) = svg::timeline(&times(page)) {
        blocks.push(Block::Drawing {
            id: page.anchor("drawing-opening-times".into()),
            caption: "Every step as long as it took; ▲ marks steps with a caution.".into(),
            alternative,
            svg,
            upright: None,
        });
    }
    let mut panels: Vec<Panel> = Vec::new();
    let mut waiting = Vec::new();
    for (number, step) in (1..).zip(&dossier.steps) {
        let follows = waiting
            .last()
            .is_none_or(|w: &PanelStep| w.planned != step.done);
        if !follows {
            panels.push(Panel {
                picture: None,
                steps: std::mem::take(&mut waiting),
            });
        }
        waiting.push(told(page, step, number, &often));
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

/// A caution at so many steps is said once, before them.
const OFTEN: usize = 3;

/// Cautions that many steps have.
struct Often(Vec<(String, Vec<usize>)>);

impl Often {
    fn of(page: &Page<'_>) -> Self {
        let rows = page.details().flat_map(|detail| match detail {
            Detail::Steps { rows } => rows.as_slice(),
            _ => &[],
        });
        let mut said: Vec<(String, Vec<usize>)> = Vec::new();
        for row in rows {
            for caution in &row.cautions {
                match said.iter_mut().find(|(text, _)| text == caution) {
                    Some((_, steps)) => steps.push(row.number),
                    None => said.push((caution.clone(), vec![row.number])),
                }
            }
        }
        said.retain(|(_, steps)| steps.len() >= OFTEN);
        Self(said)
    }

    /// Says them with the numbers of their steps.
    fn sentences(&self) -> String {
        let one = |(text, steps): &(String, Vec<usize>)| {
            let steps = listed(steps.iter().map(ToString::to_string).collect());
            match text.split_once(": ") {
                Some((what, rest)) => format!(" {what} (steps {steps}): {rest}"),
                None => format!(" Steps {steps}: {text}"),
            }
        };
        self.0.iter().map(one).collect()
    }

    /// Returns the cautions at one step: those said before by their first words, its own in full.
    fn at(&self, row: &StepRow) -> Vec<String> {
        let is_said = |text: &&String| self.0.iter().any(|(said, _)| said == *text);
        let (said, own): (Vec<&String>, Vec<&String>) = row.cautions.iter().partition(is_said);
        let brief = said.iter().map(|text| {
            let (what, _) = text.split_once(": ").unwrap_or((text, ""));
            what.to_string()
        });
        let brief: Vec<String> = brief.collect();
        let brief = (!brief.is_empty()).then(|| format!("{}.", brief.join(" · ")));
        brief.into_iter().chain(own.into_iter().cloned()).collect()
    }
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
        minutes: step.took().map(|d| d.si() / 60.0),
        careful: row(page, step).is_some_and(|row| !row.cautions.is_empty()),
    })
    .collect()
}

fn told(page: &mut Page<'_>, step: &Step, number: usize, often: &Often) -> PanelStep {
    let row = row(page, step);
    let mut with = vec![step.tool.clone().unwrap_or_else(|| "by hand".into())];
    with.extend(step.temperature.as_ref().map(ToString::to_string));
    with.extend(step.took().map(|took| took.to_string()));
    match step.undo {
        Undo::WithNewMaterial => with.push("needs new material to go back".into()),
        Undo::No => with.push("cannot be undone".into()),
        Undo::Yes | Undo::Unknown => {}
    }
    let freed = step.frees.iter().map(|id| page.item_name(id));
    let frees = freed.collect::<Vec<_>>().join(", ");
    PanelStep {
        anchor: page.entry(&Place::step(&step.id)),
        number,
        text: step.text.clone(),
        with: with.join(" · "),
        frees,
        cautions: row.map(|row| often.at(row)).unwrap_or_default(),
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
