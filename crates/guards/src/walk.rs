//! Walks over a numbered graph: what is reachable, the shortest way, the fewest guards, what all ways share.
//!
//! In: a graph of numbers in the order of names, sources, targets. Out: sets and ways. Every walk is linear in the
//! links but that over dominators, which is nearly so.

use petgraph::algo::dominators::simple_fast;
use petgraph::graph::{DiGraph, NodeIndex};
use std::collections::VecDeque;

/// A graph of numbers, of which only what lies between sources and targets is kept.
#[derive(Debug, Clone)]
pub(crate) struct Ways {
    pub(crate) after: Vec<Vec<usize>>,
    pub(crate) source: Vec<bool>,
    pub(crate) target: Vec<bool>,
}

impl Ways {
    /// Keeps what lies on a way: a way begins at a source, ends at the first target and enters no further source.
    pub(crate) fn between(
        mut after: Vec<Vec<usize>>,
        source: Vec<bool>,
        target: Vec<bool>,
        kept: impl Fn(usize) -> bool,
    ) -> Self {
        let count = after.len();
        let mask = |marks: Vec<bool>| -> Vec<bool> {
            marks
                .iter()
                .enumerate()
                .map(|(n, m)| *m && kept(n))
                .collect()
        };
        let (source, target) = (mask(source), mask(target));
        for (n, onward) in after.iter_mut().enumerate() {
            onward.retain(|m| kept(n) && kept(*m) && !target[n] && !source[*m]);
        }
        let mut before = vec![Vec::new(); count];
        for (n, onward) in after.iter().enumerate() {
            onward.iter().for_each(|m| before[*m].push(n));
        }
        let (forth, back) = (reached(&after, &source), reached(&before, &target));
        let on_way = |n: usize| forth[n] && back[n];
        for (n, onward) in after.iter_mut().enumerate() {
            onward.retain(|m| on_way(n) && on_way(*m));
        }
        let both = |marks: Vec<bool>| -> Vec<bool> {
            marks
                .iter()
                .enumerate()
                .map(|(n, m)| *m && on_way(n))
                .collect()
        };
        Self {
            after,
            source: both(source),
            target: both(target),
        }
    }

    /// Returns whether any target is reached.
    pub(crate) fn is_open(&self) -> bool {
        self.target.iter().any(|t| *t)
    }

    /// Returns whether a number lies on a way.
    pub(crate) fn has(&self, n: usize) -> bool {
        self.target[n] || !self.after[n].is_empty()
    }

    /// Returns whether a way leads on from or ends at a number that is neither source nor target.
    pub(crate) fn is_inner(&self, n: usize) -> bool {
        !self.source[n] && !self.target[n] && !self.after[n].is_empty()
    }

    fn numbers(marks: &[bool]) -> impl Iterator<Item = usize> {
        marks
            .iter()
            .enumerate()
            .filter(|(_, m)| **m)
            .map(|(n, _)| n)
    }

    /// Returns the shortest way, ties by number.
    pub(crate) fn shortest(&self) -> Vec<usize> {
        let mut before = vec![Vec::new(); self.after.len()];
        for (n, onward) in self.after.iter().enumerate() {
            onward.iter().for_each(|m| before[*m].push(n));
        }
        let mut left = vec![usize::MAX; self.after.len()];
        let mut queue: VecDeque<usize> = Self::numbers(&self.target).collect();
        queue.iter().for_each(|t| left[*t] = 0);
        while let Some(n) = queue.pop_front() {
            for m in &before[n] {
                if left[*m] == usize::MAX {
                    left[*m] = left[n] + 1;
                    queue.push_back(*m);
                }
            }
        }
        let mut here = Self::numbers(&self.source).min_by_key(|n| (left[*n], *n));
        let mut way = Vec::new();
        while let Some(n) = here {
            way.push(n);
            here = self.after[n]
                .iter()
                .copied()
                .filter(|m| left[*m] < left[n])
                .min();
        }
        way
    }

    /// Returns the fewest guards on any way, ends included: a shortest way where a step costs one or nothing.
    pub(crate) fn fewest(&self, guard: &[bool]) -> Option<usize> {
        let mut met = vec![usize::MAX; self.after.len()];
        let mut queue = VecDeque::new();
        for n in Self::numbers(&self.source) {
            met[n] = usize::from(guard[n]);
            if guard[n] {
                queue.push_back(n)
            } else {
                queue.push_front(n)
            }
        }
        while let Some(n) = queue.pop_front() {
            for &m in &self.after[n] {
                let through = met[n] + usize::from(guard[m]);
                if through < met[m] {
                    met[m] = through;
                    if guard[m] {
                        queue.push_back(m)
                    } else {
                        queue.push_front(m)
                    }
                }
            }
        }
        Self::numbers(&self.target).map(|t| met[t]).min()
    }

    /// Returns what lies on every way, sources and targets left out: the dominators of one sink behind all targets,
    /// seen from one source before all sources.
    pub(crate) fn shared(&self) -> Vec<usize> {
        let count = self.after.len();
        let (first, last) = (NodeIndex::new(count), NodeIndex::new(count + 1));
        let mut graph: DiGraph<(), ()> = DiGraph::new();
        for _ in 0..count + 2 {
            graph.add_node(());
        }
        for (n, onward) in self.after.iter().enumerate() {
            for &m in onward {
                graph.add_edge(NodeIndex::new(n), NodeIndex::new(m), ());
            }
        }
        for n in Self::numbers(&self.source) {
            graph.add_edge(first, NodeIndex::new(n), ());
        }
        for n in Self::numbers(&self.target) {
            graph.add_edge(NodeIndex::new(n), last, ());
        }
        let dominators = simple_fast(&graph, first);
        let all = dominators.strict_dominators(last).into_iter().flatten();
        let mut shared: Vec<usize> = all.map(NodeIndex::index).filter(|n| *n < count).collect();
        shared.retain(|n| !self.source[*n] && !self.target[*n]);
        shared.sort_unstable();
        shared
    }
}

fn reached(after: &[Vec<usize>], from: &[bool]) -> Vec<bool> {
    let mut reached = from.to_vec();
    let mut stack: Vec<usize> = Ways::numbers(from).collect();
    while let Some(n) = stack.pop() {
        for &m in &after[n] {
            if !std::mem::replace(&mut reached[m], true) {
                stack.push(m);
            }
        }
    }
    reached
}
