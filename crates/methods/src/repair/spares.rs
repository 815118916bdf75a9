//! The way to each spare part, and back.
//!
//! In: spare parts with their ways. Out: one finding: a table of ways, their steps for a drawing, the classes of each.

use super::Spare;
use super::timed::{Timed, clock};
use crate::distinct::Distinct;
use crate::inputs::unit;
use crate::precedence::{STEP_COUNT, WayTo, Worst, route_fasteners, step_evidence, tool};
use crate::words::{Words as _, listed, listed_or_none, spelt, spelt_of, spelt_start, the};
use crate::{Case, Cell, Column, Detail, Finding, Method, Missing, PartWay, Table, WayStep};
use ::repair::classes::{self, of_environment, of_skill, of_tool};
use ::repair::times::Way;
use ::repair::tools;
use record::{Environment, Item, ItemKind, Renewal, Skill, Undo};

/// Stands where something is not known.
const OPEN: &str = "–";

/// Tells the ways to spare parts; `None` where there is none.
pub(super) fn told(case: &Case<'_>, spares: &[Spare<'_>]) -> Option<Finding> {
    if spares.is_empty() {
        return None;
    }
    let dossier = case.dossier;
    let mut finding = Finding::new(
        Method::Repair,
        word!("spares"),
        "The way to each spare part, and back",
    );
    let mut reached: Vec<&WayTo<'_>> = spares.iter().filter_map(|s| s.way.as_ref()).collect();
    // Cells first, then what is reached soonest.
    reached.sort_by(|a, b| {
        let order = |way: &WayTo<'_>| (way.item.kind != ItemKind::Cell, way.route.steps.len());
        let time = |way: &WayTo<'_>| clock(dossier, &way.route).0;
        order(a).cmp(&order(b)).then(time(a).total_cmp(&time(b)))
    });
    let mut places = Distinct::default();
    for way in &reached {
        places.extend(
            way.route
                .steps
                .iter()
                .flat_map(|&i| step_evidence(dossier, i)),
        );
    }
    finding.add_evidence(places);
    finding.sentence = sentence(case, &reached);
    let unreached: Vec<String> = spares
        .iter()
        .filter(|s| s.way.is_none())
        .map(|s| the(s.item))
        .collect();
    if !unreached.is_empty() {
        finding.unused.push(format!(
            "No recorded step frees {}.",
            listed_or_none(&unreached)
        ));
    }
    if reached.is_empty() {
        return Some(finding);
    }
    let timed: Vec<Timed> = reached.iter().map(|way| Timed::of(case, way)).collect();
    finding.details.push(Detail::Ways {
        ways: reached.iter().map(|way| drawn(case, way)).collect(),
    });
    finding
        .details
        .push(Detail::Table(ways(case, &reached, &timed)));
    finding.details.push(Detail::Table(asked(case, &reached)));
    finding
        .details
        .extend(super::timed::table(case, &reached, &timed));
    missing(case, &reached, &mut finding);
    finding.assume(
        "The way back is the way there from its end, with what must be renewed renewed. State `undo`, `renews` and \
         `renewal` of a step to change it.",
    );
    finding.assume(
        "A step without `tool` needs none; screwdrivers with common recesses, spudgers, picks, tweezers and the like are \
         basic tools by their names. State `tool-class` to change it.",
    );
    finding.cite(STEP_COUNT);
    finding.cite(classes::SOURCE);
    finding.cite(tools::SOURCE);
    super::timed::cite(case, &timed, &mut finding);
    Some(finding)
}

fn sentence(case: &Case<'_>, reached: &[&WayTo<'_>]) -> String {
    let deepest = reached
        .iter()
        .map(|way| way.route.steps.len())
        .max()
        .unwrap_or(0);
    if deepest == 0 {
        return "No recorded step frees a spare part.".to_string();
    }
    let lowest: Vec<String> = reached
        .iter()
        .filter(|way| way.route.steps.len() == deepest)
        .map(|way| the(way.item))
        .collect();
    let steps = &case.dossier.steps;
    let back = |wanted: Option<bool>| {
        reached
            .iter()
            .filter(|way| way.goes_back(steps) == wanted)
            .count()
    };
    let mut told = format!(
        "{} be reached; {} {} deepest, {} in.",
        spelt_start(reached.len(), "spare part can", "spare parts can"),
        listed(lowest.clone()),
        if lowest.len() == 1 { "lies" } else { "lie" },
        spelt_of(deepest, "step", "steps"),
    );
    told += &match (back(Some(true)), back(Some(false)), back(None)) {
        (_, 0, 0) => " The product goes back together after each.".to_string(),
        (_, 0, open) => format!(
            " For {} of them it is not recorded whether {}.",
            if open == reached.len() {
                "all".to_string()
            } else {
                spelt(open)
            },
            if reached
                .iter()
                .any(|way| way.route.undo(steps) == Undo::Unknown)
            {
                "the product goes back together"
            } else {
                "what must be renewed can be had"
            },
        ),
        (_, never, _) => format!(
            " After {} of them the product does not go back together.",
            if never == reached.len() {
                "all".to_string()
            } else {
                spelt(never)
            }
        ),
    };
    told
}

