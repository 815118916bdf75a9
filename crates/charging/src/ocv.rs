//! Open-circuit voltage over state of charge, piecewise linear.
//!
//! In: points (state of charge from 0 to 1, volts), rising. Out: the voltage, its slope, its integral (the energy
//! stored) and the inverse.
//! Not here: published tables (`tables`), resistances (`cell`).

use crate::ChargingError;
use std::sync::Arc;

/// Open-circuit voltage over state of charge, straight between points. Cloning shares the points.
#[derive(Debug, Clone, PartialEq)]
pub struct Ocv {
    segments: Arc<[Segment]>,
}

/// One straight stretch of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Segment {
    /// State of charge where it begins and ends.
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// Volts where it begins, and volts for the whole state of charge.
    pub(crate) volts: f64,
    pub(crate) slope: f64,
}

impl Segment {
    pub(crate) fn voltage(&self, soc: f64) -> f64 {
        self.volts + self.slope * (soc - self.from)
    }
}

impl Ocv {
    /// A table from points (state of charge, volts), in rising order of state of charge.
    ///
    /// # Errors
    /// Fewer than two points, a number that is not finite, a state of charge outside 0 to 1 or not rising, a
    /// voltage that falls.
    pub fn new(points: &[(f64, f64)]) -> Result<Ocv, ChargingError> {
        if points.len() < 2 {
            return Err(ChargingError::TooFewPoints {
                points: points.len(),
            });
        }
        let bad = |row: usize| ChargingError::TablePoint { row: row + 1 };
        for (row, (soc, volts)) in points.iter().enumerate() {
            if !soc.is_finite() || !volts.is_finite() || !(0.0..=1.0).contains(soc) || *volts < 0.0
            {
                return Err(bad(row));
            }
        }
        let segments = points
            .windows(2)
            .enumerate()
            .map(|(row, pair)| {
                let ((from, volts), (to, next)) = (pair[0], pair[1]);
                if to <= from || next < volts {
                    return Err(bad(row + 1));
                }
                Ok(Segment {
                    from,
                    to,
                    volts,
                    slope: (next - volts) / (to - from),
                })
            })
            .collect::<Result<Arc<[Segment]>, ChargingError>>()?;
        Ok(Ocv { segments })
    }

    /// The table with its voltages moved in proportion, so that it ends at `top_v` volts and still begins where it
    /// began. An assumption: no cell with the higher limit was measured; whoever uses it says so.
    ///
    /// # Errors
    /// A top that is not above the beginning of the table, or a table that is flat.
    pub fn stretched_to(&self, top_v: f64) -> Result<Ocv, ChargingError> {
        let (bottom, top) = (self.at(0.0), self.at(1.0));
        if !(top_v.is_finite() && top_v > bottom && top > bottom) {
            return Err(ChargingError::Stretch {
                bottom_v: bottom,
                top_v,
            });
        }
        let by = (top_v - bottom) / (top - bottom);
        Ok(self.map(|volts| bottom + (volts - bottom) * by))
    }

    /// The table of `cells` equal cells in series.
    pub(crate) fn in_series(&self, cells: u32) -> Ocv {
        self.map(|volts| volts * f64::from(cells))
    }

    fn map(&self, change: impl Fn(f64) -> f64) -> Ocv {
        let segments = self.segments.iter().map(|s| {
            let (volts, end) = (change(s.volts), change(s.voltage(s.to)));
            Segment {
                volts,
                slope: (end - volts) / (s.to - s.from),
                ..*s
            }
        });
        Ocv {
            segments: segments.collect(),
        }
    }

    /// Volts at a state of charge; outside the table, those of its nearer end.
    #[must_use]
    pub fn at(&self, soc: f64) -> f64 {
        let segment = self.segment(self.index(soc));
        segment.voltage(soc.clamp(segment.from, segment.to))
    }

    /// The state of charge of a cell at rest that shows `volts`: the lowest where the table is flat; none outside
    /// the table.
    #[must_use]
    pub fn soc_at(&self, volts: f64) -> Option<f64> {
        let segment = self
            .segments
            .iter()
            .find(|s| volts <= s.voltage(s.to) && volts >= s.volts)?;
        Some(if segment.slope > 0.0 {
            (segment.from + (volts - segment.volts) / segment.slope).min(segment.to)
        } else {
            segment.from
        })
    }

    /// The integral of the voltage over state of charge, in volts: times coulombs of capacity, the energy stored.
    #[must_use]
    pub fn integral(&self, from: f64, to: f64) -> f64 {
        if to < from {
            return -self.integral(to, from);
        }
        self.segments
            .iter()
            .map(|s| {
                let (a, b) = (from.clamp(s.from, s.to), to.clamp(s.from, s.to));
                0.5 * (s.voltage(a) + s.voltage(b)) * (b - a)
            })
            .sum()
    }

    /// State of charge where the table begins and ends.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        (self.segments[0].from, self.segments[self.last()].to)
    }

    pub(crate) fn segment(&self, index: usize) -> Segment {
        self.segments[index.min(self.last())]
    }

    pub(crate) fn last(&self) -> usize {
        self.segments.len() - 1
    }

    /// The segment that holds `soc`; of two, the upper.
    pub(crate) fn index(&self, soc: f64) -> usize {
        self.segments
            .partition_point(|s| s.to <= soc)
            .min(self.last())
    }
}
