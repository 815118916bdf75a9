//! Which names hold a run of one to five classes, and where.
//!
//! In: folded names. Out: for each run the postings, sorted.
//! A posting is the place of the run in the name in the upper four bits, the length of the name in
//! the next four (15 for everything beyond, in both) and the number of the name in the lower 24.

/// Runs this short and this long are indexed.
pub(crate) const SHORTEST: usize = 1;
/// See [`SHORTEST`].
pub(crate) const LONGEST_RUN: usize = 5;
/// Places from here on share one number.
pub(crate) const FAR: usize = 15;

const PLACE_SHIFT: u32 = 28;
const LENGTH_SHIFT: u32 = 24;
/// More names than this do not fit.
pub(crate) const MOST: usize = 1 << LENGTH_SHIFT;

/// Postings of runs of one length.
#[derive(Debug, Clone)]
struct Runs {
    /// Beginning of the postings of each run; one more for the end.
    starts: Vec<u32>,
    postings: Vec<u32>,
}

/// Postings of runs of all lengths.
#[derive(Debug, Clone)]
pub(crate) struct Grams {
    by_length: Vec<Runs>,
}

impl Grams {
    /// Indexes folded names: classes of all names one after the other, and where each begins.
    pub(crate) fn new(classes: &[u8], begins: &[u32]) -> Self {
        let by_length = (SHORTEST..=LONGEST_RUN)
            .map(|q| Runs::new(classes, begins, q))
            .collect();
        Self { by_length }
    }

    /// Returns the postings of a run.
    pub(crate) fn of(&self, run: &[u8]) -> &[u32] {
        let Some(runs) = run
            .len()
            .checked_sub(SHORTEST)
            .and_then(|q| self.by_length.get(q))
        else {
            return &[];
        };
        let key = run
            .iter()
            .fold(0, |key, class| key * 16 + usize::from(*class));
        &runs.postings[runs.starts[key] as usize..runs.starts[key + 1] as usize]
    }

    /// Bytes held.
    pub(crate) fn bytes(&self) -> usize {
        let words = self
            .by_length
            .iter()
            .map(|r| r.starts.len() + r.postings.len());
        words.sum::<usize>() * 4
    }
}

/// Returns the postings at one place of names of some lengths.
pub(crate) fn at_place(postings: &[u32], place: usize, lengths: (usize, usize)) -> &[u32] {
    // Both are at most 15.
    #[allow(clippy::cast_possible_truncation, reason = "below 16")]
    let key = |length: usize| ((place.min(FAR) << 4 | length.min(FAR)) as u32) << LENGTH_SHIFT;
    let (low, high) = (key(lengths.0), key(lengths.1) | ((1 << LENGTH_SHIFT) - 1));
    let from = postings.partition_point(|p| *p < low);
    let rest = &postings[from..];
    &rest[..rest.partition_point(|p| *p <= high)]
}

/// Returns the number of the name in a posting.
pub(crate) fn name_of(posting: u32) -> usize {
    (posting & ((1 << LENGTH_SHIFT) - 1)) as usize
}

impl Runs {
    fn new(classes: &[u8], begins: &[u32], q: usize) -> Self {
        let mut starts = vec![0_u32; (1 << (4 * q)) + 1];
        let names = || {
            begins
                .windows(2)
                .map(|w| &classes[w[0] as usize..w[1] as usize])
        };
        let key = |run: &[u8]| {
            run.iter()
                .fold(0, |key, class| key * 16 + usize::from(*class))
        };
        for name in names() {
            for run in name.windows(q) {
                starts[key(run) + 1] += 1;
            }
        }
        for k in 1..starts.len() {
            starts[k] += starts[k - 1];
        }
        let mut postings = vec![0_u32; starts[starts.len() - 1] as usize];
        let mut fill = starts.clone();
        let mut order: Vec<(u32, &[u8])> = (0..).zip(names()).collect();
        order.sort_by_key(|(_, name)| name.len().min(FAR));
        // Place by place and length by length, so that each list comes out sorted.
        let longest = begins.windows(2).map(|w| w[1] - w[0]).max().unwrap_or(0) as usize;
        #[allow(
            clippy::cast_possible_truncation,
            reason = "place below 16, number below 2^28"
        )]
        for place in 0..longest.min(FAR + 1) {
            for &(number, name) in &order {
                let length = name.len().min(FAR) as u32;
                let runs = if place < FAR {
                    place..place + 1
                } else {
                    FAR..name.len().max(FAR)
                };
                for from in runs {
                    let Some(run) = name.get(from..from + q) else {
                        break;
                    };
                    let slot = &mut fill[key(run)];
                    postings[*slot as usize] =
                        ((place as u32) << PLACE_SHIFT) | (length << LENGTH_SHIFT) | number;
                    *slot += 1;
                }
            }
        }
        Self { starts, postings }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_are_found_where_they_stand() {
        let long: Vec<u8> = (0..20).map(|i| i % 16).collect();
        let classes = [&[1, 2, 3, 1, 2][..], &[2, 3][..], &long[..]].concat();
        let grams = Grams::new(&classes, &[0, 5, 7, 27]);
        let names = |run: &[u8], place| -> Vec<usize> {
            at_place(grams.of(run), place, (0, 64))
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
        let short = at_place(grams.of(&[2, 3]), 0, (0, 2));
        assert_eq!(short.iter().map(|p| name_of(*p)).collect::<Vec<_>>(), [1]);
        assert!(at_place(grams.of(&[2, 3]), 0, (3, 64)).is_empty());
        assert!(grams.of(&[9, 9]).is_empty());
        assert_eq!(names(&[1], 3), [0]);
        assert!(grams.of(&[]).is_empty());
    }
}
