//! The fewest places whose closing closes every way, by maximum flow.
//!
//! In: ways between sources and targets. Out: the size of a smallest vertex cut, and the cuts of that size in the
//! order of their names. Method: every inner number is split into an entrance and an exit joined by one unit; ways
//! are added one by one (Ford and Fulkerson 1956; Menger 1927: the flow is the number of ways that share no inner
//! number). Several smallest cuts are told apart by trying each place in order: it belongs to one exactly if the flow
//! without it is one less. Only places on the ways found can: a smallest cut takes one place of each.

use crate::walk::Ways;
use std::collections::VecDeque;

/// What is asked of a number while cuts are looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    /// May be part of a cut.
    Free,
    /// Is part of the cut: closed.
    Taken,
    /// Is not: cannot be closed.
    Kept,
}

/// Returns the size of a smallest cut, none if a source touches a target.
pub(crate) fn fewest(ways: &Ways) -> Option<usize> {
    flow(ways, &vec![Place::Free; ways.after.len()], usize::MAX)
}

/// Returns smallest cuts in order, at most `most` of them; whether there are more.
pub(crate) fn smallest(ways: &Ways, size: usize, most: usize) -> (Vec<Vec<usize>>, bool) {
    let mut places = vec![Place::Free; ways.after.len()];
    let used = used(ways, &places);
    let mut found = Found {
        ways,
        most: most.saturating_add(1),
        cuts: Vec::new(),
    };
    found.search(&mut places, &used, size);
    let more = found.cuts.len() > most;
    found.cuts.truncate(most);
    (found.cuts, more)
}

/// Cuts while they are being found.
struct Found<'w> {
    ways: &'w Ways,
    most: usize,
    cuts: Vec<Vec<usize>>,
}

impl Found<'_> {
    /// Extends a cut by places of `rest`; goes on only where a whole cut is certain to come of it.
    fn search(&mut self, places: &mut [Place], rest: &[usize], open: usize) {
        if open == 0 {
            let taken = places.iter().enumerate();
            let taken = taken.filter(|(_, p)| **p == Place::Taken);
            self.cuts.push(taken.map(|(n, _)| n).collect());
            return;
        }
        for (k, &n) in rest.iter().enumerate() {
            if self.cuts.len() >= self.most {
                break;
            }
            places[n] = Place::Taken;
            if flow(self.ways, places, open - 1) == Some(open - 1) {
                self.search(places, &rest[k + 1..], open - 1);
            }
            places[n] = Place::Kept;
            if flow(self.ways, places, open) != Some(open) {
                // Every cut that is left needs one of those passed over.
                break;
            }
        }
        for &n in rest {
            places[n] = Place::Free;
        }
    }
}

/// Returns the inner numbers on ways that share none, as many as there are; in order.
fn used(ways: &Ways, places: &[Place]) -> Vec<usize> {
    let Some(mut net) = Net::of(ways, places) else {
        return Vec::new();
    };
    while net.another() {}
    let inner = (0..places.len()).filter(|n| ways.is_inner(*n));
    inner.filter(|n| net.is_used(*n)).collect()
}

/// Returns how many ways share no inner number that is free; none if they cannot be closed, or are more than `bound`.
fn flow(ways: &Ways, places: &[Place], bound: usize) -> Option<usize> {
    let mut net = Net::of(ways, places)?;
    let mut found = 0;
    while net.another() {
        found += 1;
        if found > bound || found > ways.after.len() {
            return None;
        }
    }
    Some(found)
}

/// Entrances (even) and exits (odd) of all numbers, with what each may still pass.
struct Net {
    /// Partner and remaining capacity; an edge and its reverse stand side by side.
    edges: Vec<(usize, usize)>,
    at: Vec<Vec<usize>>,
}

impl Net {
    fn of(ways: &Ways, places: &[Place]) -> Option<Self> {
        let count = ways.after.len();
        let without_end = count + 1;
        let mut net = Self {
            edges: Vec::new(),
            at: vec![Vec::new(); 2 * count + 2],
        };
        for n in (0..count).filter(|n| places[*n] != Place::Taken) {
            let inner = ways.is_inner(n) && places[n] == Place::Free;
            if !ways.after[n].is_empty() || ways.target[n] {
                net.join(2 * n, 2 * n + 1, if inner { 1 } else { without_end });
            }
            if ways.source[n] && ways.target[n] {
                return None;
            }
            for &m in ways.after[n].iter().filter(|m| places[**m] != Place::Taken) {
                if ways.source[n] && ways.target[m] {
                    return None;
                }
                net.join(2 * n + 1, 2 * m, without_end);
            }
            if ways.source[n] {
                net.join(2 * count, 2 * n, without_end);
            }
            if ways.target[n] {
                net.join(2 * n + 1, 2 * count + 1, without_end);
            }
        }
        Some(net)
    }

    fn join(&mut self, from: usize, to: usize, capacity: usize) {
        self.at[from].push(self.edges.len());
        self.edges.push((to, capacity));
        self.at[to].push(self.edges.len());
        self.edges.push((from, 0));
    }

    /// Returns whether a way runs through a number.
    fn is_used(&self, n: usize) -> bool {
        let own = |e: &&usize| e.is_multiple_of(2) && self.edges[**e].0 == 2 * n + 1;
        self.at[2 * n]
            .iter()
            .any(|e| own(&e) && self.edges[*e].1 == 0)
    }

    /// Adds one more way, if there is one.
    fn another(&mut self) -> bool {
        let (first, last) = (self.at.len() - 2, self.at.len() - 1);
        let mut by = vec![usize::MAX; self.at.len()];
        let mut queue = VecDeque::from([first]);
        while let Some(here) = queue.pop_front() {
            for &edge in &self.at[here] {
                let (to, capacity) = self.edges[edge];
                if capacity > 0 && to != first && by[to] == usize::MAX {
                    by[to] = edge;
                    queue.push_back(to);
                }
            }
            if by[last] != usize::MAX {
                break;
            }
        }
        let mut here = last;
        while by[here] != usize::MAX {
            let edge = by[here];
            self.edges[edge].1 -= 1;
            self.edges[edge ^ 1].1 += 1;
            here = self.edges[edge ^ 1].0;
        }
        here == first
    }
}
