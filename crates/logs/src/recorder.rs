//! Samples of one channel in one run, kept in bounded memory.
//!
//! In: samples in the order of their time, any number. Out: a [`Series`] of at most twice as many points as asked for.
//! Every row goes into the integrals; when there are too many points every second one is let go, so what lies between
//! two kept points stays exact. Not here: reading (`read`).

use crate::counter::Counter;
use crate::integral::{Integral, Running};
use crate::log::Gap;
use crate::mapping::{Seat, Sign};
use crate::series::{Point, Section, Series};
use crate::spread::Spread;

/// Most sections whose borders are kept.
const MOST_SECTIONS: usize = 10_000;

/// Most intervals that are remembered as gaps.
const MOST_GAPS: usize = 64;

/// An interval is a gap where it is this many times the usual one (`common practice`).
const GAP: f64 = 5.0;

/// Volts by which the voltage must speak for one direction to decide the sign.
const DECIDES_V: f64 = 0.005;

/// One sample in SI units.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Sample {
    pub(crate) volts: Option<f64>,
    pub(crate) amperes: f64,
    pub(crate) watts: Option<f64>,
    pub(crate) charge: Option<f64>,
    pub(crate) discharge: Option<f64>,
    pub(crate) energy: Option<f64>,
    pub(crate) energy_out: Option<f64>,
    pub(crate) celsius: Option<f64>,
}

/// Keeps what one channel measures.
#[derive(Debug)]
pub(crate) struct Recorder {
    name: String,
    seat: Seat,
    most: usize,
    rows: u64,
    stride: u64,
    points: Vec<(Point, bool)>,
    pending: Option<(Point, bool)>,
    charge: Integral,
    energy: Integral,
    counters: [Counter; 4],
    spread: Spread,
    intervals: Vec<Gap>,
    sections: Vec<(Vec<String>, u64)>,
    crowded: bool,
    /// Rise of the voltage in the direction of the current, volts.
    along: f64,
    peak: (f64, f64),
    has_voltage: bool,
    has_energy: bool,
}

impl Recorder {
    pub(crate) fn new(name: &str, seat: Seat, most: usize) -> Self {
        Self {
            name: name.to_owned(),
            seat,
            most: most.max(16),
            rows: 0,
            stride: 1,
            points: Vec::new(),
            pending: None,
            charge: Integral::default(),
            energy: Integral::default(),
            counters: [Counter::default(); 4],
            spread: Spread::default(),
            intervals: Vec::new(),
            sections: Vec::new(),
            crowded: false,
            along: 0.0,
            peak: (0.0, f64::NEG_INFINITY),
            has_voltage: true,
            has_energy: true,
        }
    }

    /// Takes a sample that is not earlier than the last. `marks` are given where they changed.
    /// Returns whether a counter was set back.
    pub(crate) fn push(&mut self, t: f64, sample: &Sample, marks: Option<&[String]>) -> bool {
        let before = self.pending.map(|(point, _)| point);
        let charge = self.charge.push(t, sample.amperes);
        let energy = self.energy.push(t, sample.watts.unwrap_or(0.0));
        self.settle(charge, energy);
        self.has_voltage &= sample.volts.is_some();
        self.has_energy &= sample.watts.is_some();
        let volts = sample.volts.unwrap_or(0.0);
        let watts = sample.watts.unwrap_or(0.0);
        let mut reset = false;
        let mut carried = (0.0, 0.0);
        if let Some(before) = before {
            let width = t - before.t_s;
            carried.0 = (before.amperes + sample.amperes) / 2.0 * width;
            carried.1 = (before.watts + watts) / 2.0 * width;
            self.spread.push(width);
            self.remember(before.t_s, t, carried.0);
            if sample.amperes != 0.0 {
                self.along += (volts - before.volts) * sample.amperes.signum();
            }
        }
        let shown = [
            sample.charge,
            sample.discharge,
            sample.energy,
            sample.energy_out,
        ];
        for (at, shown) in shown.into_iter().enumerate() {
            let carried = if at < 2 { carried.0 } else { carried.1 };
            if let Some(shown) = shown {
                reset |= self.counters[at].push(shown, carried);
            }
        }
        let counted = |in_: Option<f64>, out: Option<f64>, at: usize| {
            (in_.is_some() || out.is_some())
                .then(|| self.counters[at].total - self.counters[at + 1].total)
        };
        let point = Point {
            row: self.rows,
            t_s: t,
            volts,
            amperes: sample.amperes,
            watts,
            celsius: sample.celsius,
            counted_c: counted(sample.charge, sample.discharge, 0),
            counted_j: counted(sample.energy, sample.energy_out, 2),
            charge: Running::default(),
            energy: Running::default(),
        };
        if watts.abs() > self.peak.1 {
            self.peak = (t, watts.abs());
        }
        let border = self.begin(marks);
        if border && let Some((_, kept)) = self.points.last_mut() {
            *kept = true;
        }
        self.pending = Some((point, border || self.rows == 0));
        self.rows += 1;
        reset
    }

