//! Counters of a meter: accumulated charge or energy, which may not begin at zero and may be set back.
//!
//! In: what the counter shows, and how much the samples say passed since. Out: the sum of its pieces. What passed in
//! the interval of a reset is lost, which is why a counter checks an integral and does not replace it.
//! Not here: the integral.

/// A counter, followed.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Counter {
    shown: Option<f64>,
    pub(crate) total: f64,
    pub(crate) resets: u32,
}

/// A fall is a reset where it is this many times what the samples can have carried away.
const TIMES: f64 = 5.0;

/// And this share of what was shown, so that rounding is none.
const SHARE: f64 = 0.02;

impl Counter {
    /// Takes what is shown; `carried` is what the samples say passed since. Returns whether it was set back.
    pub(crate) fn push(&mut self, shown: f64, carried: f64) -> bool {
        let before = self.shown.replace(shown).unwrap_or(shown);
        let fall = before - shown;
        if fall > TIMES * carried.abs() + SHARE * before.abs() {
            self.resets += 1;
            return true;
        }
        self.total += shown - before;
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_added_and_a_slow_fall_is_no_reset() {
        let mut counter = Counter::default();
        for (shown, carried) in [
            (880.0, 0.0),
            (881.0, 1.0),
            (0.0, 1.0),
            (1.0, 1.0),
            (0.5, 0.5),
        ] {
            counter.push(shown, carried);
        }
        assert_eq!((counter.total, counter.resets), (1.5, 1));
    }
}
