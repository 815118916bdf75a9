//! The opening as findings: sentences, tables, figures.

use super::graph::{Precedence, Route, duration_s, fasteners};
use super::hazard;
use super::risk;
use super::routes::{way_to_cell, ways_to_spares};
use crate::{Detail, Finding, Method, StepRow, Verdict, basis};
use quantity::{Figure, Origin, Sheet, SheetError, Term};
use record::{Action, Dossier, ItemKind, Undo};

/// Answers how the product of a dossier opens.
pub fn examine(dossier: &Dossier) -> Vec<Finding> {
    if dossier.steps.is_empty() {
        let mut finding = Finding::new(Method::Opening, "opening.sequence", "How does it open?")
            .saying("No step of opening is recorded.");
        finding.missing = risk::missing(dossier);
        return vec![finding];
    }
    let order = Precedence::of(&dossier.steps);
    let mut findings = vec![sequence(dossier, &order)];
    if order.cycle().is_none() {
        findings.extend(
            dossier
                .items
                .iter()
                .filter(|i| i.kind == ItemKind::Cell)
                .map(|cell| way_to_cell(dossier, &order, cell)),
        );
        findings.extend(ways_to_spares(dossier, &order));
    }
    findings.push(undoing(dossier));
    findings.push(evidence_at_risk(dossier));
    findings
}

pub(super) fn name(dossier: &Dossier, id: &str) -> String {
    dossier
        .item(id)
        .map_or_else(|| id.to_string(), |i| i.name.clone())
}

/// The trade's word for an action.
pub(super) fn action_word(action: Action) -> &'static str {
    match action {
        Action::Heat => "heat",
        Action::Pry => "pry",
        Action::Unclip => "unclip",
        Action::Unscrew => "unscrew",
        Action::Peel => "peel",
        Action::Unplug => "unplug",
        Action::Unsolder => "unsolder",
        Action::Cut => "cut",
        Action::Lift => "lift",
        Action::Pull => "pull",
        Action::Dissolve => "dissolve",
        Action::Weigh => "weigh",
        Action::Other => "other",
    }
}

pub(super) fn undo_word(undo: Undo) -> &'static str {
    match undo {
        Undo::Yes => "yes",
        Undo::WithNewMaterial => "with new material",
        Undo::No => "no",
    }
}

pub(super) fn step_evidence(dossier: &Dossier, at: usize) -> Vec<String> {
    let step = &dossier.steps[at];
    let mut places = vec![format!("steps.{}", step.id)];
    places.extend(step.evidence.iter().map(|e| e.0.clone()));
    places
}

