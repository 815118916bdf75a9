//! Which names hold a run of one to five classes, and where.
//!
//! In: folded names. Out: for each run the postings, sorted.
//! Postings are sorted by run, place and length, and found by the first five of these classes and
//! numbers: those of long runs are few.
//! A posting is the place of the run in the name in the upper four bits, the length of the name in
//! the next four (15 for everything beyond, in both), the number of the name in the next 24, and in
//! the lower 32 the eight first classes around the run: what a search compares lies in the list
//! itself, and the names need not be fetched.

use crate::find::filter::{LOW, WORD};
use crate::stored::{StoredError, ensure, put, take, take_exactly};
use std::io::{self, Read, Write};

/// QGrams this short and this long are indexed.
pub(crate) const SHORTEST: usize = 1;
/// See [`SHORTEST`].
pub(crate) const LONGEST_RUN: usize = 5;
/// Places from here on share one number.
pub(crate) const FAR: usize = 15;

const PLACE_SHIFT: u32 = 60;
const LENGTH_SHIFT: u32 = 56;
const NUMBER_SHIFT: u32 = 32;
/// More names than this do not fit.
pub(crate) const MOST: usize = 1 << (LENGTH_SHIFT - NUMBER_SHIFT);
/// Classes of a name that a posting holds.
const AROUND: usize = 8;

/// Bits of a run, a place and a length that the directory of postings goes by.
const DIRECTORY: u32 = 4 * LONGEST_RUN as u32;

/// A run of classes.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Run {
    /// The classes, the first in the uppermost four bits.
    key: usize,
    q: usize,
}

impl Run {
    /// Takes classes, of which there are from [`SHORTEST`] to [`LONGEST_RUN`].
    pub(crate) fn new(classes: impl Iterator<Item = u8>) -> Self {
        classes.fold(Self::default(), |run, class| Self {
            key: run.key << 4 | usize::from(class),
            q: run.q + 1,
        })
    }

    /// Takes as many classes of a word, the first in its lowest four bits.
    pub(crate) fn of_word(word: u64, q: usize) -> Self {
        Self::new((0..q).map(|i| (word >> (4 * i) & 15) as u8))
    }
}

/// Postings of runs of one length.
#[derive(Debug, Clone)]
struct QGrams {
    /// Beginning of the postings of each entry of the directory; one more for the end.
    starts: Vec<u32>,
    /// The directory goes by run, place and length without so many bits at the end.
    coarse: u32,
    postings: Vec<u64>,
}

/// Postings of runs of all lengths.
#[derive(Debug, Clone)]
pub(crate) struct QGramIndex {
    by_length: Vec<QGrams>,
}

impl QGramIndex {
    /// Indexes folded names: classes of all names one after the other, and where each begins.
    pub(crate) fn new(classes: &[u8], begins: &[u32], words: &[u64]) -> Self {
        let by_length = (SHORTEST..=LONGEST_RUN)
            .map(|q| QGrams::new(classes, begins, words, q))
            .collect();
        Self { by_length }
    }

    /// Writes the postings, and which entries of the directory have how many.
    pub(crate) fn put(&self, to: &mut dyn Write) -> io::Result<()> {
        for runs in &self.by_length {
            let counts = runs.starts.windows(2).map(|w| w[1] - w[0]);
            let filled = (0_u32..).zip(counts).filter(|(_, count)| *count > 0);
            let (entries, counts): (Vec<u32>, Vec<u32>) = filled.unzip();
            put(to, &entries)?;
            put(to, &counts)?;
            put(to, &runs.postings)?;
        }
        Ok(())
    }

    /// Reads the postings of so many names.
    pub(crate) fn take(from: &mut dyn Read, names: usize) -> Result<Self, StoredError> {
        let what = "postings";
        let mut by_length = Vec::new();
        for q in SHORTEST..=LONGEST_RUN {
            let entries: Vec<u32> = take(from)?;
            let counts = take_exactly::<u32>(from, entries.len(), what)?;
            let postings: Vec<u64> = take(from)?;
            ensure(postings.iter().all(|p| name_of(*p) < names), what)?;
            let of = directory(q);
            let sum: u64 = counts.iter().map(|n| u64::from(*n)).sum();
            let rising = entries.is_sorted_by(|a, b| a < b);
            let inside = entries.last().is_none_or(|last| (*last as usize) < of);
            ensure(rising && inside && sum == postings.len() as u64, what)?;
            let mut starts = vec![0; of + 1];
            for (entry, count) in entries.into_iter().zip(counts) {
                starts[entry as usize + 1] = count;
            }
            for k in 1..starts.len() {
                starts[k] += starts[k - 1];
            }
            by_length.push(QGrams {
                starts,
                coarse: coarse(q),
                postings,
            });
        }
        Ok(Self { by_length })
    }

