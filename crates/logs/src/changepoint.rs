//! Exact penalised change points of the mean.
//!
//! In: values, a penalty for each change, the least length of a segment. Out: the segmentation that minimises the sum
//! of squared deviations from the segments' means plus the penalties; no other has less. Not here: which penalty fits
//! (`levels`).
//!
//! Method: optimal partitioning (Jackson et al. 2005) with functional pruning (Maidstone, Hocking, Rigaill, Fearnhead,
//! Statistics and Computing 27, 2017): for each level that the last segment may have, only the best last change is
//! kept. A least length is met by letting a change in only once so many values lie behind it; what the levels' costs
//! are then compared on ends so many values earlier, for all alike. Time is nearly proportional to the number of values,
//! with many changes and with none.

/// A segmentation.
#[derive(Debug, Clone, PartialEq)]
pub struct Changes {
    /// Index behind the last value of each segment; the last is the number of values.
    pub ends: Vec<usize>,
    /// Sum of squared deviations from the means.
    pub cost: f64,
}

/// Levels for which one last change is the best.
#[derive(Debug, Clone, Copy)]
struct Piece {
    low: f64,
    high: f64,
    /// Where the segment begins, as a number too.
    begin: usize,
    begins: f64,
    /// Sum of values before it.
    sum: f64,
    /// Cost up to it, less the sum of squares before it.
    base: f64,
}

impl Piece {
    /// Returns the cost of the best level when the segment ends where the sums stand, and that level.
    fn best(&self, count: f64, sum: f64, squares: f64) -> (f64, f64, f64) {
        let (n, s) = (count - self.begins, sum - self.sum);
        let level = s / n;
        (self.base + squares - s * level, level, n)
    }

    /// Returns the least cost among its levels.
    fn least(&self, count: f64, sum: f64, squares: f64) -> f64 {
        let (cost, level, n) = self.best(count, sum, squares);
        // Clamping keeps a level that rounding put outside.
        let off = level - level.clamp(self.low, self.high);
        cost + n * off * off
    }
}

/// Finds the change points. Nothing for values that are not finite, or a penalty below zero.
pub fn change_points(values: &[f64], penalty: f64, least_length: usize) -> Option<Changes> {
    let n = values.len();
    let least = least_length.max(1);
    if !(penalty >= 0.0 && values.iter().all(|value| value.is_finite())) {
        return None;
    }
    if n < 2 * least {
        let ends = if n == 0 { Vec::new() } else { vec![n] };
        return Some(with_cost(values, ends));
    }
    // Sums of values far from zero would lose digits.
    let mean = values.iter().sum::<f64>() / n as f64;
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut sums = Vec::with_capacity(n + 1);
    let (mut sum, mut squares) = (0.0, 0.0);
    sums.push((0.0, 0.0));
    for value in values {
        let value = value - mean;
        (low, high) = (low.min(value), high.max(value));
        sum += value;
        squares += value * value;
        sums.push((sum, squares));
    }
    let mut best = vec![f64::INFINITY; n + 1];
    let mut begins = vec![0_usize; n + 1];
    best[0] = -penalty;
    let mut pieces: Vec<Piece> = Vec::new();
    let mut next: Vec<Piece> = Vec::new();
    for end in least..=n {
        let begin = end - least;
        if best[begin].is_finite() {
            let (sum, squares) = sums[begin];
            let cost = best[begin] + penalty;
            let new = Piece {
                low,
                high,
                begin,
                begins: begin as f64,
                sum,
                base: cost - squares,
            };
            insert(&pieces, &mut next, new, cost, (sum, squares));
            std::mem::swap(&mut pieces, &mut next);
        }
        let (sum, squares) = sums[end];
        let count = end as f64;
        let (mut lowest, mut from) = (f64::INFINITY, 0);
        for piece in &pieces {
            let cost = piece.least(count, sum, squares);
            if cost < lowest {
                (lowest, from) = (cost, piece.begin);
            }
        }
        best[end] = lowest;
        begins[end] = from;
    }
    let mut ends = vec![n];
    let mut at = begins[n];
    while at > 0 {
        ends.push(at);
        at = begins[at];
    }
    ends.reverse();
    Some(with_cost(values, ends))
}

