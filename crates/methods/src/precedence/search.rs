//! Dijkstra's search over sets of acts done.
//!
//! In: a problem and the acts that matter. Out: the cheapest order. Not here: what the acts are (`plan`).

use super::plan::{Plan, Problem, STATE_BOUND};
use std::cmp::{Ordering, Reverse};
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

/// Acts done, one bit for each act that matters.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Done(Box<[u64]>);

impl Done {
    fn none(acts: usize) -> Self {
        Self(vec![0; acts.div_ceil(64)].into())
    }
    fn has(&self, at: usize) -> bool {
        self.0[at / 64] >> (at % 64) & 1 == 1
    }
    fn with(&self, at: usize) -> Self {
        let mut more = self.clone();
        more.0[at / 64] |= 1 << (at % 64);
        more
    }
}

impl PartialOrd for Done {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Done {
    /// Orders sets as the sorted lists of their acts, so that the order found among equally cheap ones
    /// does not depend on how sets are kept.
    fn cmp(&self, other: &Self) -> Ordering {
        let words = self.0.iter().zip(&other.0);
        let Some((at, (a, b))) = words.enumerate().find(|(_, (a, b))| a != b) else {
            return Ordering::Equal;
        };
        let first = (a ^ b).trailing_zeros();
        // The list with the lower act comes first, unless the other one ends before it.
        let (here, order) = if a >> first & 1 == 1 {
            (other, Ordering::Less)
        } else {
            (self, Ordering::Greater)
        };
        let beyond = here.0[at] >> first > 0 || here.0[at + 1..].iter().any(|w| *w > 0);
        if beyond { order } else { order.reverse() }
    }
}

/// Acts done and the tool in hand.
type State = (Done, usize);

/// Least cost of each state met, and how it was reached.
type Reached = BTreeMap<State, (f64, Option<(State, usize)>)>;

/// Non-negative times in the order that a heap needs.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cost(f64);
impl Eq for Cost {}
impl PartialOrd for Cost {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Cost {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}

/// A problem cut down to the acts that matter; acts have new numbers, in the same order.
pub(super) struct Search {
    /// The number that an act has in the problem.
    acts: Vec<usize>,
    time_s: Vec<f64>,
    tools: Vec<usize>,
    /// Alternatives of what must be done first; `None` for what can never be.
    needs: Vec<Vec<Option<Vec<usize>>>>,
    tool_change_s: f64,
}

impl Search {
    pub(super) fn new(problem: &Problem, tools: &[usize], relevant: &BTreeSet<usize>) -> Self {
        let acts: Vec<usize> = relevant.iter().copied().collect();
        let number = |act: &usize| acts.binary_search(act).ok();
        let set = |set: &Vec<usize>| set.iter().map(number).collect();
        Self {
            time_s: acts.iter().map(|&a| problem.acts[a].time_s).collect(),
            tools: acts.iter().map(|&a| tools[a]).collect(),
            needs: acts
                .iter()
                .map(|&a| problem.acts[a].needs.iter().map(set).collect())
                .collect(),
            tool_change_s: problem.tool_change_s,
            acts,
        }
    }

    fn ready(&self, at: usize, done: &Done) -> bool {
        let needs = &self.needs[at];
        let met = |set: &Option<Vec<usize>>| {
            let set = set.as_ref();
            set.is_some_and(|set| set.iter().all(|n| done.has(*n)))
        };
        needs.is_empty() || needs.iter().any(met)
    }

    /// Returns the cheapest order that ends with an act of the problem; `None` if there is none, or past
    /// [`STATE_BOUND`].
    pub(super) fn least(&self, target: usize) -> Option<Plan> {
        let target = self.acts.binary_search(&target).ok()?;
        let start: State = (Done::none(self.acts.len()), 0);
        let mut best: Reached = BTreeMap::new();
        best.insert(start.clone(), (0.0, None));
        let mut queue = BinaryHeap::from([Reverse((Cost(0.0), start))]);
        while let Some(Reverse((Cost(cost), state))) = queue.pop() {
            if best.get(&state).is_some_and(|b| cost > b.0) {
                continue;
            }
            if state.0.has(target) {
                return Some(self.trace(&best, state, cost));
            }
            if best.len() > STATE_BOUND {
                return None;
            }
            for at in 0..self.acts.len() {
                if state.0.has(at) || !self.ready(at, &state.0) {
                    continue;
                }
                let change = if self.tools[at] == state.1 {
                    0.0
                } else {
                    self.tool_change_s
                };
                let next_cost = cost + self.time_s[at] + change;
                let next = (state.0.with(at), self.tools[at]);
                if best.get(&next).is_none_or(|b| next_cost < b.0) {
                    best.insert(next.clone(), (next_cost, Some((state.clone(), at))));
                    queue.push(Reverse((Cost(next_cost), next)));
                }
            }
        }
        None
    }

    fn trace(&self, best: &Reached, mut state: State, time_s: f64) -> Plan {
        let mut order = Vec::new();
        while let Some((_, Some((before, at)))) = best.get(&state) {
            order.push(*at);
            state = before.clone();
        }
        order.reverse();
        let mut hand = 0;
        let mut tool_changes = 0;
        for &at in &order {
            tool_changes += usize::from(self.tools[at] != hand);
            hand = self.tools[at];
        }
        Plan {
            acts: order.into_iter().map(|at| self.acts[at]).collect(),
            time_s,
            tool_changes,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sets_are_ordered_like_sorted_lists() {
        let lists: Vec<Vec<usize>> = (0..64_usize)
            .map(|bits| {
                (0..6)
                    .filter(|i| bits >> i & 1 == 1)
                    .map(|i| i * 30)
                    .collect()
            })
            .collect();
        let done = |list: &Vec<usize>| list.iter().fold(Done::none(151), |d, at| d.with(*at));
        for a in &lists {
            for b in &lists {
                assert_eq!(done(a).cmp(&done(b)), a.cmp(b), "{a:?} {b:?}");
            }
        }
    }
}