fn ways(case: &Case<'_>, reached: &[&WayTo<'_>], timed: &[Timed]) -> Table {
    let steps = &case.dossier.steps;
    let rows = reached.iter().zip(timed).map(|(way, timed)| {
        let (seconds, whole) = clock(case.dossier, &way.route);
        let minutes = Cell::number(seconds / 60.0, 1);
        vec![
            Cell::item(way.item),
            Cell::count(way.route.steps.len()),
            Cell::count(way.route.tool_changes),
            Cell::words(letters(way)),
            Cell::words(match way.route.undo(steps) {
                Undo::WithNewMaterial => "if renewed",
                other => other.words(),
            }),
            if whole { minutes } else { minutes.at_least() },
            timed.cell(Way::There),
            timed.cell(Way::Back),
        ]
    });
    let minutes = |heading| Column::in_unit(heading, unit("min"));
    Table {
        caption: "How each spare part is reached, timed by the clock and by the analyst's own table. Classes, from memory of \
                  EN 45554: fasteners, tools, place, person; A asks least, – is not recorded"
            .into(),
        rows: rows.collect(),
        columns: vec![
            Column::place("Part"),
            Column::count("Steps"),
            Column::count("Tools changed"),
            Column::words("Classes"),
            Column::words("Goes back"),
            minutes("Clock"),
            minutes("Table"),
            minutes("Back"),
        ],
    }
}

/// The four classes: `B A – C`.
fn letters(way: &WayTo<'_>) -> String {
    let all = [
        way.fastening.known().map(classes::Fastening::letter),
        way.tools.known().and_then(of_tool),
        way.environment.known().and_then(of_environment),
        way.skill.known().and_then(of_skill),
    ];
    all.map(|letter| letter.map_or(OPEN.to_string(), String::from))
        .join(" ")
}

/// What each way asks for, in words.
fn asked(case: &Case<'_>, reached: &[&WayTo<'_>]) -> Table {
    let rows = reached.iter().map(|way| {
        let renews = way.renews.iter().map(|(what, had)| match had {
            Renewal::WithPart => format!("{what} (comes with the part)"),
            Renewal::Bought => format!("{what} (can be bought)"),
            Renewal::None => format!("{what} (cannot be had)"),
            Renewal::Unknown => what.clone(),
        });
        let renews: Distinct = renews.collect();
        vec![
            Cell::item(way.item),
            Cell::words(way.item.spare.clone().unwrap_or_default()),
            Cell::count(way.route.counted(&case.dossier.steps)),
            Cell::words(said(way.fastening, classes::Fastening::words)),
            route_fasteners(case, &way.route).cell(),
            Cell::words(listed_or_none(&way.route.tools(&case.dossier.steps))),
            Cell::words(said(way.tools, tools::words)),
            Cell::words(said(way.environment, environment)),
            Cell::words(said(way.skill, skill)),
            Cell::words(listed_or_none(&renews.into_vec())),
            Cell::words(match way.lock(case) {
                Some(true) => "yes",
                Some(false) => "no",
                None => "not known",
            }),
        ]
    });
    Table {
        caption: "What the way to each spare part asks for; an operation ends with a removal or a change of tool".into(),
        rows: rows.collect(),
        columns: vec![
            Column::place("Part"),
            Column::words("Spare part"),
            Column::count("Operations"),
            Column::words("Held by what is"),
            Column::count("Fasteners"),
            Column::words("Tools"),
            Column::words("Kind of tools"),
            Column::words("Place"),
            Column::words("Person"),
            Column::words("Must be renewed"),
            Column::words("Locked to the product"),
        ],
    }
}

/// Says the worst; that there is no more to it is said only where every step says so.
fn said<T: Copy + Ord>(worst: Worst<T>, words: impl Fn(T) -> &'static str) -> String {
    match (worst.least, worst.open) {
        (None, _) => "not recorded".to_string(),
        (Some(least), 0) => words(least).to_string(),
        (Some(least), _) => format!("at least: {}", words(least)),
    }
}

const fn environment(environment: Environment) -> &'static str {
    match environment {
        Environment::Use => "where it is used",
        Environment::Workshop => "workshop",
        Environment::Production => "as where it is made",
        Environment::Unknown => "not known",
    }
}

const fn skill(skill: Skill) -> &'static str {
    match skill {
        Skill::Layman => "anybody",
        Skill::Generalist => "generalist",
        Skill::Expert => "expert",
        Skill::Maker => "maker or authorised",
        Skill::NotFeasible => "nobody",
        Skill::Unknown => "not known",
    }
}

fn drawn(case: &Case<'_>, way: &WayTo<'_>) -> PartWay {
    let mut hand = "hand";
    let name = |item: &Item| item.name.clone();
    let steps = way.route.steps.iter().map(|&i| {
        let step = &case.dossier.steps[i];
        let changes_tool = tool(step) != hand;
        hand = tool(step);
        WayStep {
            number: i + 1,
            step: step.id.clone(),
            tool: step.tool.clone().unwrap_or_default(),
            changes_tool,
            undo: step.undo,
            breaks: step
                .destroys
                .iter()
                .filter_map(|id| case.item(id))
                .map(name)
                .collect(),
            renews: match step.undo {
                Undo::WithNewMaterial => step.renews.clone(),
                _ => Vec::new(),
            },
        }
    });
    PartWay {
        item: way.item.id.clone(),
        name: way.item.name.clone(),
        steps: steps.collect(),
    }
}

/// Asks once for what many steps do not say.
fn missing(case: &Case<'_>, reached: &[&WayTo<'_>], finding: &mut Finding) {
    let open = |of: &dyn Fn(&WayTo<'_>) -> usize| reached.iter().any(|way| of(way) > 0);
    let mut lacks = Vec::new();
    if open(&|way| way.environment.open) {
        lacks.push("where they can be done".to_string());
    }
    if open(&|way| way.skill.open) {
        lacks.push("who can do them".to_string());
    }
    if open(&|way| way.tools.open) {
        lacks.push("what kind of tool they need".to_string());
    }
    if !lacks.is_empty() && !case.dossier.steps.is_empty() {
        finding.missing.push(Missing::at_any_time(format!(
            "record for the steps to the spare parts {}",
            listed(lacks)
        )));
    }
}
