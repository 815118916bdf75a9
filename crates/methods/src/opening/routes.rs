//! The ways to cells as findings.
//!
//! In: a dossier and its precedence graph. Out: findings.
//! Not here: the whole sequence (`finding`), how a way is found (`precedence`).

use super::finding::{Opening, add_time, duration};
use super::hazard;
use crate::cells::care;
use crate::distinct::Distinct;
use crate::inputs::unit;
use crate::precedence::{
    Route, STEP_COUNT, duration_s, route_fasteners, step_evidence, tool, uses_heat, uses_solvent,
};
use crate::words::{Tally, Words as _, counted, listed, spelt_of, the, the_start};
use crate::{Cell, Column, Detail, Finding, Method, Table};
use record::{Dossier, Item, Place, Undo};

pub(super) fn way_to_cell(opening: &Opening<'_, '_>, cell: &Item) -> Finding {
    let case = opening.case;
    let dossier = case.dossier;
    let title = format!("How {} comes out", the(cell));
    let mut finding =
        Finding::new(Method::Opening, word!("route"), title).about(Place::item(&cell.id));
    care::warn(case, cell, &mut finding);
    let Some((route, freed)) = case.precedence().route_to(case, &cell.id) else {
        finding.sentence = format!("No recorded step frees {}.", the(cell));
        return finding;
    };
    let steps = &dossier.steps;
    let places = route.steps.iter().flat_map(|&i| step_evidence(dossier, i));
    finding.add_evidence(places);
    let heat = route.steps.iter().any(|&i| uses_heat(&steps[i]));
    let solvent = route.steps.iter().any(|&i| uses_solvent(&steps[i]));
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
