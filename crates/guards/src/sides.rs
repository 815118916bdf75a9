//! Primary and secondary side of a product that is fed from the mains, and what crosses between them.
//!
//! In: a graph, where the mains comes in, what can be touched, which parts are made to separate (transformers,
//! optocouplers, bridging capacitors). Out: both sides, the parts that cross, and the way past them if there is one.
//! Not here: creepage and clearance; whether a separating part does so. Links are walked both ways, ground too: a
//! dangerous voltage does not mind the direction of power.

use crate::Graph;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Both sides of the separation.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sides {
    /// What is joined to the mains without a separating part.
    pub primary: Vec<String>,
    /// Everything else that is joined to it through separating parts.
    pub secondary: Vec<String>,
    /// Separating parts that touch the primary side and something else.
    pub crossing: Vec<String>,
    /// The shortest way from the mains to something touchable past all separating parts, ties by name; empty if there
    /// is none.
    pub breach: Vec<String>,
}

/// Parts a graph into what hangs on the mains and what does not.
pub fn sides(graph: &Graph, mains: &[&str], touchable: &[&str], separating: &[&str]) -> Sides {
    let mut joined: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for (name, item) in &graph.items {
        for other in item.after.iter().chain(&item.nets) {
            joined.entry(name).or_default().insert(other);
            joined.entry(other).or_default().insert(name);
        }
    }
    let reach = |through: bool| {
        let known = mains
            .iter()
            .copied()
            .filter(|m| graph.items.contains_key(*m));
        let mut from: BTreeMap<&str, Option<&str>> = known.map(|m| (m, None)).collect();
        let mut queue: VecDeque<&str> = from.keys().copied().collect();
        while let Some(here) = queue.pop_front() {
            for next in joined.get(here).into_iter().flatten() {
                if !from.contains_key(next) && (through || !separating.contains(next)) {
                    from.insert(next, Some(here));
                    queue.push_back(next);
                }
            }
        }
        from
    };
    let (near, all) = (reach(false), reach(true));
    let owned = |names: Vec<&str>| names.into_iter().map(String::from).collect();
    let far = |n: &str| !near.contains_key(n) && !separating.contains(&n);
    let crosses = |n: &&str| {
        let beside = joined.get(n).map_or(0, BTreeSet::len);
        let near = |b: &&str| near.contains_key(b);
        separating.contains(n) && beside > 1 && joined[n].iter().any(near)
    };
    let ways = touchable
        .iter()
        .filter(|t| near.contains_key(**t))
        .map(|t| {
            let mut way = vec![*t];
            while let Some(Some(back)) = way.last().and_then(|n| near.get(n)) {
                way.push(back);
            }
            way.reverse();
            way
        });
    let breach = ways
        .min_by(|a, b| (a.len(), a).cmp(&(b.len(), b)))
        .unwrap_or_default();
    Sides {
        primary: owned(near.keys().copied().collect()),
        secondary: owned(all.keys().copied().filter(|n| far(n)).collect()),
        crossing: owned(all.keys().copied().filter(crosses).collect()),
        breach: owned(breach),
    }
}
