//! The ways to cells and spare parts as findings.
//!
//! In: a dossier and its precedence graph. Out: findings.
//! Not here: the whole sequence (`finding`), how a way is found (`graph`).

use super::finding::{Opening, add_time, duration, step_evidence};
use super::graph::{Route, duration_s, fasteners, tool};
use super::hazard;
use crate::cells::care;
use crate::distinct::Distinct;
use crate::inputs::unit;
use crate::words::{Tally, Words as _, counted, listed_or_none};
use crate::{Cancelled, Case, Cell, Column, Detail, Finding, Method, Table};
use record::{Action, Dossier, Item, Place, Undo};

const STEP_COUNT: &str = "Counting of steps: an operation that ends with the removal of a part or a change \
    of tool, Commission Decision (EU) 2016/1371, appendix (no longer in force, used as a definition).";
const BATTERY_RULES: &str = "Regulation (EU) 2023/1542, article 11, as public summaries give it: from \
    18 February 2027 portable batteries are to be removable by end-users with commercially available \
    tools, without heat and without solvents, with exemptions. The Official Journal decides; this is not \
    a verdict.";

pub(super) fn way_to_cell(opening: &Opening<'_, '_>, cell: &Item) -> Finding {
    let case = opening.case;
    let dossier = case.dossier;
    let title = format!("How does one get to {}?", cell.name);
    let mut finding =
        Finding::new(Method::Opening, word!("route"), title).about(Place::item(&cell.id));
    care::warn(case, cell, &mut finding);
    let Some((route, freed)) = opening.order.route_to(case, &cell.id) else {
        finding.sentence = format!("No recorded step frees {}.", cell.name);
        return finding;
    };
    let steps = &dossier.steps;
    let places = route.steps.iter().flat_map(|&i| step_evidence(dossier, i));
    finding.add_evidence(places);
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
            listed_or_none(&tools)
        },
        counted(route.tool_changes, "change of tool", "changes of tool"),
        route_fasteners(case, &route).of("fastener", "fasteners"),
        match route.undo(steps) {
            Undo::Yes => "everything goes back as it was",
            Undo::WithNewMaterial => "it goes back together with new material",
            Undo::No => "it cannot be put back as it was",
            Undo::Unknown => "whether it goes back as it was is not known",
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
            case.tree().name(&freed)
        ));
    }
    let label = format!("time to {}", cell.name);
    let figure = duration(dossier, &route.steps, &label);
    add_time(&mut finding, dossier, &route.steps, &label, figure);
    finding.details.push(route_table(dossier, &route));
    let mut said = Distinct::from(std::mem::take(&mut finding.cautions));
    for &i in &route.steps {
        for caution in hazard::cautions(case, &opening.cells, i) {
            said.push(format!("Step {} ({}): {caution}", i + 1, steps[i].id));
        }
    }
    finding.cautions = said.into_vec();
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

fn route_fasteners(case: &Case<'_>, route: &Route) -> Tally {
    let mut undone = Tally::default();
    for &i in &route.steps {
        undone.join(fasteners(case, &case.dossier.steps[i]));
    }
    undone
}

fn route_table(dossier: &Dossier, route: &Route) -> Detail {
    let rows = route
        .steps
        .iter()
        .map(|&i| {
            let step = &dossier.steps[i];
            vec![
                Cell::count(i + 1),
                Cell::words(step.action.words()),
                Cell::words(&step.text),
                Cell::words(tool(step)),
                duration_s(step).map_or(Cell::Nothing, |s| Cell::number(s / 60.0, 1)),
                Cell::words(step.undo.words()),
            ]
        })
        .collect();
    Detail::Table(Table {
        caption: "The way, in the order with the fewest changes of tool".to_string(),
        columns: vec![
            Column::count("Step"),
            Column::words("Action"),
            Column::words("What"),
            Column::words("Tool"),
            Column::in_unit("Time", unit("min")),
            Column::words("Can be undone"),
        ],
        rows,
    })
}

pub(super) fn ways_to_spares(opening: &Opening<'_, '_>) -> Result<Option<Finding>, Cancelled> {
    let case = opening.case;
    let dossier = case.dossier;
    let spares: Vec<&Item> = dossier.items.iter().filter(|i| i.spare.is_some()).collect();
    if spares.is_empty() {
        return Ok(None);
    }
    let steps = &dossier.steps;
    let mut finding = Finding::new(
        Method::Opening,
        word!("spares"),
        "How does one get to the spare parts?",
    );
    let (mut rows, mut places) = (Vec::new(), Distinct::default());
    let mut unreached = Vec::new();
    let mut deepest: Option<(usize, &String)> = None;
    for item in &spares {
        case.go_on()?;
        let class = item.spare.clone().unwrap_or_default();
        let Some((route, _)) = opening.order.route_to(case, &item.id) else {
            unreached.push(item.name.clone());
            continue;
        };
        let known: Vec<f64> = route
            .steps
            .iter()
            .filter_map(|&i| duration_s(&steps[i]))
            .collect();
        let whole = known.len() == route.steps.len();
        let minutes = Cell::number(known.iter().sum::<f64>() / 60.0, 1);
        rows.push(vec![
            Cell::words(class),
            Cell::item(item),
            Cell::count(route.steps.len()),
            Cell::count(route.counted(steps)),
            Cell::words(listed_or_none(&route.tools(steps))),
            Cell::count(route.tool_changes),
            route_fasteners(case, &route).cell(),
            if whole { minutes } else { minutes.at_least() },
            Cell::words(route.undo(steps).words()),
        ]);
        // Of several as deep the last is named.
        if deepest.is_none_or(|(acts, _)| route.steps.len() >= acts) {
            deepest = Some((route.steps.len(), &item.name));
        }
        places.extend(route.steps.iter().flat_map(|&i| step_evidence(dossier, i)));
    }
    finding.add_evidence(places);
    finding.sentence = match deepest {
        Some((acts, name)) => format!(
            "{} have a recorded way; the deepest is {name} with {acts} acts.",
            counted(rows.len(), "spare part", "spare parts"),
        ),
        None => "No recorded step frees a spare part.".to_string(),
    };
    if !unreached.is_empty() {
        finding.unused.push(format!(
            "No recorded step frees {}.",
            listed_or_none(&unreached)
        ));
    }
    finding.details.push(Detail::Table(Table {
        caption: "Ways to the spare parts".to_string(),
        columns: vec![
            Column::words("Class"),
            Column::place("Part"),
            Column::count("Acts"),
            Column::count("Steps as counted"),
            Column::words("Tools"),
            Column::count("Tool changes"),
            Column::count("Fasteners"),
            Column::in_unit("Time", unit("min")),
            Column::words("Can be undone"),
        ],
        rows,
    }));
    finding.cite(STEP_COUNT);
    Ok(Some(finding))
}