    /// Returns the postings of a run at one place of names of some lengths.
    pub(crate) fn at(&self, run: Run, place: usize, lengths: (usize, usize)) -> &[u64] {
        let Some(runs) = self.runs(run) else {
            return &[];
        };
        let fine = |length: usize| run.key << 8 | place.min(FAR) << 4 | length.min(FAR);
        let (low, high) = (fine(lengths.0), fine(lengths.1));
        let within = runs.between(low >> runs.coarse, high >> runs.coarse);
        if runs.coarse == 0 || low > high {
            return within;
        }
        let key = |fine: usize| (fine as u64 & 255) << LENGTH_SHIFT;
        let (low, high) = (key(low), key(high) | ((1 << LENGTH_SHIFT) - 1));
        let rest = &within[within.partition_point(|p| *p < low)..];
        &rest[..rest.partition_point(|p| *p <= high)]
    }

    /// Returns the entry of the directory with those at one place, and what else falls into it.
    pub(crate) fn near(&self, run: Run, place: usize, lengths: (usize, usize)) -> &[u64] {
        self.runs(run).map_or(&[], |runs| {
            let fine = |length: usize| run.key << 8 | place.min(FAR) << 4 | length.min(FAR);
            runs.between(
                fine(lengths.0) >> runs.coarse,
                fine(lengths.1) >> runs.coarse,
            )
        })
    }

    /// Returns the entries of the directory with those from one place to another, both included, and
    /// what else falls into them.
    pub(crate) fn across(&self, run: Run, places: (usize, usize)) -> &[u64] {
        self.runs(run).map_or(&[], |runs| {
            let fine = |place: usize, length: usize| run.key << 8 | place << 4 | length;
            runs.between(
                fine(places.0, 0) >> runs.coarse,
                fine(places.1, FAR) >> runs.coarse,
            )
        })
    }

    /// Returns how many postings a run has.
    pub(crate) fn count(&self, run: Run) -> usize {
        self.runs(run).map_or(0, |runs| {
            let fine = run.key << 8;
            runs.between(fine >> runs.coarse, (fine | 255) >> runs.coarse)
                .len()
        })
    }

    fn runs(&self, run: Run) -> Option<&QGrams> {
        self.by_length.get(run.q.checked_sub(SHORTEST)?)
    }

    /// Bytes held.
    pub(crate) fn bytes(&self) -> usize {
        let words = self
            .by_length
            .iter()
            .map(|r| r.starts.len() + 2 * r.postings.len());
        words.sum::<usize>() * 4
    }
}

/// Returns the number of the name in a posting.
pub(crate) fn name_of(posting: u64) -> usize {
    (posting >> NUMBER_SHIFT) as usize & (MOST - 1)
}

/// Returns the length of the name in a posting; [`FAR`] stands for all beyond.
pub(crate) fn length_of(posting: u64) -> usize {
    (posting >> LENGTH_SHIFT) as usize & 15
}

/// Returns the place of the run in a posting; [`FAR`] stands for all beyond.
pub(crate) fn place_of(posting: u64) -> usize {
    (posting >> PLACE_SHIFT) as usize
}

/// Returns place and length of a posting as one number.
pub(crate) fn stands(posting: u64) -> u8 {
    (posting >> LENGTH_SHIFT) as u8
}

/// The eight first classes around a run.
fn around(word: u64, place: usize, q: usize) -> u64 {
    let (place, end) = (place.min(AROUND), place.min(AROUND) + q);
    let right = word.checked_shr(4 * end as u32).unwrap_or(0) << (4 * place);
    (word & LOW[place] | right) & LOW[AROUND]
}

/// Puts names together again from the postings of one run at one place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct NameRebuilder {
    run: u64,
    left: u64,
    shift: u32,
    /// So many classes of a rebuilt name are its own.
    pub(crate) known: usize,
}

impl NameRebuilder {
    /// For a run of `q` classes, packed, at a place before [`FAR`].
    pub(crate) fn new(run: u64, q: usize, place: usize) -> Self {
        Self {
            run: run << (4 * place),
            left: LOW[place.min(AROUND)],
            shift: 4 * q as u32,
            known: if place > AROUND {
                AROUND
            } else {
                (AROUND + q).min(WORD)
            },
        }
    }

    /// Returns the first classes of the name in one word.
    pub(crate) fn word(&self, posting: u64) -> u64 {
        let around = posting & LOW[AROUND];
        self.run | around & self.left | (around & !self.left) << self.shift
    }
}

/// Bits at the end of run, place and length that the directory for runs of `q` classes does without.
fn coarse(q: usize) -> u32 {
    (4 * q as u32 + 8).saturating_sub(DIRECTORY)
}

/// Entries of the directory for runs of `q` classes.
fn directory(q: usize) -> usize {
    1 << (4 * q as u32 + 8 - coarse(q))
}

