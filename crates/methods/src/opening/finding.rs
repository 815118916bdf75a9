//! The opening as findings: sentences, tables, figures.

use super::graph::{Precedence, Route, duration_s, fasteners, tool};
use super::hazard;
use super::risk;
use crate::{Detail, Finding, Method, StepRow, Verdict, basis};
use quantity::{Figure, Origin, Sheet, SheetError, Term};
use record::{Action, Dossier, Item, ItemKind, Undo};

const STEP_COUNT: &str = "Counting of steps: an operation that ends with the removal of a part or a change \
    of tool, Commission Decision (EU) 2016/1371, appendix (no longer in force, used as a definition).";
const BATTERY_RULES: &str = "Regulation (EU) 2023/1542, article 11, as public summaries give it: from \
    18 February 2027 portable batteries are to be removable by end-users with commercially available \
    tools, without heat and without solvents, with exemptions. The Official Journal decides; this is not \
    a verdict.";

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

fn name(dossier: &Dossier, id: &str) -> String {
    dossier
        .item(id)
        .map_or_else(|| id.to_string(), |i| i.name.clone())
}

/// The trade's word for an action.
fn action_word(action: Action) -> &'static str {
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

fn undo_word(undo: Undo) -> &'static str {
    match undo {
        Undo::Yes => "yes",
        Undo::WithNewMaterial => "with new material",
        Undo::No => "no",
    }
}