/// Lets a new last change have the levels at which all others cost more than it.
fn insert(
    pieces: &[Piece],
    next: &mut Vec<Piece>,
    new: Piece,
    cost: f64,
    (sum, squares): (f64, f64),
) {
    next.clear();
    // Where the levels that the new one gets begin.
    let mut gets_from = new.low;
    for piece in pieces {
        let (least, level, n) = piece.best(new.begins, sum, squares);
        let room = cost - least;
        if room < 0.0 {
            continue;
        }
        let reach = (room / n).sqrt();
        let (low, high) = (piece.low.max(level - reach), piece.high.min(level + reach));
        if low > high {
            continue;
        }
        if low > gets_from {
            next.push(Piece {
                low: gets_from,
                high: low,
                ..new
            });
        }
        next.push(Piece {
            low,
            high,
            ..*piece
        });
        gets_from = high;
    }
    if gets_from < new.high || next.is_empty() {
        next.push(Piece {
            low: gets_from,
            ..new
        });
    }
}

fn with_cost(values: &[f64], ends: Vec<usize>) -> Changes {
    let mut from = 0;
    let mut cost = 0.0;
    for end in &ends {
        let segment = &values[from..*end];
        let mean = segment.iter().sum::<f64>() / segment.len() as f64;
        cost += segment
            .iter()
            .map(|value| (value - mean) * (value - mean))
            .sum::<f64>();
        from = *end;
    }
    Changes { ends, cost }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Optimal partitioning without pruning: every last change is tried.
    fn every_partition(values: &[f64], penalty: f64, least: usize) -> f64 {
        let n = values.len();
        let mut best = vec![f64::INFINITY; n + 1];
        best[0] = -penalty;
        for end in least..=n {
            for begin in 0..=end - least {
                let segment = with_cost(&values[begin..end], vec![end - begin]).cost;
                best[end] = best[end].min(best[begin] + segment + penalty);
            }
        }
        best[n]
    }

    proptest! {
        #[test]
        fn no_partition_costs_less(
            values in prop::collection::vec(-5.0_f64..5.0, 6..40),
            penalty in 0.0_f64..20.0,
            least in 1_usize..4,
        ) {
            let found = change_points(&values, penalty, least).unwrap();
            let total = found.cost + penalty * (found.ends.len() - 1) as f64;
            prop_assert!((total - every_partition(&values, penalty, least)).abs() < 1e-9);
            let mut from = 0;
            for end in &found.ends {
                prop_assert!(end - from >= least);
                from = *end;
            }
            prop_assert_eq!(from, values.len());
        }

        #[test]
        fn adding_a_constant_changes_nothing(values in prop::collection::vec(-5.0_f64..5.0, 6..40)) {
            let moved: Vec<f64> = values.iter().map(|value| value + 1000.0).collect();
            prop_assert_eq!(change_points(&values, 3.0, 2).unwrap().ends, change_points(&moved, 3.0, 2).unwrap().ends);
        }
    }

    #[test]
    fn few_equal_or_unusable_values_are_answered() {
        assert_eq!(
            change_points(&[], 1.0, 2).unwrap().ends,
            Vec::<usize>::new()
        );
        assert_eq!(change_points(&[1.0], 1.0, 2).unwrap().ends, [1]);
        assert_eq!(change_points(&[3.0; 50], 1.0, 2).unwrap().ends, [50]);
        assert_eq!(change_points(&[1.0, f64::NAN], 1.0, 2), None);
        assert_eq!(change_points(&[1.0, 2.0], -1.0, 2), None);
    }
}
