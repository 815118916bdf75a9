//! A second way to the answers: every path is walked. Shares nothing with the crate but the words of the cases.

use std::collections::{BTreeMap, BTreeSet};

/// A case in words.
#[derive(Debug, Clone, Default)]
pub(crate) struct Plain {
    pub(crate) links: Vec<String>,
    pub(crate) sources: Vec<String>,
    pub(crate) targets: Vec<String>,
    pub(crate) guards: BTreeSet<String>,
    pub(crate) may: BTreeSet<String>,
    /// Taken out before walking: ground, elements of shunts.
    pub(crate) out: BTreeSet<String>,
}

/// As many paths are walked.
const MOST: usize = 20_000;

impl Plain {
    /// Returns all simple paths that end at the first target and enter no second source; none if there are too many.
    pub(crate) fn paths(&self) -> Option<Vec<Vec<String>>> {
        let mut after: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        let mut join = |a, b| {
            after.entry(a).or_default().insert(b);
        };
        for link in &self.links {
            if let Some((a, b)) = link.split_once('>') {
                join(a, b);
            } else {
                let (a, b) = link.split_once('-').unwrap();
                join(a, b);
                join(b, a);
            }
        }
        let mut found = Vec::new();
        let mut stack: Vec<Vec<&str>> = self.sources.iter().map(|s| vec![s.as_str()]).collect();
        stack.retain(|p| !self.out.contains(p[0]));
        while let Some(path) = stack.pop() {
            let here = *path.last().unwrap();
            if self.targets.iter().any(|t| t == here) {
                found.push(
                    path.iter()
                        .map(|s| (*s).to_string())
                        .collect::<Vec<String>>(),
                );
                if found.len() > MOST {
                    return None;
                }
                continue;
            }
            for next in after.get(here).into_iter().flatten() {
                let seen = path.contains(next) || self.sources.iter().any(|s| s == next);
                if !seen && !self.out.contains(*next) {
                    stack.push([path.as_slice(), &[*next]].concat());
                }
            }
        }
        found.sort_by_key(|p| (p.len(), p.clone()));
        Some(found)
    }

    /// Returns the paths that are open, and the word for it.
    pub(crate) fn open(&self, paths: &[Vec<String>]) -> (&'static str, Vec<Vec<String>>) {
        let free = |set: &BTreeSet<String>, p: &Vec<String>| !p.iter().any(|n| set.contains(n));
        let unguarded: Vec<_> = paths
            .iter()
            .filter(|p| free(&self.guards, p))
            .cloned()
            .collect();
        let bare: Vec<_> = unguarded
            .iter()
            .filter(|p| free(&self.may, p))
            .cloned()
            .collect();
        match (paths.is_empty(), unguarded.is_empty(), bare.is_empty()) {
            (true, ..) => ("no path", Vec::new()),
            (_, true, _) => ("guarded", Vec::new()),
            (_, _, true) => ("undecided", unguarded),
            _ => ("unguarded", bare),
        }
    }
}
