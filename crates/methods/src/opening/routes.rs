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
use crate::words::{
    Tally, Words as _, counted, listed, listed_or_none, spelt_of, spelt_start, the, the_start,
};
use crate::{Cancelled, Case, Cell, Column, Detail, Finding, Method, Table};
use record::{Action, Dossier, Item, ItemKind, Place, Undo};
use std::cmp::Ordering;

const STEP_COUNT: &str = "Counting of steps: an operation that ends with the removal of a part or a change \
    of tool, Commission Decision (EU) 2016/1371, appendix (no longer in force, used as a definition).";
const BATTERY_RULES: &str = "Regulation (EU) 2023/1542, article 11, as public summaries give it: from \
    18 February 2027 portable batteries are to be removable by end-users with commercially available \
    tools, without heat and without solvents, with exemptions. The Official Journal decides; this is not \
    a verdict.";

pub(super) fn way_to_cell(opening: &Opening<'_, '_>, cell: &Item) -> Finding {
    let case = opening.case;
    let dossier = case.dossier;
    let title = format!("How {} comes out", the(cell));
    let mut finding =
        Finding::new(Method::Opening, word!("route"), title).about(Place::item(&cell.id));
    care::warn(case, cell, &mut finding);
    let Some((route, freed)) = opening.order.route_to(case, &cell.id) else {
        finding.sentence = format!("No recorded step frees {}.", the(cell));
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
    finding.title = format!(
        "{} comes out in {}",
        the_start(cell),
        counted(route.steps.len(), "step", "steps")
    );
    let label = format!("time to {}", the(cell));
    let figure = duration(dossier, &route.steps, &label);
    let time = match &figure {
        Some(Ok(figure)) => format!(" and {}", figure.text),
        _ => String::new(),
    };
    finding.sentence = format!(
        "{} comes out in {}{time}, with {}; {}. {}{}.",
        the_start(cell),
        spelt_of(route.steps.len(), "step", "steps"),
        match tools.is_empty() {
            true => "no tool".to_string(),
            false => listed(tools.iter().map(|t| (*t).to_string()).collect()),
        },
        match (heat, solvent) {
            (true, true) => "it needs heat and solvent",
            (true, false) => "it needs heat",
            (false, true) => "it needs solvent",
            (false, false) => "it needs neither heat nor solvent",
        },
        match route_fasteners(case, &route) {
            none if none == Tally::default() => String::new(),
            some => format!(
                "{} undone on the way. ",
                some.start("fastener is", "fasteners are")
            ),
        },
        match route.undo(steps) {
            Undo::Yes => "Everything goes back as it was",
            Undo::WithNewMaterial => "Glue, film or tape must be renewed",
            Undo::No => "It cannot be put back as it was",
            Undo::Unknown => "Whether it goes back as it was is not known",
        },
    );
    if freed != cell.id {
        finding.assume(format!(
            "No step frees the cell itself; the way ends where {} comes free.",
            case.tree().name(&freed)
        ));
    }
    add_time(&mut finding, dossier, &route.steps, &label, figure);
    finding.details.push(route_table(dossier, &route));
    let mut said = Distinct::from(std::mem::take(&mut finding.cautions));
    for &i in &route.steps {
        for caution in hazard::cautions(case, &opening.cells, i) {
            said.push(format!("Step {}: {caution}", i + 1));
        }
    }
    finding.cautions = said.into_vec();
    if let Some(cell) = &cell.cell {
        let told: Vec<String> = [(&cell.held, "held"), (&cell.connected, "connected")]
            .into_iter()
            .filter_map(|(text, how)| Some(fixed(text.as_deref()?, how)))
            .collect();
        if !told.is_empty() {
            finding
                .sentence
                .push_str(&format!(" It is {}.", told.join(" and ")));
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

/// Says how a cell is fixed: `glued over its whole face`, `plugged in`, `held by a clip`.
fn fixed(text: &str, how: &str) -> String {
    let text = text.trim().replace("the whole face", "its whole face");
    let first = text.split(' ').next().unwrap_or_default();
    match text.as_str() {
        "connector" => "plugged in".to_string(),
        _ if first.ends_with("ed") => text,
        _ if text.ends_with('s') || text.contains([',', ' ']) => format!("{how} by {text}"),
        _ => format!("{how} by a {text}"),
    }
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
            Column::words("Can be reversed"),
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
        "How to reach the spare parts",
    );
    let (mut rows, mut places) = (Vec::new(), Distinct::default());
    let mut unreached = Vec::new();
    let mut deepest: (usize, Vec<&Item>) = (0, Vec::new());
    for item in &spares {
        case.go_on()?;
        let class = item.spare.clone().unwrap_or_default();
        let Some((route, _)) = opening.order.route_to(case, &item.id) else {
            unreached.push(the(item));
            continue;
        };
        let known: Vec<f64> = route
            .steps
            .iter()
            .filter_map(|&i| duration_s(&steps[i]))
            .collect();
        let whole = known.len() == route.steps.len();
        let minutes = Cell::number(known.iter().sum::<f64>() / 60.0, 1);
        let order = (
            item.kind != ItemKind::Cell,
            known.iter().sum::<f64>(),
            route.steps.len(),
        );
        let row = vec![
            Cell::words(class),
            Cell::item(item),
            Cell::count(route.steps.len()),
            Cell::count(route.counted(steps)),
            Cell::words(listed_or_none(&route.tools(steps))),
            Cell::count(route.tool_changes),
            route_fasteners(case, &route).cell(),
            if whole { minutes } else { minutes.at_least() },
            Cell::words(route.undo(steps).words()),
        ];
        rows.push((order, row));
        match route.steps.len().cmp(&deepest.0) {
            Ordering::Greater => deepest = (route.steps.len(), vec![item]),
            Ordering::Equal => deepest.1.push(item),
            Ordering::Less => {}
        }
        places.extend(route.steps.iter().flat_map(|&i| step_evidence(dossier, i)));
    }
    finding.add_evidence(places);
    // Cells first, then what is reached soonest.
    rows.sort_by(
        |((a_cell, a_time, a_steps), _), ((b_cell, b_time, b_steps), _)| {
            (a_cell.cmp(b_cell))
                .then(a_time.total_cmp(b_time))
                .then(a_steps.cmp(b_steps))
        },
    );
    let rows: Vec<Vec<Cell>> = rows.into_iter().map(|(_, row)| row).collect();
    let (steps, lowest) = deepest;
    finding.sentence = if lowest.is_empty() {
        "No recorded step frees a spare part.".to_string()
    } else {
        format!(
            "{} be reached; {} {} deepest, {} in.",
            spelt_start(rows.len(), "spare part can", "spare parts can"),
            listed(lowest.iter().map(|item| the(item)).collect()),
            if lowest.len() == 1 { "lies" } else { "lie" },
            spelt_of(steps, "step", "steps")
        )
    };
    if !unreached.is_empty() {
        finding.unused.push(format!(
            "No recorded step frees {}.",
            listed_or_none(&unreached)
        ));
    }
    finding.details.push(Detail::Table(Table {
        caption:
            "How to reach each spare part; an operation ends with a removal or a change of tool"
                .to_string(),
        columns: vec![
            Column::words("Class"),
            Column::place("Part"),
            Column::count("Steps"),
            Column::count("Operations"),
            Column::words("Tools"),
            Column::count("Tool changes"),
            Column::count("Fasteners"),
            Column::in_unit("Time", unit("min")),
            Column::words("Can be reversed"),
        ],
        rows,
    }));
    finding.cite(STEP_COUNT);
    Ok(Some(finding))
}
