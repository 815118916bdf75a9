//! The opening as findings: sentences, tables, figures.

use super::hazard::{self, Cells};
use super::risk;
use super::routes::way_to_cell;
use crate::cells::{care, may_burn};
use crate::distinct::Distinct;
use crate::precedence::{Route, duration_s, fasteners, step_evidence, uses_heat};
use crate::words::{
    Tally, Words as _, capital, counted, listed, listed_or_none, spelt, spelt_of, spelt_start,
};
use crate::{
    Answer, Cancelled, Case, Cell, Column, Detail, Finding, Method, StepRow, Table, Verdict, inputs,
};
use quantity::{Figure, Origin, Sheet, SheetError, Term};
use record::{Action, Dossier, ItemKind, Place, Undo};
use std::collections::BTreeSet;

/// The steps of a case with what is asked of them again and again.
pub(super) struct Opening<'c, 'd> {
    pub(super) case: &'c Case<'d>,
    pub(super) cells: Cells<'d>,
}

/// Answers how the product of a dossier opens.
///
/// # Errors
/// [`Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    let dossier = case.dossier;
    if dossier.steps.is_empty() {
        let mut finding = Finding::new(Method::Opening, word!("sequence"), "How it opens")
            .saying("No step of opening is recorded.");
        finding.missing = risk::missing(case);
        return Ok(vec![finding]);
    }
    let opening = Opening {
        case,
        cells: Cells::of(case),
    };
    let mut findings = vec![sequence(&opening)?];
    if opening.case.precedence().cycle().is_none() {
        for cell in dossier.items.iter().filter(|i| i.kind == ItemKind::Cell) {
            case.go_on()?;
            findings.push(way_to_cell(&opening, cell));
        }
    }
    findings.push(undoing(case));
    findings.push(evidence_at_risk(case));
    Ok(findings)
}

/// Returns the names of items.
fn names(case: &Case<'_>, ids: &[String]) -> Vec<String> {
    let name = |id: &String| case.tree().name(id).to_string();
    ids.iter().map(name).collect()
}

fn sequence(opening: &Opening<'_, '_>) -> Result<Finding, Cancelled> {
    let case = opening.case;
    let dossier = case.dossier;
    let mut finding = Finding::new(Method::Opening, word!("sequence"), "How it opens");
    let steps = &dossier.steps;
    let mut rows = Vec::new();
    let (mut said, mut places) = (Distinct::default(), Distinct::default());
    for (i, step) in steps.iter().enumerate() {
        case.go_on()?;
        let cautions = hazard::cautions(case, &opening.cells, i);
        for caution in &cautions {
            said.push(format!("Step {}: {caution}", i + 1));
        }
        rows.push(StepRow {
            number: i + 1,
            step: step.id.clone(),
            action: step.action,
            text: step.text.clone(),
            tool: step.tool.clone().unwrap_or_default(),
            temperature: step
                .temperature
                .as_ref()
                .map_or(Cell::Nothing, Cell::stated),
            duration_min: duration_s(step).map(|s| s / 60.0),
            fasteners: match fasteners(case, step) {
                none if none == Tally::default() => Cell::Nothing,
                undone => undone.cell(),
            },
            frees: names(case, &step.frees),
            destroys: names(case, &step.destroys),
            undo: step.undo,
            cautions,
        });
        places.extend(step_evidence(dossier, i));
    }
    finding.cautions = said.into_vec();
    finding.add_evidence(places);
    for cell in dossier.items.iter().filter(|i| may_burn(i)) {
        care::warn(case, cell, &mut finding);
    }
    let all = Route {
        steps: (0..steps.len())
            .filter(|&i| steps[i].done && steps[i].action != Action::Weigh)
            .collect(),
        tool_changes: 0,
        as_recorded: true,
    };
    // What is only planned has taken no time and undone nothing.
    let done = || steps.iter().filter(|s| s.done);
    let planned = steps.len() - done().count();
    let mut screws = Tally::default();
    done().for_each(|s| screws.join(fasteners(case, s)));
    finding.sentence = format!(
        "Opening took {}{}. {} undone. Tools: {}. {} heat; {} a piece; {}.",
        counted(steps.len() - planned, "step", "steps"),
        match planned {
            0 => String::new(),
            n => format!("; {} planned", spelt_of(n, "more is", "more are")),
        },
        screws.start("fastener was", "fasteners were"),
        match all.tools(steps) {
            none if none.is_empty() => "none".to_string(),
            tools => listed(tools.into_iter().map(|t| t.to_string()).collect()),
        },
        spelt_start(
            done().filter(|s| uses_heat(s)).count(),
            "step uses",
            "steps use"
        ),
        match done().filter(|s| !s.destroys.is_empty()).count() {
            0 => "none destroys".to_string(),
            n => spelt_of(n, "destroys", "destroy"),
        },
        match done().filter(|s| s.undo == Undo::No).count() {
            0 if done().any(|s| s.undo == Undo::WithNewMaterial) => {
                "each can be undone, some with new material".to_string()
            }
            0 if done().any(|s| s.undo == Undo::Unknown) => {
                "whether each can be undone is not recorded".to_string()
            }
            0 => "each can be undone".to_string(),
            n => format!("{} be undone", spelt_of(n, "cannot", "cannot")),
        },
    );
    if let Some(at) = opening.case.precedence().cycle() {
        finding.unused.push(format!(
            "The steps wait for each other in a circle through “{}”; no way can be worked out.",
            steps[at].text
        ));
    }
    finding.details.push(Detail::Steps { rows });
    let figure = duration(dossier, &all.steps, "time of all steps");
    add_time(
        &mut finding,
        dossier,
        &all.steps,
        "time of all steps",
        figure,
    );
    finding.assume(
        "A step without 'after' needs the step recorded before it. State 'after' to change this.",
    );
    finding.cite("Usual workshop cautions; local rules and licensed practice come first.");
    Ok(finding)
}

