//! The steps of a dossier as a precedence graph.
//!
//! In: the steps. Out: which steps must come before which, and what lies on the way to an item.
//! Not here: hazards beside heat and solvents, sentences; what a way asks for (`way`).
//!
//! A step needs the steps it names in `after`, or else the step before it in the record.

pub mod plan;
mod search;
mod way;

pub use way::{WayTo, Worst};
pub(crate) use way::{all, goes_back, lock, spare_class};

use crate::Case;
use crate::assumed;
use crate::distinct::Distinct;
use crate::words::Tally;
use petgraph::algo::toposort;
use petgraph::graph::{DiGraph, NodeIndex};
use plan::{Act, Problem};
use quantity::Dimension;
use record::{Action, Count, Dossier, Hazard, Place, Step, Undo};
use std::collections::HashMap;

/// The steps and their order.
#[derive(Debug)]
pub struct Precedence<'d> {
    steps: &'d [Step],
    cycle: Option<usize>,
    problem: Problem,
    tools: Vec<usize>,
    /// The steps that free each item.
    freeing: HashMap<&'d str, Vec<usize>>,
}

/// The way to one item.
#[derive(Debug, Clone, PartialEq)]
pub struct Route {
    /// Step indexes in an order with the fewest tool changes; weighings left out.
    pub steps: Vec<usize>,
    /// Changes of tool on it, the first taking up of a tool included.
    pub tool_changes: usize,
    /// Whether the search over orders gave up and this is the recorded order.
    pub as_recorded: bool,
}

/// Tool name of a step; by hand if none is given.
pub fn tool(step: &Step) -> &str {
    step.tool.as_deref().unwrap_or("hand")
}

/// Duration of a step in seconds, where it is a time and not negative.
pub fn duration_s(step: &Step) -> Option<f64> {
    let stated = step.took()?;
    (stated.dimension() == Dimension::TIME)
        .then(|| stated.si())
        .filter(|t| *t >= 0.0)
}

/// How steps are counted, for readers.
pub(crate) const STEP_COUNT: &str = "Counting of steps: an operation that ends with the removal of a part or a change \
    of tool, Commission Decision (EU) 2016/1371, appendix (no longer in force, used as a definition).";

/// Returns whether a step uses heat.
pub fn uses_heat(step: &Step) -> bool {
    let hot = step.temperature.as_ref().is_some_and(|t| {
        t.dimension() == Dimension::TEMPERATURE && t.si() > assumed::HOT_FOR_A_CELL.si()
    });
    hot || matches!(step.action, Action::Heat | Action::Unsolder)
        || step.hazards.contains(&Hazard::Heat)
}

/// Returns whether a step uses a solvent.
pub fn uses_solvent(step: &Step) -> bool {
    step.action == Action::Dissolve || step.hazards.contains(&Hazard::Solvent)
}

/// Returns where a step stands in the record and where it is seen.
pub(crate) fn step_evidence(dossier: &Dossier, at: usize) -> Vec<Place> {
    let step = &dossier.steps[at];
    let mut places = vec![Place::step(&step.id)];
    places.extend(step.evidence.iter().map(Place::from));
    places
}

/// Fasteners undone on a way.
pub(crate) fn route_fasteners(case: &Case<'_>, route: &Route) -> Tally {
    let mut undone = Tally::default();
    for &i in &route.steps {
        undone.join(fasteners(case, &case.dossier.steps[i]));
    }
    undone
}

/// Fasteners undone in a step: as stated, or the pieces of the items named.
pub(crate) fn fasteners(case: &Case<'_>, step: &Step) -> Tally {
    let mut undone = Tally::default();
    if let Some(stated) = step.fastener_count {
        undone.add(Count::Of(stated));
        return undone;
    }
    for id in &step.fasteners {
        let item = case.item(id);
        // Within what holds them: a step is about one of these.
        undone.add(item.map_or(Count::NotStated, |i| i.count));
    }
    undone
}

