//! Which names hold a run of up to four letters, and where: a trie whose nodes are ranges.
//!
//! In: names. Out: for each run the postings, in the order of the runs.
//! A posting is the place of the run in a name and the number of that name; those of a run are sorted, so
//! that those at some places are a range. The runs of one beginning stand together, so that those of a
//! shorter run are a range, too. A directory for each depth tells where a node lies, and whether it has any
//! postings.
//! Runs at the beginning of names are kept by themselves, because nothing is missing before them.
//! An end of a name counts as a letter, as often as it takes to fill up a run.

use crate::symbol::{PLACEHOLDER, PLAIN, Symbol};

/// Letters of a run.
pub(crate) const DEPTH: usize = 4;
/// Plain symbols, one letter for all others, the placeholder, and the end.
pub(crate) const LETTERS: usize = PLAIN + 3;
pub(crate) const OTHER: usize = PLAIN;
pub(crate) const OPEN: usize = PLAIN + 1;
pub(crate) const END: usize = PLAIN + 2;

/// Fewer postings than this are looked through.
const FEW: usize = 8;

/// Bits of a posting that hold the name; the others hold the place.
const NAME: u32 = 26;
/// More names than this do not fit.
pub(crate) const MOST: usize = 1 << NAME;

/// Returns the letter of a symbol.
pub(crate) fn letter(s: Symbol) -> usize {
    match s {
        PLACEHOLDER => OPEN,
        s => usize::from(s).min(OTHER),
    }
}

/// Returns name and place of a posting.
#[inline]
pub(crate) fn posting(of: u32) -> (usize, usize) {
    ((of % (1 << NAME)) as usize, (of >> NAME) as usize)
}

/// The runs of all names that begin at some places.
#[derive(Debug, Clone, Default)]
pub(crate) struct GramTrie {
    /// For each depth the beginning of the postings of each run; one more for the end.
    starts: [Vec<u32>; DEPTH + 1],
    /// For each depth but the last the letters that go on from each run, as bits.
    onward: [Vec<u64>; DEPTH],
    postings: Vec<u32>,
}

/// A node: the run as a number, and how many letters it has.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Node {
    run: usize,
    pub(crate) depth: usize,
}

impl Node {
    /// Returns the node one letter further.
    pub(crate) fn child(self, letter: usize) -> Self {
        Self {
            run: self.run * LETTERS + letter,
            depth: self.depth + 1,
        }
    }
}

impl GramTrie {
    /// Takes the runs of names, either those at their beginnings or all others. Names are one after the
    /// other in `symbols`.
    pub(crate) fn new(symbols: &[Symbol], begins: &[u32], first: bool) -> Self {
        if symbols.is_empty() {
            return Self::default();
        }
        let names = || {
            let name = |w: &[u32]| &symbols[w[0] as usize..w[1] as usize];
            (0_u32..).zip(begins.windows(2).map(name))
        };
        let run = |name: &[Symbol], place: usize| {
            let letters = (place..place + DEPTH).map(|at| name.get(at).map_or(END, |s| letter(*s)));
            letters.fold(0, |run, letter| run * LETTERS + letter)
        };
        let longest = names().map(|(_, name)| name.len()).max().unwrap_or(0);
        let places = if first { 0..1 } else { 1..longest };
        let mut starts = vec![0_u32; LETTERS.pow(DEPTH as u32) + 1];
        for (_, name) in names() {
            for place in places.start..name.len().min(places.end) {
                starts[run(name, place) + 1] += 1;
            }
        }
        for k in 1..starts.len() {
            starts[k] += starts[k - 1];
        }
        let mut postings = vec![0; starts[starts.len() - 1] as usize];
        let mut fill = starts.clone();
        for place in places {
            for (number, name) in names().filter(|(_, name)| place < name.len()) {
                let slot = &mut fill[run(name, place)];
                postings[*slot as usize] = (place as u32) << NAME | number;
                *slot += 1;
            }
        }
        let mut step = starts.len() - 1;
        let starts: [Vec<u32>; DEPTH + 1] = std::array::from_fn(|_| {
            let level = starts.iter().step_by(step.max(1)).copied().collect();
            step /= LETTERS;
            level
        });
        let onward = std::array::from_fn(|depth| {
            let ends = &starts[depth + 1][1..];
            let begins = starts[depth + 1]
                .chunks_exact(LETTERS)
                .zip(ends.chunks_exact(LETTERS));
            let filled = |(begins, ends): (&[u32], &[u32])| {
                let some = (0..LETTERS).filter(|letter| begins[*letter] < ends[*letter]);
                some.fold(0, |bits, letter| bits | 1 << letter)
            };
            begins.map(filled).collect()
        });
        Self {
            starts,
            onward,
            postings,
        }
    }

    /// Returns the letters that go on from a node, as bits.
    #[inline]
    pub(crate) fn onward(&self, node: Node) -> u64 {
        let level = self.onward.get(node.depth);
        level
            .and_then(|level| level.get(node.run))
            .copied()
            .unwrap_or(0)
    }

    /// Returns the postings of a node.
    #[inline]
    pub(crate) fn at(&self, node: Node) -> &[u32] {
        match self.starts[node.depth].get(node.run..node.run + 2) {
            Some(&[from, to]) => &self.postings[from as usize..to as usize],
            _ => &[],
        }
    }

    /// Returns the postings of a node that lie at some places, both included; those of a node at the full
    /// depth, and for others a range that holds them.
    #[inline]
    pub(crate) fn within(&self, node: Node, (from, to): (usize, usize)) -> &[u32] {
        let all = self.at(node);
        if node.depth < DEPTH || all.len() < FEW {
            return all;
        }
        let low = all.partition_point(|p| posting(*p).1 < from);
        let all = &all[low..];
        &all[..all.partition_point(|p| posting(*p).1 <= to)]
    }

    /// Bytes held.
    pub(crate) fn bytes(&self) -> usize {
        let starts: usize = self.starts.iter().map(Vec::len).sum();
        let onward: usize = self.onward.iter().map(Vec::len).sum();
        4 * (starts + self.postings.len()) + 8 * onward
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::symbol::EncodedName;

    #[test]
    fn runs_are_found_where_they_stand() {
        let names = ["AB1AB", "B1", "ZZAB1AB"].map(|n| EncodedName::of(n).symbols);
        let mut begins = vec![0];
        for name in &names {
            begins.push(begins[begins.len() - 1] + name.len() as u32);
        }
        let all = names.concat();
        let tries = [true, false].map(|first| GramTrie::new(&all, &begins, first));
        let found = |trie: &GramTrie, run: &str, ends: bool| -> Vec<(usize, usize)> {
            let symbols = EncodedName::of(run).symbols;
            let letters = symbols.iter().map(|s| letter(*s));
            let node = letters
                .chain(ends.then_some(END))
                .fold(Node::default(), Node::child);
            let mut out: Vec<_> = trie.at(node).iter().map(|p| posting(*p)).collect();
            out.sort_unstable();
            out
        };
        let [first, inner] = &tries;
        assert_eq!(found(first, "AB", false), [(0, 0)]);
        assert_eq!(found(inner, "AB", false), [(0, 3), (2, 2), (2, 5)]);
        assert_eq!(found(inner, "AB", true), [(0, 3), (2, 5)]);
        assert_eq!(found(first, "B1", true), [(1, 0)]);
        assert_eq!(found(inner, "AB1A", false), [(2, 2)]);
        assert!(found(inner, "Q", false).is_empty());
        assert_eq!(inner.at(Node::default()).len(), 4 + 1 + 6);
    }
}
