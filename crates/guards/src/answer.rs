//! Whether anything open leads from a source to a target.
//!
//! In: a graph and a question. Out: verdict, witness, cut, depth, what every path shares, the open links.
//! Not here: walks and flows (`walk`, `cut`).
//! Source: the definitions beside the published cases (`tests/published`).

use crate::cut;
use crate::graph::{Graph, Item, Question};
use crate::walk::Ways;
use std::collections::{BTreeMap, BTreeSet};

/// As many smallest cuts are listed.
pub const MOST_CUTS: usize = 12;

/// What the paths are worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Every path meets a guard.
    Guarded,
    /// A path meets neither a guard nor anything that may be one.
    Unguarded,
    /// Every path without a guard meets something that may be one.
    Undecided,
    /// No target is reached at all.
    NoPath,
}

/// The fewest further places whose guarding closes every open path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cut {
    /// None is needed.
    Nothing,
    /// A source touches a target: no place lies between.
    NoPlace,
    /// Any one of these sets of names, in order.
    Places {
        /// The sets; at most [`MOST_CUTS`].
        sets: Vec<Vec<String>>,
        /// Whether there are more.
        more: bool,
    },
}

impl Cut {
    /// Returns how many places are needed, none if no place lies between.
    pub fn size(&self) -> Option<usize> {
        match self {
            Self::Nothing => Some(0),
            Self::NoPlace => None,
            Self::Places { sets, .. } => sets.first().map(Vec::len),
        }
    }
}

/// An answer. Names are in order wherever several stand together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// What the paths are worth.
    pub verdict: Verdict,
    /// What has a function against the hazard: items, and nets that a shunt guards.
    pub guards: Vec<String>,
    /// Those of them that lie on a path, open or not.
    pub met: Vec<String>,
    /// The shortest open path, ties by name; empty if none is open.
    pub witness: Vec<String>,
    /// The fewest further places that close every open path.
    pub cut: Cut,
    /// The fewest guards on any path, open or not; one means that one fault opens it. None without a path.
    pub depth: Option<usize>,
    /// What lies on every path, open or not, sources and targets left out.
    pub on_every_path: Vec<String>,
    /// What may be a guard and lies on an open path.
    pub may_guard: Vec<String>,
}

impl Graph {
    /// Answers a question.
    pub fn answer(&self, question: &Question<'_>) -> Answer {
        let numbered = Numbered::of(self, question);
        let whole = numbered.ways(|_| true);
        let guards = numbered.names(|n| numbered.guard[n]);
        let mut answer = Answer {
            verdict: Verdict::NoPath,
            guards,
            met: Vec::new(),
            witness: Vec::new(),
            cut: Cut::Nothing,
            depth: None,
            on_every_path: Vec::new(),
            may_guard: Vec::new(),
        };
        if !whole.is_open() {
            return answer;
        }
        answer.met = numbered.names(|n| numbered.guard[n] && whole.has(n));
        answer.depth = whole.fewest(&numbered.guard);
        answer.on_every_path = numbered.list(&whole.shared());
        let bare = numbered.ways(|n| !numbered.guard[n] && !numbered.may[n]);
        let doubtful = numbered.ways(|n| !numbered.guard[n]);
        let open = match (bare.is_open(), doubtful.is_open()) {
            (true, _) => {
                answer.verdict = Verdict::Unguarded;
                bare
            }
            (false, true) => {
                answer.verdict = Verdict::Undecided;
                answer.may_guard = numbered.names(|n| numbered.may[n] && doubtful.has(n));
                doubtful
            }
            (false, false) => {
                answer.verdict = Verdict::Guarded;
                return answer;
            }
        };
        answer.witness = numbered.list(&open.shortest());
        answer.cut = match cut::fewest(&open) {
            None => Cut::NoPlace,
            Some(size) => {
                let (sets, more) = cut::smallest(&open, size, MOST_CUTS);
                let sets = sets.iter().map(|set| numbered.list(set)).collect();
                Cut::Places { sets, more }
            }
        };
        answer
    }
}

/// A graph as numbers, for one question: what is walked, and what guards.
struct Numbered<'g> {
    names: Vec<&'g str>,
    after: Vec<Vec<usize>>,
    source: Vec<bool>,
    target: Vec<bool>,
    guard: Vec<bool>,
    may: Vec<bool>,
}

impl<'g> Numbered<'g> {
    fn of(graph: &'g Graph, question: &Question<'_>) -> Self {
        let wanted = question.hazard.answered_by();
        let walked =
            |item: &Item| item.nets.is_empty() && (question.hazard.is_a_loop() || !item.ground);
        let names: Vec<&str> = graph
            .items
            .iter()
            .filter(|(_, i)| walked(i))
            .map(|(name, _)| name.as_str())
            .collect();
        let number: BTreeMap<&str, usize> = names
            .iter()
            .enumerate()
            .map(|(n, name)| (*name, n))
            .collect();
        let has = |set: &BTreeSet<_>| wanted.iter().any(|f| set.contains(f));
        let mut guard: Vec<bool> = names
            .iter()
            .map(|name| has(&graph.items[*name].does))
            .collect();
        let mut may: Vec<bool> = names
            .iter()
            .map(|name| has(&graph.items[*name].may))
            .collect();
        for item in graph.items.values() {
            for net in item.nets.iter().filter_map(|net| number.get(net.as_str())) {
                guard[*net] |= has(&item.does);
                may[*net] |= has(&item.may);
            }
        }
        for n in 0..names.len() {
            may[n] &= !guard[n];
        }
        let onward = |name: &&str| {
            graph.items[*name]
                .after
                .iter()
                .filter_map(|to| number.get(to.as_str()).copied())
        };
        let marked = |wanted: &[&str]| names.iter().map(|name| wanted.contains(name)).collect();
        Self {
            after: names.iter().map(|name| onward(name).collect()).collect(),
            source: marked(question.sources),
            target: marked(question.targets),
            names,
            guard,
            may,
        }
    }

    fn ways(&self, kept: impl Fn(usize) -> bool) -> Ways {
        Ways::between(
            self.after.clone(),
            self.source.clone(),
            self.target.clone(),
            kept,
        )
    }

    fn names(&self, wanted: impl Fn(usize) -> bool) -> Vec<String> {
        (0..self.names.len())
            .filter(|n| wanted(*n))
            .map(|n| self.names[n].to_string())
            .collect()
    }

    fn list(&self, numbers: &[usize]) -> Vec<String> {
        numbers.iter().map(|n| self.names[*n].to_string()).collect()
    }
}
