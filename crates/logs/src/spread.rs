//! Which interval between rows is usual, without keeping them.
//!
//! In: intervals. Out: their median to 5 %. Not here: what is a gap (`recorder`).

/// Classes of a tenfold range.
const CLASSES: f64 = 24.0;

/// Classes from a nanosecond to 32 years.
const COUNT: usize = 432;

/// Counts of intervals by their logarithm.
#[derive(Debug, Clone)]
pub(crate) struct Spread {
    counts: Vec<u64>,
    total: u64,
}

impl Default for Spread {
    fn default() -> Self {
        Self {
            counts: vec![0; COUNT],
            total: 0,
        }
    }
}

impl Spread {
    pub(crate) fn push(&mut self, interval_s: f64) {
        if interval_s > 0.0 {
            let class = (interval_s.log10() + 9.0) * CLASSES;
            // Saturates at both ends.
            let class = (class as usize).min(COUNT - 1);
            self.counts[class] += 1;
            self.total += 1;
        }
    }

    /// Returns the middle interval in seconds; none before the first.
    pub(crate) fn median(&self) -> Option<f64> {
        let mut seen = 0;
        let class = self.counts.iter().position(|count| {
            seen += count;
            2 * seen >= self.total && seen > 0
        })?;
        Some(10_f64.powf((class as f64 + 0.5) / CLASSES - 9.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_of_intervals_is_found_to_five_percent() {
        let mut spread = Spread::default();
        for interval in [10.0, 10.0, 10.0, 80.0, 0.1] {
            spread.push(interval);
        }
        assert!((spread.median().unwrap() / 10.0 - 1.0).abs() < 0.05);
        assert_eq!(Spread::default().median(), None);
    }
}
