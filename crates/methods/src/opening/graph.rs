//! The steps of a dossier as a precedence graph.
//!
//! In: the steps. Out: which steps must come before which, and what lies on the way to an item.
//! Not here: hazards, sentences.
//!
//! A step needs the steps it names in `after`, or else the step before it in the record.

use super::plan::{Act, Problem};
use petgraph::Direction;
use petgraph::algo::toposort;
use petgraph::graph::{DiGraph, NodeIndex};
use quantity::Dimension;
use record::{Action, Dossier, Step, Undo};
use std::collections::BTreeSet;

/// The steps and their order.
#[derive(Debug, Clone)]
pub struct Precedence {
    graph: DiGraph<usize, ()>,
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
    let stated = step.duration.as_ref()?;
    (stated.dimension() == Dimension::TIME)
        .then(|| stated.si())
        .filter(|t| *t >= 0.0)
}

/// Fasteners undone in a step: as stated, or the pieces of the items named.
pub fn fasteners(dossier: &Dossier, step: &Step) -> u32 {
    step.fastener_count.unwrap_or_else(|| {
        step.fasteners
            .iter()
            .map(|id| dossier.item(id).map_or(1, |i| i.count))
            .fold(0, u32::saturating_add)
    })
}

impl Precedence {
    /// Builds the graph; names of steps that do not exist are left out.
    pub fn of(steps: &[Step]) -> Self {
        let mut graph = DiGraph::new();
        let nodes: Vec<NodeIndex> = (0..steps.len()).map(|i| graph.add_node(i)).collect();
        for (i, step) in steps.iter().enumerate() {
            match &step.after {
                Some(names) => {
                    for name in names {
                        if let Some(j) = steps.iter().position(|s| s.id == *name) {
                            graph.update_edge(nodes[j], nodes[i], ());
                        }
                    }
                }
                None if i > 0 => {
                    graph.update_edge(nodes[i - 1], nodes[i], ());
                }
                None => {}
            }
        }
        Self { graph }
    }

    /// Returns a step on a cycle, if the steps wait for each other.
    pub fn cycle(&self) -> Option<usize> {
        toposort(&self.graph, None)
            .err()
            .map(|c| self.graph[c.node_id()])
    }

    /// Returns what must directly come before a step.
    fn needs(&self, step: usize) -> Vec<usize> {
        let mut found: Vec<usize> = self
            .graph
            .neighbors_directed(NodeIndex::new(step), Direction::Incoming)
            .map(|n| self.graph[n])
            .collect();
        found.sort_unstable();
        found
    }

    /// Returns a step and everything that must come before it, in the order of the record.
    pub fn closure(&self, step: usize) -> BTreeSet<usize> {
        let mut found = BTreeSet::new();
        let mut stack = vec![step];
        while let Some(at) = stack.pop() {
            if found.insert(at) {
                stack.extend(self.needs(at));
            }
        }
        found
    }

    /// Returns the way to the end of a step.
    pub fn route(&self, steps: &[Step], target: usize) -> Route {
        let acts = steps
            .iter()
            .enumerate()
            .map(|(i, step)| {
                let needs = self.needs(i);
                Act {
                    tool: tool(step).to_string(),
                    time_s: duration_s(step).unwrap_or(0.0),
                    needs: if needs.is_empty() {
                        Vec::new()
                    } else {
                        vec![needs]
                    },
                }
            })
            .collect();
        // All steps before the target are needed whatever the order, so a change of tool only has to
        // cost something for the order with the fewest changes to win.
        let problem = Problem {
            acts,
            tool_change_s: 1.0,
            start_tool: "hand".to_string(),
        };
        let (order, as_recorded) = match problem.least_to(target) {
            Some(plan) => (plan.acts, false),
            None => (self.closure(target).into_iter().collect(), true),
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
    pub fn route_to(&self, dossier: &Dossier, item: &str) -> Option<(Route, String)> {
        let steps = &dossier.steps;
        let mut at = Some(item);
        for _ in 0..=dossier.items.len() {
            let id = at?;
            let best = (0..steps.len())
                .filter(|&i| steps[i].frees.iter().any(|f| f == id))
                .map(|i| self.route(steps, i))
                .min_by(|a, b| {
                    let time = |r: &Route| {
                        r.steps
                            .iter()
                            .filter_map(|&i| duration_s(&steps[i]))
                            .sum::<f64>()
                    };
                    a.steps
                        .len()
                        .cmp(&b.steps.len())
                        .then(time(a).total_cmp(&time(b)))
                        .then(a.tool_changes.cmp(&b.tool_changes))
                });
            if let Some(route) = best {
                return Some((route, id.to_string()));
            }
            at = dossier.item(id).and_then(|i| i.parent.as_deref());
        }
        None
    }
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
            Undo::No => 2,
        };
        self.steps
            .iter()
            .map(|&i| steps[i].undo)
            .max_by_key(|&u| rank(u))
            .unwrap_or(Undo::Yes)
    }

    /// Returns the tools needed, each once, in order of first use; the bare hand left out.
    pub fn tools(&self, steps: &[Step]) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        for &i in &self.steps {
            let name = tool(&steps[i]);
            if name != "hand" && !found.iter().any(|t| t == name) {
                found.push(name.to_string());
            }
        }
        found
    }
}
