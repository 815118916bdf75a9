//! Which names hold a run of up to four letters, and where: a trie whose nodes are ranges.
//!
//! In: names. Out: for each run the postings, in the order of the runs.
//! A posting is the number of the name and the place of the run in it. The runs of one beginning
//! stand together, so that a run of three letters is the range of its runs of four: a directory of
//! all runs of four tells both where a node lies and whether it has any children.
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

/// Bits of a posting that hold the place.
const PLACE: u32 = 6;
/// More names than this do not fit.
pub(crate) const MOST: usize = 1 << (32 - PLACE);

/// Returns the letter of a symbol.
pub(crate) fn letter(s: Symbol) -> usize {
    match s {
        PLACEHOLDER => OPEN,
        s => usize::from(s).min(OTHER),
    }
}

/// Returns name and place of a posting.
pub(crate) fn posting(of: u32) -> (usize, usize) {
    ((of >> PLACE) as usize, (of & ((1 << PLACE) - 1)) as usize)
}

/// The runs of all names that begin at some places.
#[derive(Debug, Clone, Default)]
pub(crate) struct GramTrie {
    /// Beginning of the postings of each run of [`DEPTH`] letters; one more for the end.
    starts: Vec<u32>,
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
        let places = |name: &[Symbol]| if first { 0..1 } else { 1..name.len() };
        let run = |name: &[Symbol], place: usize| {
            let letters = (place..place + DEPTH).map(|at| name.get(at).map_or(END, |s| letter(*s)));
            letters.fold(0, |run, letter| run * LETTERS + letter)
        };
        let mut starts = vec![0_u32; LETTERS.pow(DEPTH as u32) + 1];
        for (_, name) in names() {
            for place in places(name) {
                starts[run(name, place) + 1] += 1;
            }
        }
        for k in 1..starts.len() {
            starts[k] += starts[k - 1];
        }
        let mut postings = vec![0; starts[starts.len() - 1] as usize];
        let mut fill = starts.clone();
        for (number, name) in names() {
            for place in places(name) {
                let slot = &mut fill[run(name, place)];
                postings[*slot as usize] = number << PLACE | place as u32;
                *slot += 1;
            }
        }
        Self { starts, postings }
    }

    /// Returns the postings of a node.
    #[inline]
    pub(crate) fn at(&self, node: Node) -> &[u32] {
        const RUNS: [usize; DEPTH + 1] = {
            let mut runs = [1; DEPTH + 1];
            let mut depth = DEPTH;
            while depth > 0 {
                depth -= 1;
                runs[depth] = runs[depth + 1] * LETTERS;
            }
            runs
        };
        let runs = RUNS[node.depth];
        let (from, to) = (node.run * runs, (node.run + 1) * runs);
        match (self.starts.get(from), self.starts.get(to)) {
            (Some(from), Some(to)) => &self.postings[*from as usize..*to as usize],
            _ => &[],
        }
    }

    /// Bytes held.
    pub(crate) fn bytes(&self) -> usize {
        4 * (self.starts.len() + self.postings.len())
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
            let node = letters.chain(ends.then_some(END)).fold(Node::default(), Node::child);
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
