//! Running integrals of sampled quantities, with what sampling can have hidden.
//!
//! In: samples in the order of their time. Out: at every sample the trapezoid sum so far, the most that it can be off,
//! and a standard uncertainty. Not here: which samples are kept (`recorder`).
//!
//! Between two samples a curve that bends one way lies between its chord and its two tangents; the slopes of the
//! neighbouring chords stand for the tangents. Where the chord's slope does not lie between those of its neighbours, the
//! quantity jumped, and anything between the two samples is possible. The first kind of error has the sign of the bend
//! and adds up; the second kind is independent from interval to interval. Both are taken as rectangular (JCGM 100, 4.3.7).

use serde::Serialize;

/// An integral up to one sample.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub(crate) struct Running {
    /// Trapezoid sum.
    pub(crate) sum: f64,
    /// Sum of the largest errors of all intervals.
    pub(crate) bound: f64,
    /// Sum of the largest errors of intervals that bend one way, with their sign.
    pub(crate) bent: f64,
    /// Sum of the squared largest errors of intervals with jumps.
    pub(crate) jumps: f64,
}

/// Adds up one quantity.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Integral {
    last: Option<(f64, f64)>,
    /// Slope of the chord before the last.
    before: Option<f64>,
    /// The last chord: its slope, its width, its rise.
    chord: Option<(f64, f64, f64)>,
    sum: f64,
    /// What rounding took from the sum (Neumaier).
    lost: f64,
    settled: Running,
}

impl Integral {
    /// Takes a sample. Returns the integral up to the sample before, now that the slope behind it is known.
    pub(crate) fn push(&mut self, t: f64, y: f64) -> Option<Running> {
        let (last_t, last_y) = self.last.replace((t, y))?;
        let (width, rise) = (t - last_t, y - last_y);
        // Where no time passes there is no slope: the one before goes on.
        let slope = if width > 0.0 {
            Some(rise / width)
        } else {
            self.chord.map(|(slope, ..)| slope)
        };
        let done = self.settle(slope);
        self.before = self.chord.map(|(slope, ..)| slope);
        self.chord = slope.map(|slope| (slope, width, rise));
        let part = (y + last_y) / 2.0 * width;
        let sum = self.sum + part;
        self.lost += if self.sum.abs() >= part.abs() {
            (self.sum - sum) + part
        } else {
            (part - sum) + self.sum
        };
        self.sum = sum;
        Some(done)
    }

    /// Returns the integral up to the last sample.
    pub(crate) fn finish(&mut self) -> Running {
        self.settle(None)
    }

    fn settle(&mut self, after: Option<f64>) -> Running {
        if let Some((slope, width, rise)) = self.chord {
            match error(self.before, slope, after, width, rise) {
                Largest::Bent(error) => {
                    self.settled.bent += error;
                    self.settled.bound += error.abs();
                }
                Largest::Jump(error) => {
                    self.settled.jumps += error * error;
                    self.settled.bound += error;
                }
            }
        }
        self.settled.sum = self.sum + self.lost;
        self.settled
    }
}

enum Largest {
    Bent(f64),
    Jump(f64),
}

/// Returns the largest error of one trapezoid, positive where the curve lies above its chord.
fn error(before: Option<f64>, slope: f64, after: Option<f64>, width: f64, rise: f64) -> Largest {
    let (left, right) = (before.unwrap_or(slope), after.unwrap_or(slope));
    let (from_left, to_right) = (left - slope, slope - right);
    if from_left * to_right < 0.0 {
        return Largest::Jump(rise.abs() * width / 2.0);
    }
    let between = left - right;
    if between == 0.0 {
        return Largest::Bent(0.0);
    }
    let area = width * width / 2.0 * from_left * to_right / between.abs();
    Largest::Bent(area.copysign(between))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn whole(points: &[(f64, f64)]) -> Running {
        let mut integral = Integral::default();
        for (t, y) in points {
            integral.push(*t, *y);
        }
        integral.finish()
    }

    /// A straight line has nothing between samples that the trapezoid misses.
    #[test]
    fn a_straight_line_is_exact() {
        let found = whole(&[(0.0, 1.0), (1.0, 2.0), (4.0, 5.0)]);
        assert_eq!((found.sum, found.bound), (12.0, 0.0));
    }

    /// exp(-t) sampled every 0.5 from 0 to 5: the true integral is 1 - exp(-5).
    #[test]
    fn the_true_integral_of_a_decay_lies_within_the_bound() {
        let points: Vec<_> = (0..=10)
            .map(|k| f64::from(k) * 0.5)
            .map(|t| (t, (-t).exp()))
            .collect();
        let found = whole(&points);
        let truth = 1.0 - (-5.0_f64).exp();
        assert!(
            found.sum > truth && found.sum - truth < found.bound,
            "{found:?}"
        );
        assert!(found.bent < 0.0 && found.jumps == 0.0);
    }

    /// A step from 1 to 0 anywhere between two samples.
    #[test]
    fn a_step_between_samples_lies_within_the_bound() {
        let found = whole(&[(0.0, 1.0), (1.0, 1.0), (2.0, 0.0), (3.0, 0.0)]);
        for at in [1.0, 1.3, 2.0] {
            assert!((found.sum - at).abs() <= found.bound, "{found:?}");
        }
    }

    #[test]
    fn a_stamp_that_stands_twice_adds_nothing() {
        let once = whole(&[(0.0, 1.0), (1.0, 2.0), (2.0, 1.0)]);
        let twice = whole(&[(0.0, 1.0), (1.0, 2.0), (1.0, 2.0), (2.0, 1.0)]);
        assert_eq!(once.sum, twice.sum);
    }
}