/// The sum of the recorded durations of steps.
pub(super) fn duration(
    dossier: &Dossier,
    steps: &[usize],
    label: &str,
) -> Option<Result<Figure, SheetError>> {
    let sheet = Sheet::new();
    let terms: Vec<Term<'_>> = steps
        .iter()
        .map(|&i| (i + 1, &dossier.steps[i]))
        .filter(|(_, s)| duration_s(s).is_some())
        .filter_map(|(number, s)| {
            let stated = s.took()?;
            let key = if s.duration.is_some() {
                "duration"
            } else {
                "stopped"
            };
            let path = Place::step(&s.id).at(key);
            let input = inputs::stated_input(
                &format!("step {number}"),
                &stated,
                Origin::Measured,
                path,
                &s.evidence,
            );
            Some(sheet.input(input))
        })
        .collect();
    if terms.is_empty() {
        return None;
    }
    let total = sheet.sum(&terms).named(label, &inputs::unit("min"));
    Some(sheet.figure(total))
}

pub(super) fn add_time(
    finding: &mut Finding,
    dossier: &Dossier,
    steps: &[usize],
    label: &str,
    figure: Option<Result<Figure, SheetError>>,
) {
    if let Some(figure) = figure {
        finding.add_result(word!("time"), label, figure);
    }
    let untimed: Vec<String> = steps
        .iter()
        .map(|&i| &dossier.steps[i])
        .filter(|s| duration_s(s).is_none())
        .map(|s| format!("“{}”", s.text))
        .collect();
    if !untimed.is_empty() {
        finding.unused.push(format!(
            "{label}: no duration is recorded for {}.",
            listed_or_none(&untimed)
        ));
    }
}

fn undoing(case: &Case<'_>) -> Finding {
    let dossier = case.dossier;
    let mut finding = Finding::new(Method::Opening, word!("undo"), "What cannot be undone");
    let (mut rows, mut places) = (Vec::new(), Distinct::default());
    for (i, step) in dossier.steps.iter().enumerate() {
        if step.undo == Undo::Yes && step.destroys.is_empty() {
            continue;
        }
        rows.push(vec![
            Cell::count(i + 1),
            Cell::words(&step.text),
            Cell::words(step.undo.words()),
            Cell::words(listed_or_none(&names(case, &step.destroys))),
            Cell::words(if step.done { "done" } else { "planned" }),
        ]);
        places.extend(step_evidence(dossier, i));
    }
    finding.add_evidence(places);
    let of_no_return = || dossier.steps.iter().filter(|s| s.undo == Undo::No);
    let never = of_no_return().count();
    let planned = of_no_return().filter(|s| !s.done).count();
    // What is only planned has not been done to the sample.
    let still = match planned {
        0 => String::new(),
        all if all == never => ", still to come,".to_string(),
        some => format!(", {} of them still to come,", spelt(some)),
    };
    finding.sentence = if rows.is_empty() {
        "Every step can be undone as it was.".to_string()
    } else {
        format!(
            "{}{still} cannot be undone; {} new material.",
            capital(&spelt_of(never, "step", "steps")),
            spelt_of(rows.len() - never, "more needs", "more need"),
        )
    };
    if !rows.is_empty() {
        let mut columns = vec![Column::count("Step")];
        columns.extend(["What", "Can be undone", "Destroys", "State"].map(Column::words));
        finding.details.push(Detail::Table(Table {
            caption: "Steps that cannot be undone or need new material".to_string(),
            columns,
            rows,
        }));
    }
    finding
}

fn evidence_at_risk(case: &Case<'_>) -> Finding {
    let mut finding = Finding::new(
        Method::Opening,
        word!("evidence"),
        "Can everything still be measured?",
    );
    finding.missing = risk::missing(case);
    let steps = |late: bool| -> BTreeSet<usize> {
        let ended = finding.missing.iter().filter(|m| m.too_late == late);
        ended
            .filter_map(|m| number(case.dossier, m.before_step.as_ref()?))
            .collect()
    };
    let (pending, late) = (steps(false), steps(true));
    finding.sentence = if finding.missing.is_empty() {
        "Everything that the claims need and opening would end has been taken.".to_string()
    } else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        let planned = (!pending.is_empty()).then(|| {
            let ends = spelt_numbers(&pending, ", still to come, ends", ", still to come, end");
            format!("{ends} what is not measured yet")
        });
        let done = (!late.is_empty()).then(|| {
            let ended = spelt_numbers(&late, " has ended", " have ended");
            format!("{ended} what was not measured before")
        });
        let told: Vec<String> = planned.into_iter().chain(done).collect();
        match told.is_empty() {
            true => "What is not measured yet can be measured at any time.".to_string(),
            false => format!("{}.", capital(&told.join("; "))),
        }
    };
    finding.assume(
        "A weighing or a seal test of the whole ends with the first step that takes something out and \
         cannot be put back as it was; size and working end only with damage.",
    );
    finding
}

/// Returns the number of a step, from 1.
fn number(dossier: &Dossier, step: &Place) -> Option<usize> {
    let mut steps = dossier.steps.iter();
    Some(steps.position(|s| Place::step(&s.id) == *step)? + 1)
}

/// Writes `step 22, still to come, ends`, `steps 20 and 22 have ended`.
fn spelt_numbers(steps: &BTreeSet<usize>, one: &str, many: &str) -> String {
    let listed = listed(steps.iter().map(ToString::to_string).collect());
    match steps.len() {
        1 => format!("step {listed}{one}"),
        _ => format!("steps {listed}{many}"),
    }
}