fn step_evidence(dossier: &Dossier, at: usize) -> Vec<String> {
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
fn duration(dossier: &Dossier, steps: &[usize], label: &str) -> Option<Result<Figure, SheetError>> {
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

fn add_time(
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

fn way_to_cell(dossier: &Dossier, order: &Precedence, cell: &Item) -> Finding {
    let title = format!("How does one get to {}?", cell.name);
    let mut finding =
        Finding::new(Method::Opening, format!("opening.{}", cell.id), title).about(&cell.id);
    if hazard::is_lithium(cell) {
        finding.caution(hazard::LITHIUM);
    }
    let Some((route, freed)) = order.route_to(dossier, &cell.id) else {
        finding.sentence = format!("No recorded step frees {}.", cell.name);
        return finding;
    };
    let steps = &dossier.steps;
    for &i in &route.steps {
        finding.add_evidence(step_evidence(dossier, i));
    }
    let heat = route.steps.iter().any(|&i| hazard::uses_heat(&steps[i]));
    let solvent = route.steps.iter().any(|&i| {
        steps[i].action == Action::Dissolve || steps[i].hazards.contains(&record::Hazard::Solvent)
    });
    let tools = route.tools(steps);
    finding.sentence = format!(
        "{} is reached in {} ({} when counted by part removed or tool changed) with {}, {}; {} undone; {}{}.",
        cell.name,
        counted(route.steps.len(), "act", "acts"),
        route.counted(steps),
        if tools.is_empty() {
            "no tool".to_string()
        } else {
            list(tools)
        },
        counted(route.tool_changes, "change of tool", "changes of tool"),
        counted(
            route_fasteners(dossier, &route) as usize,
            "fastener",
            "fasteners"
        ),
        match route.undo(steps) {
            Undo::Yes => "everything goes back as it was",
            Undo::WithNewMaterial => "it goes back together with new material",
            Undo::No => "it cannot be put back as it was",
        },
        match (heat, solvent) {
            (true, true) => "; the way needs heat and solvent",
            (true, false) => "; the way needs heat",
            (false, true) => "; the way needs solvent",
            (false, false) => "; neither heat nor solvent is needed",
        },
    );
    if freed != cell.id {
        finding.assume(format!(
            "No step frees the cell itself; the way ends where {} comes free.",
            name(dossier, &freed)
        ));
    }
    let label = format!("time to {}", cell.name);
    let figure = duration(dossier, &route.steps, &label);
    add_time(&mut finding, dossier, &route.steps, &label, figure);
    finding.details.push(route_table(dossier, &route));
    for &i in &route.steps {
        for caution in hazard::cautions(dossier, i) {
            finding.caution(format!("Step {} ({}): {caution}", i + 1, steps[i].id));
        }
    }
    if let Some(cell) = &cell.cell {
        for (what, text) in [("held by", &cell.held), ("connected by", &cell.connected)] {
            if let Some(text) = text {
                finding
                    .sentence
                    .push_str(&format!(" It is {what}: {text}."));
            }
        }
    }
    finding.cite(STEP_COUNT);
    finding.cite(BATTERY_RULES);
    if route.as_recorded {
        finding.unused.push(
            "Too many orders to search for the fewest tool changes; the recorded order is shown."
                .into(),
        );
    }
    finding
}

fn route_fasteners(dossier: &Dossier, route: &Route) -> u32 {
    route
        .steps
        .iter()
        .map(|&i| fasteners(dossier, &dossier.steps[i]))
        .fold(0, u32::saturating_add)
}

fn route_table(dossier: &Dossier, route: &Route) -> Detail {
    let rows = route
        .steps
        .iter()
        .map(|&i| {
            let step = &dossier.steps[i];
            vec![
                (i + 1).to_string(),
                action_word(step.action).to_string(),
                step.text.clone(),
                tool(step).to_string(),
                duration_s(step).map_or_else(String::new, |s| format!("{:.1}", s / 60.0)),
                undo_word(step.undo).to_string(),
            ]
        })
        .collect();
    Detail::Table {
        caption: "The way, in the order with the fewest changes of tool".to_string(),
        columns: [
            "Step",
            "Action",
            "What",
            "Tool",
            "Time / min",
            "Can be undone",
        ]
        .map(String::from)
        .to_vec(),
        rows,
    }
}

fn ways_to_spares(dossier: &Dossier, order: &Precedence) -> Option<Finding> {
    let spares: Vec<&Item> = dossier.items.iter().filter(|i| i.spare.is_some()).collect();
    if spares.is_empty() {
        return None;
    }
    let steps = &dossier.steps;
    let mut finding = Finding::new(
        Method::Opening,
        "opening.spares",
        "How does one get to the spare parts?",
    );
    let mut rows = Vec::new();
    let mut unreached = Vec::new();
    for item in &spares {
        let class = item.spare.clone().unwrap_or_default();
        let Some((route, _)) = order.route_to(dossier, &item.id) else {
            unreached.push(item.name.clone());
            continue;
        };
        let known: Vec<f64> = route
            .steps
            .iter()
            .filter_map(|&i| duration_s(&steps[i]))
            .collect();
        let whole = known.len() == route.steps.len();
        rows.push(vec![
            class,
            item.name.clone(),
            route.steps.len().to_string(),
            route.counted(steps).to_string(),
            list(route.tools(steps)),
            route.tool_changes.to_string(),
            route_fasteners(dossier, &route).to_string(),
            format!(
                "{}{:.1}",
                if whole { "" } else { "≥ " },
                known.iter().sum::<f64>() / 60.0
            ),
            undo_word(route.undo(steps)).to_string(),
        ]);
        for &i in &route.steps {
            finding.add_evidence(step_evidence(dossier, i));
        }
    }
    let deepest = rows
        .iter()
        .max_by_key(|r| r[2].parse::<usize>().unwrap_or(0));
    finding.sentence = match deepest {
        Some(row) => format!(
            "{} have a recorded way; the deepest is {} with {} acts.",
            counted(rows.len(), "spare part", "spare parts"),
            row[1],
            row[2]
        ),
        None => "No recorded step frees a spare part.".to_string(),
    };
    if !unreached.is_empty() {
        finding
            .unused
            .push(format!("No recorded step frees {}.", list(unreached)));
    }
    finding.details.push(Detail::Table {
        caption: "Ways to the spare parts".to_string(),
        columns: [
            "Class",
            "Part",
            "Acts",
            "Steps as counted",
            "Tools",
            "Tool changes",
            "Fasteners",
            "Time / min",
            "Can be undone",
        ]
        .map(String::from)
        .to_vec(),
        rows,
    });
    finding.cite(STEP_COUNT);
    Some(finding)
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

fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

fn list(names: Vec<String>) -> String {
    if names.is_empty() {
        "none".to_string()
    } else {
        names.join(", ")
    }
}