impl QGrams {
    fn new(classes: &[u8], begins: &[u32], words: &[u64], q: usize) -> Self {
        let coarse = coarse(q);
        let mut starts = vec![0_u32; directory(q) + 1];
        let names = || {
            begins
                .windows(2)
                .map(|w| &classes[w[0] as usize..w[1] as usize])
        };
        let key = |run: &[u8], place: usize, length: usize| {
            let run = Run::new(run.iter().copied());
            (run.key << 8 | place.min(FAR) << 4 | length.min(FAR)) >> coarse
        };
        for name in names() {
            for (place, run) in name.windows(q).enumerate() {
                starts[key(run, place, name.len()) + 1] += 1;
            }
        }
        for k in 1..starts.len() {
            starts[k] += starts[k - 1];
        }
        let mut postings = vec![0_u64; starts[starts.len() - 1] as usize];
        let mut fill = starts.clone();
        let mut order: Vec<(u32, &[u8])> = (0..).zip(names()).collect();
        order.sort_by_key(|(_, name)| name.len().min(FAR));
        // Place by place and length by length, so that each list comes out sorted.
        let longest = begins.windows(2).map(|w| w[1] - w[0]).max().unwrap_or(0) as usize;
        for place in 0..longest.min(FAR + 1) {
            for &(number, name) in &order {
                let length = name.len().min(FAR) as u64;
                let runs = if place < FAR {
                    place..place + 1
                } else {
                    FAR..name.len().max(FAR)
                };
                for from in runs {
                    let Some(run) = name.get(from..from + q) else {
                        break;
                    };
                    let slot = &mut fill[key(run, from, name.len())];
                    postings[*slot as usize] = (place as u64) << PLACE_SHIFT
                        | length << LENGTH_SHIFT
                        | u64::from(number) << NUMBER_SHIFT
                        | around(words[number as usize], place, q);
                    *slot += 1;
                }
            }
        }
        Self {
            starts,
            coarse,
            postings,
        }
    }

    /// Returns the postings from one entry of the directory to another, both included.
    fn between(&self, from: usize, to: usize) -> &[u64] {
        let end = self.starts[to + 1].max(self.starts[from]);
        &self.postings[self.starts[from] as usize..end as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::find::filter::packed;

    #[test]
    fn runs_are_found_where_they_stand() {
        let long: Vec<u8> = (0..20).map(|i| i % 16).collect();
        let classes = [&[1, 2, 3, 1, 2][..], &[2, 3][..], &long[..]].concat();
        let begins = [0, 5, 7, 27];
        let words: Vec<u64> = begins
            .windows(2)
            .map(|w| packed(classes[w[0]..w[1]].iter().copied()))
            .collect();
        let begins = begins.map(|b| b as u32);
        let grams = QGramIndex::new(&classes, &begins, &words);
        let names = |run: &[u8], place| -> Vec<usize> {
            grams
                .at(Run::new(run.iter().copied()), place, (0, 64))
                .iter()
                .map(|p| name_of(*p))
                .collect()
        };
        assert_eq!(names(&[1, 2], 0), [0]);
        assert_eq!(names(&[1, 2], 3), [0]);
        assert_eq!(names(&[2, 3], 0), [1]);
        assert_eq!(names(&[1, 2, 3], 1), [2]);
        assert_eq!(names(&[1, 2], 15), [2]);
        assert_eq!(names(&[15, 0, 1, 2, 3], 15), [2]);
        let run = |run: &[u8]| Run::new(run.iter().copied());
        let short = grams.at(run(&[2, 3]), 0, (0, 2));
        assert_eq!(short.iter().map(|p| name_of(*p)).collect::<Vec<_>>(), [1]);
        assert!(grams.at(run(&[2, 3]), 0, (3, 64)).is_empty());
        assert_eq!(grams.count(run(&[9, 9])), 0);
        assert_eq!(grams.count(run(&[1, 2])), 4);
        assert_eq!(names(&[1], 3), [0]);
        assert_eq!(grams.count(run(&[])), 0);
    }
    #[test]
    fn names_are_put_together_again() {
        let name: Vec<u8> = (0..14).map(|i| (i * 7 + 3) % 16).collect();
        let word = packed(name.iter().copied());
        let grams = QGramIndex::new(&name, &[0, 14], &[word]);
        for q in SHORTEST..=LONGEST_RUN {
            for place in 0..=14 - q {
                let run = &name[place..place + q];
                let rebuild = NameRebuilder::new(packed(run.iter().copied()), q, place);
                let low = LOW[rebuild.known.min(14)];
                let list = grams.at(Run::new(run.iter().copied()), place, (0, FAR));
                assert_eq!(list.len(), 1);
                assert_eq!(rebuild.word(list[0]) & low, word & low, "{q} {place}");
                assert_eq!(length_of(list[0]), 14);
            }
        }
    }
}