impl<'d> Precedence<'d> {
    /// Builds the graph of the steps of a case; names of steps that do not exist are left out.
    pub fn of(case: &Case<'d>) -> Self {
        let steps = case.dossier.steps.as_slice();
        let mut needs: Vec<Vec<usize>> = Vec::with_capacity(steps.len());
        for (i, step) in steps.iter().enumerate() {
            let mut before: Vec<usize> = match &step.after {
                Some(names) => names.iter().filter_map(|n| case.lookup().step(n)).collect(),
                None => i.checked_sub(1).into_iter().collect(),
            };
            before.sort_unstable();
            before.dedup();
            needs.push(before);
        }
        let cycle = circle(&needs);
        let acts = steps.iter().zip(needs).map(|(step, needs)| Act {
            tool: tool(step).to_string(),
            time_s: duration_s(step).unwrap_or(0.0),
            needs: if needs.is_empty() {
                Vec::new()
            } else {
                vec![needs]
            },
        });
        // All steps before the target are needed whatever the order, so a change of tool only has to
        // cost something for the order with the fewest changes to win.
        let problem = Problem {
            acts: acts.collect(),
            tool_change_s: assumed::TOOL_CHANGE.number(),
            start_tool: "hand".to_string(),
        };
        let mut freeing: HashMap<&str, Vec<usize>> = HashMap::new();
        for (i, step) in steps.iter().enumerate() {
            for item in &step.frees {
                let by = freeing.entry(item.as_str()).or_default();
                if by.last() != Some(&i) {
                    by.push(i);
                }
            }
        }
        Self {
            steps,
            cycle,
            tools: problem.tools(),
            problem,
            freeing,
        }
    }

    /// Returns a step on a cycle, if the steps wait for each other.
    pub fn cycle(&self) -> Option<usize> {
        self.cycle
    }

    /// Returns the way to the end of a step.
    pub fn route(&self, target: usize) -> Route {
        let steps = self.steps;
        let (order, as_recorded) = match self.problem.least_to(target, &self.tools) {
            Some(plan) => (plan.acts, false),
            None => (self.problem.relevant(target).into_iter().collect(), true),
        };
        let order: Vec<usize> = order
            .into_iter()
            .filter(|&i| steps[i].action != Action::Weigh)
            .collect();
        let mut hand = "hand";
        let mut tool_changes = 0;
        for &i in &order {
            tool_changes += usize::from(tool(&steps[i]) != hand);
            hand = tool(&steps[i]);
        }
        Route {
            steps: order,
            tool_changes,
            as_recorded,
        }
    }

    /// Returns the shortest way to an item being free: over the steps that free it, or else over those
    /// that free what it is in. `None` if no step does.
    pub fn route_to(&self, case: &Case<'d>, item: &str) -> Option<(Route, String)> {
        let time = |r: &Route| -> f64 {
            let times = r.steps.iter().filter_map(|&i| duration_s(&self.steps[i]));
            times.sum()
        };
        let shorter = |a: &Route, b: &Route| {
            let acts = a.steps.len().cmp(&b.steps.len());
            acts.then(time(a).total_cmp(&time(b)))
                .then(a.tool_changes.cmp(&b.tool_changes))
        };
        case.tree().upwards(item).find_map(|at| {
            let by = self.freeing.get(at.id.as_str())?;
            let best = by.iter().map(|&i| self.route(i)).min_by(shorter)?;
            Some((best, at.id.clone()))
        })
    }
}

/// Returns a step on a circle, where `needs` says what comes directly before each.
fn circle(needs: &[Vec<usize>]) -> Option<usize> {
    let mut graph: DiGraph<(), ()> = DiGraph::with_capacity(needs.len(), needs.len());
    for _ in needs {
        graph.add_node(());
    }
    for (i, before) in needs.iter().enumerate() {
        for &j in before {
            graph.add_edge(NodeIndex::new(j), NodeIndex::new(i), ());
        }
    }
    toposort(&graph, None).err().map(|c| c.node_id().index())
}

impl Route {
    /// Returns the number of steps as counted by Decision (EU) 2016/1371: an operation that ends with
    /// the removal of a part or a change of tool.
    pub fn counted(&self, steps: &[Step]) -> usize {
        let order = &self.steps;
        (0..order.len())
            .filter(|&k| {
                let step = &steps[order[k]];
                let last = k + 1 == order.len();
                !step.frees.is_empty() || last || tool(&steps[order[k + 1]]) != tool(step)
            })
            .count()
    }

    /// Returns the hardest undoing on the way.
    pub fn undo(&self, steps: &[Step]) -> Undo {
        let rank = |u: Undo| match u {
            Undo::Yes => 0,
            Undo::WithNewMaterial => 1,
            Undo::Unknown => 2,
            Undo::No => 3,
        };
        self.steps
            .iter()
            .map(|&i| steps[i].undo)
            .max_by_key(|&u| rank(u))
            .unwrap_or(Undo::Yes)
    }

    /// Returns the tools needed, each once, in order of first use; the bare hand left out.
    pub fn tools(&self, steps: &[Step]) -> Vec<String> {
        let tools = self.steps.iter().map(|&i| tool(&steps[i]));
        let tools = tools.filter(|name| *name != "hand").map(String::from);
        tools.collect::<Distinct>().into_vec()
    }
}
