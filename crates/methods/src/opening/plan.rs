//! Least-effort order of acts under "needs this, or that and that" conditions.
//!
//! In: acts with time, tool and alternatives of what must be done first; the cost of changing tools.
//! Out: the cheapest order to one act or to all, and counts of all orders.
//! Not here: where the acts come from (`graph`).
//!
//! Dijkstra's search on states (set of acts done, tool in hand); only acts that can matter to the target
//! are looked at. The number of states can grow with 2ⁿ, so the search gives up at a bound and says so.
//! Method: E. W. Dijkstra, Numer. Math. 1 (1959) 269–271, on the AND/OR precedence graphs of
//! L. S. Homem de Mello and A. C. Sanderson, IEEE Trans. Robot. Autom. 6 (1990) 188–199.

use super::search::Search;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Most states a search looks at.
pub const STATE_BOUND: usize = 100_000;

/// One act.
#[derive(Debug, Clone, PartialEq)]
pub struct Act {
    /// The tool it is done with.
    pub tool: String,
    /// Time it takes, s.
    pub time_s: f64,
    /// What must be done first: any one of these sets, all of it; nothing if empty.
    pub needs: Vec<Vec<usize>>,
}

/// Acts and the cost of changing tools.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// The acts.
    pub acts: Vec<Act>,
    /// Cost of a change of tool, s.
    pub tool_change_s: f64,
    /// The tool in hand at the start.
    pub start_tool: String,
}

/// An order of acts.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Acts in order.
    pub acts: Vec<usize>,
    /// Time with tool changes, s.
    pub time_s: f64,
    /// Changes of tool, the one at the start included.
    pub tool_changes: usize,
}

/// Counts over all orders that do every act.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Orders {
    /// Number of feasible orders.
    pub feasible: f64,
    /// Least time, s.
    pub least_s: f64,
    /// Number of orders with the least time.
    pub cheapest: f64,
    /// Greatest time, s.
    pub most_s: f64,
    /// Sets of acts done that can occur.
    pub sets: usize,
    /// States (set, tool).
    pub states: usize,
    /// Transitions between states.
    pub transitions: usize,
}

/// Acts done (sorted) and the tool in hand.
type State = (BTreeSet<usize>, usize);

impl Problem {
    /// Returns the cheapest order that ends with `target`; `None` if it cannot be reached or the
    /// search would pass [`STATE_BOUND`].
    pub fn least_to(&self, target: usize) -> Option<Plan> {
        self.least_to_with(target, &self.tools())
    }

    /// As [`Problem::least_to`], with the numbers that [`Problem::tools`] gives.
    pub(super) fn least_to_with(&self, target: usize, tools: &[usize]) -> Option<Plan> {
        let relevant = self.relevant(target);
        Search::new(self, tools, &relevant).least(Some(target))
    }

    /// Returns the cheapest order of all acts, with the same limits.
    pub fn least_to_all(&self) -> Option<Plan> {
        let all: BTreeSet<usize> = (0..self.acts.len()).collect();
        Search::new(self, &self.tools(), &all).least(None)
    }

    /// Acts that some alternative on the way to `target` mentions.
    pub(super) fn relevant(&self, target: usize) -> BTreeSet<usize> {
        let mut found = BTreeSet::new();
        let mut stack = vec![target];
        while let Some(act) = stack.pop() {
            if act < self.acts.len() && found.insert(act) {
                stack.extend(self.acts[act].needs.iter().flatten());
            }
        }
        found
    }

    fn ready(&self, act: usize, done: &BTreeSet<usize>) -> bool {
        let needs = &self.acts[act].needs;
        needs.is_empty() || needs.iter().any(|set| set.iter().all(|n| done.contains(n)))
    }

    /// Tools by number; the start tool is 0.
    pub(super) fn tools(&self) -> Vec<usize> {
        let mut numbers: HashMap<&str, usize> = HashMap::from([(self.start_tool.as_str(), 0)]);
        let mut tools = Vec::with_capacity(self.acts.len());
        for act in &self.acts {
            let next = numbers.len();
            tools.push(*numbers.entry(act.tool.as_str()).or_insert(next));
        }
        tools
    }

    /// Counts the orders that do every act; `None` past [`STATE_BOUND`].
    pub fn orders(&self) -> Option<Orders> {
        let tools = self.tools();
        // Level by level: (ways, least, ways at least, most) per state.
        let mut level: BTreeMap<State, (f64, f64, f64, f64)> = BTreeMap::new();
        level.insert((BTreeSet::new(), 0), (1.0, 0.0, 1.0, 0.0));
        let (mut sets, mut states, mut transitions) = (1, 1, 0);
        for _ in 0..self.acts.len() {
            let mut next: BTreeMap<State, (f64, f64, f64, f64)> = BTreeMap::new();
            for ((done, hand), &(ways, least, cheapest, most)) in &level {
                for (act, &tool) in tools.iter().enumerate() {
                    if done.contains(&act) || !self.ready(act, done) {
                        continue;
                    }
                    transitions += 1;
                    let change = if tool == *hand {
                        0.0
                    } else {
                        self.tool_change_s
                    };
                    let cost = self.acts[act].time_s + change;
                    let mut more = done.clone();
                    more.insert(act);
                    let entry = next.entry((more, tool)).or_insert((
                        0.0,
                        f64::INFINITY,
                        0.0,
                        f64::NEG_INFINITY,
                    ));
                    entry.0 += ways;
                    let time = least + cost;
                    if time < entry.1 - 1e-9 {
                        (entry.1, entry.2) = (time, cheapest);
                    } else if (time - entry.1).abs() <= 1e-9 {
                        entry.2 += cheapest;
                    }
                    entry.3 = entry.3.max(most + cost);
                }
            }
            level = next;
            sets += level
                .keys()
                .map(|(done, _)| done)
                .collect::<BTreeSet<_>>()
                .len();
            states += level.len();
            if states > STATE_BOUND {
                return None;
            }
        }
        let least_s = level.values().fold(f64::INFINITY, |a, v| a.min(v.1));
        Some(Orders {
            feasible: level.values().map(|v| v.0).sum(),
            least_s,
            cheapest: level
                .values()
                .filter(|v| v.1 <= least_s + 1e-9)
                .map(|v| v.2)
                .sum(),
            most_s: level.values().fold(f64::NEG_INFINITY, |a, v| a.max(v.3)),
            sets,
            states,
            transitions,
        })
    }
}