    /// Begins a section where the marks changed; returns whether its border is kept.
    fn begin(&mut self, marks: Option<&[String]>) -> bool {
        let Some(marks) = marks else { return false };
        if self.sections.len() >= MOST_SECTIONS {
            self.crowded = true;
            return false;
        }
        self.sections.push((marks.to_vec(), self.rows));
        true
    }

    /// Completes the sample before, now that its integrals are known, and keeps it or not.
    fn settle(&mut self, charge: Option<Running>, energy: Option<Running>) {
        let Some((mut point, border)) = self.pending.take() else {
            return;
        };
        point.charge = charge.unwrap_or_default();
        point.energy = energy.unwrap_or_default();
        // The last point stays until the next one is known to be kept, as the border of a section may follow.
        if let Some((last, kept)) = self.points.last()
            && !kept
            && last.row % self.stride != 0
        {
            self.points.pop();
        }
        self.points.push((point, border));
        if self.points.len() >= 2 * self.most {
            self.stride *= 2;
            let (stride, last) = (self.stride, point.row);
            self.points
                .retain(|(point, kept)| *kept || point.row % stride == 0 || point.row == last);
        }
    }

    /// Remembers the longest intervals.
    fn remember(&mut self, from_s: f64, to_s: f64, charge_c: f64) {
        let gap = Gap {
            from_s,
            to_s,
            charge_c,
        };
        let width = |gap: &Gap| gap.to_s - gap.from_s;
        if self.intervals.len() < MOST_GAPS {
            self.intervals.push(gap);
        } else if let Some(shortest) = self
            .intervals
            .iter_mut()
            .min_by(|a, b| width(a).total_cmp(&width(b)))
            && width(shortest) < width(&gap)
        {
            *shortest = gap;
        }
    }

    /// Returns the usual interval so far.
    pub(crate) fn is_crowded(&self) -> bool {
        self.crowded
    }

    /// Ends the run; none where there was no sample.
    pub(crate) fn finish(mut self, sign: Sign) -> Option<Series> {
        let (charge, energy) = (self.charge.finish(), self.energy.finish());
        self.settle(Some(charge), Some(energy));
        let interval_s = self.spread.median().unwrap_or(0.0);
        let enough = self.rows >= 5;
        self.intervals
            .retain(|gap| enough && gap.to_s - gap.from_s > GAP * interval_s);
        self.intervals.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
        let points: Vec<Point> = self.points.iter().map(|(point, _)| *point).collect();
        let at = |row: u64| points.partition_point(|point| point.row < row);
        let count = self.sections.len();
        let sections = (0..count).map(|index| Section {
            marks: self.sections[index].0.clone(),
            first: at(self.sections[index].1),
            last: self
                .sections
                .get(index + 1)
                .map_or(points.len(), |next| at(next.1))
                - 1,
        });
        let sections = if self.crowded {
            Vec::new()
        } else {
            sections.collect()
        };
        let mut series = Series {
            name: self.name,
            seat: self.seat,
            has_voltage: self.has_voltage,
            has_energy: self.has_energy,
            turned: false,
            rows: self.rows,
            rows_a_point: self.stride,
            interval_s,
            peak: self.peak,
            gaps: self.intervals,
            resets: self.counters.iter().map(|counter| counter.resets).sum(),
            sections,
            points,
        };
        if series.points.is_empty() {
            return None;
        }
        let turned = match sign {
            Sign::AsWritten => false,
            Sign::Turned => true,
            // What enters a socket or leaves an output is counted as it flows most of the time.
            Sign::ByVoltage if matches!(series.seat, Seat::Socket | Seat::Output) => {
                series.charge_c() < 0.0
            }
            Sign::ByVoltage => series.has_voltage && self.along < -DECIDES_V,
        };
        if turned {
            series.turn();
        }
        Some(series)
    }
}