fn sequence(dossier: &Dossier, order: &Precedence) -> Finding {
    let mut finding = Finding::new(Method::Opening, "opening.sequence", "How does it open?");
    let steps = &dossier.steps;
    let mut rows = Vec::new();
    for (i, step) in steps.iter().enumerate() {
        let cautions = hazard::cautions(dossier, i);
        for caution in &cautions {
            finding.caution(format!("Step {} ({}): {caution}", i + 1, step.id));
        }
        rows.push(StepRow {
            number: i + 1,
            step: step.id.clone(),
            action: action_word(step.action).to_string(),
            text: step.text.clone(),
            tool: step.tool.clone().unwrap_or_default(),
            temperature: step
                .temperature
                .as_ref()
                .map(|t| t.text.clone())
                .unwrap_or_default(),
            duration_min: duration_s(step).map(|s| s / 60.0),
            fasteners: fasteners(dossier, step),
            frees: step.frees.iter().map(|id| name(dossier, id)).collect(),
            destroys: step.destroys.iter().map(|id| name(dossier, id)).collect(),
            undo: undo_word(step.undo).to_string(),
            cautions,
        });
        finding.add_evidence(step_evidence(dossier, i));
    }
    if dossier.items.iter().any(hazard::is_lithium) {
        finding.caution(hazard::LITHIUM);
    }
    let all = Route {
        steps: (0..steps.len())
            .filter(|&i| steps[i].action != Action::Weigh)
            .collect(),
        tool_changes: 0,
        as_recorded: true,
    };
    let planned = steps.iter().filter(|s| !s.done).count();
    let screws: u32 = steps
        .iter()
        .map(|s| fasteners(dossier, s))
        .fold(0, u32::saturating_add);
    finding.sentence = format!(
        "{} recorded{}: {} undone, tools: {}; {} use heat, {} destroy something, {} cannot be undone.",
        counted(steps.len(), "step", "steps"),
        if planned > 0 {
            format!(" ({planned} of them planned)")
        } else {
            String::new()
        },
        counted(screws as usize, "fastener", "fasteners"),
        list(all.tools(steps)),
        steps.iter().filter(|s| hazard::uses_heat(s)).count(),
        steps.iter().filter(|s| !s.destroys.is_empty()).count(),
        steps.iter().filter(|s| s.undo == Undo::No).count(),
    );
    if let Some(at) = order.cycle() {
        finding.unused.push(format!(
            "The steps wait for each other in a circle through '{}'; no route can be worked out until \
             'after' is corrected.",
            steps[at].id
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
    finding
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
        .map(|&i| &dossier.steps[i])
        .filter(|s| duration_s(s).is_some())
        .filter_map(|s| {
            let stated = s.duration.as_ref()?;
            let path = format!("steps.{}.duration", s.id);
            let input = basis::stated_input(&s.id, stated, Origin::Measured, &path, &s.evidence);
            Some(sheet.input(input))
        })
        .collect();
    if terms.is_empty() {
        return None;
    }
    let total = sheet.sum(&terms).named(label, &basis::unit("min"));
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
        finding.add_result(label, figure);
    }
    let untimed: Vec<String> = steps
        .iter()
        .map(|&i| &dossier.steps[i])
        .filter(|s| duration_s(s).is_none())
        .map(|s| format!("'{}'", s.id))
        .collect();
    if !untimed.is_empty() {
        finding.unused.push(format!(
            "{label}: no duration is recorded for {}.",
            list(untimed)
        ));
    }
}

fn undoing(dossier: &Dossier) -> Finding {
    let mut finding = Finding::new(Method::Opening, "opening.undo", "What cannot be undone?");
    let mut rows = Vec::new();
    for (i, step) in dossier.steps.iter().enumerate() {
        if step.undo == Undo::Yes && step.destroys.is_empty() {
            continue;
        }
        rows.push(vec![
            (i + 1).to_string(),
            step.text.clone(),
            undo_word(step.undo).to_string(),
            list(step.destroys.iter().map(|id| name(dossier, id)).collect()),
            if step.done { "done" } else { "planned" }.to_string(),
        ]);
        finding.add_evidence(step_evidence(dossier, i));
    }
    let never = dossier.steps.iter().filter(|s| s.undo == Undo::No).count();
    finding.sentence = if rows.is_empty() {
        "Every step can be undone as it was.".to_string()
    } else {
        format!(
            "{} cannot be undone; {} new material.",
            counted(never, "step", "steps"),
            counted(rows.len() - never, "more needs", "more need"),
        )
    };
    if !rows.is_empty() {
        finding.details.push(Detail::Table {
            caption: "Steps that leave a mark".to_string(),
            columns: ["Step", "What", "Can be undone", "Destroys", "State"]
                .map(String::from)
                .to_vec(),
            rows,
        });
    }
    finding
}

fn evidence_at_risk(dossier: &Dossier) -> Finding {
    let mut finding = Finding::new(
        Method::Opening,
        "opening.evidence",
        "Which evidence would opening end?",
    );
    finding.missing = risk::missing(dossier);
    let late = finding.missing.iter().filter(|m| m.too_late).count();
    let pending = finding
        .missing
        .iter()
        .filter(|m| !m.too_late && m.before_step.is_some())
        .count();
    let open = finding.missing.len() - late - pending;
    finding.sentence = if finding.missing.is_empty() {
        "Everything that the claims need and opening would end has been taken.".to_string()
    } else {
        finding.verdict = Some(Verdict::NeedsEvidence);
        format!(
            "{} must be taken before a planned step, {} can be taken at any time, {} come too late.",
            counted(pending, "measurement", "measurements"),
            open,
            late
        )
    };
    finding.assume(
        "A weighing or a seal test of the whole ends with the first step that takes something out and \
         cannot be put back as it was; size and working end only with damage.",
    );
    finding
}

pub(super) fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

pub(super) fn list(names: Vec<String>) -> String {
    if names.is_empty() {
        "none".to_string()
    } else {
        names.join(", ")
    }
}
