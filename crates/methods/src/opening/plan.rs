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

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

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

/// Least cost of each state met, and how it was reached.
type Reached = BTreeMap<State, (f64, Option<(State, usize)>)>;

/// Non-negative times in the order that a heap needs.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cost(f64);
impl Eq for Cost {}
impl PartialOrd for Cost {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Cost {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl Problem {
    /// Returns the cheapest order that ends with `target`; `None` if it cannot be reached or the
    /// search would pass [`STATE_BOUND`].
    pub fn least_to(&self, target: usize) -> Option<Plan> {
        let relevant = self.relevant(target);
        self.search(&relevant, |done| done.contains(&target))
    }

    /// Returns the cheapest order of all acts, with the same limits.
    pub fn least_to_all(&self) -> Option<Plan> {
        let all: BTreeSet<usize> = (0..self.acts.len()).collect();
        self.search(&all, |done| done.len() == self.acts.len())
    }

    /// Acts that some alternative on the way to `target` mentions.
    fn relevant(&self, target: usize) -> BTreeSet<usize> {
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
    fn tools(&self) -> Vec<usize> {
        let mut names: Vec<&str> = vec![&self.start_tool];
        let number = |tool: &str, names: &[&str]| names.iter().position(|n| *n == tool);
        self.acts
            .iter()
            .map(|act| {
                number(&act.tool, &names).unwrap_or_else(|| {
                    names.push(&act.tool);
                    names.len() - 1
                })
            })
            .collect()
    }

    fn search(
        &self,
        relevant: &BTreeSet<usize>,
        reached: impl Fn(&BTreeSet<usize>) -> bool,
    ) -> Option<Plan> {
        let tools = self.tools();
        let start: State = (BTreeSet::new(), 0);
        let mut best: Reached = BTreeMap::new();
        best.insert(start.clone(), (0.0, None));
        let mut queue = BinaryHeap::from([Reverse((Cost(0.0), start))]);
        while let Some(Reverse((Cost(cost), state))) = queue.pop() {
            if best.get(&state).is_some_and(|b| cost > b.0) {
                continue;
            }
            if reached(&state.0) {
                return Some(self.trace(&best, state, cost, &tools));
            }
            if best.len() > STATE_BOUND {
                return None;
            }
            for &act in relevant {
                if state.0.contains(&act) || !self.ready(act, &state.0) {
                    continue;
                }
                let change = if tools[act] == state.1 {
                    0.0
                } else {
                    self.tool_change_s
                };
                let next_cost = cost + self.acts[act].time_s + change;
                let mut done = state.0.clone();
                done.insert(act);
                let next = (done, tools[act]);
                if best.get(&next).is_none_or(|b| next_cost < b.0) {
                    best.insert(next.clone(), (next_cost, Some((state.clone(), act))));
                    queue.push(Reverse((Cost(next_cost), next)));
                }
            }
        }
        None
    }

    fn trace(&self, best: &Reached, mut state: State, time_s: f64, tools: &[usize]) -> Plan {
        let mut acts = Vec::new();
        while let Some((_, Some((before, act)))) = best.get(&state) {
            acts.push(*act);
            state = before.clone();
        }
        acts.reverse();
        let mut hand = 0;
        let mut tool_changes = 0;
        for &act in &acts {
            tool_changes += usize::from(tools[act] != hand);
            hand = tools[act];
        }
        Plan {
            acts,
            time_s,
            tool_changes,
        }
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
