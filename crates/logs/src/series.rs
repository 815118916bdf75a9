//! What one channel measured in one run.
//!
//! In: the points that a recorder kept. Out: samples with exact running integrals, amounts between any two of them.
//! Not here: how they are kept (`recorder`), what they mean (`phases`, `answers`).

use crate::integral::Running;
use crate::log::Gap;
use crate::mapping::Seat;
use serde::Serialize;

/// One sample, with the integrals of all samples up to it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// Which row of the run it is, from 0.
    pub row: u64,
    /// Seconds.
    pub t_s: f64,
    /// Volts; 0 where [`Series::has_voltage`] is false.
    pub volts: f64,
    /// Amperes, into the cell or product.
    pub amperes: f64,
    /// Watts; 0 where [`Series::has_energy`] is false.
    pub watts: f64,
    /// Degrees Celsius.
    pub celsius: Option<f64>,
    /// Coulomb that the meter's own counter adds up to.
    pub counted_c: Option<f64>,
    /// Joule that the meter's own counter adds up to.
    pub counted_j: Option<f64>,
    pub(crate) charge: Running,
    pub(crate) energy: Running,
}

/// A charge or an energy, by trapezoids, and what sampling can have hidden.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Amount {
    /// Coulomb or joule: sum of trapezoids of the current, or of voltage times current.
    pub value: f64,
    /// The most that the value can be off if nothing but one step or one bend lies between two samples.
    pub bound: f64,
    /// Standard uncertainty, of sampling alone.
    pub standard: f64,
}

impl Amount {
    pub(crate) fn between(from: Running, to: Running) -> Self {
        let bent = to.bent - from.bent;
        let jumps = (to.jumps - from.jumps).max(0.0);
        Self {
            value: to.sum - from.sum,
            bound: (to.bound - from.bound).max(0.0),
            standard: ((bent * bent + jumps) / 3.0).sqrt(),
        }
    }
}

/// Rows that share what their mark columns say (step, cycle, group).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Section {
    /// What the mark columns say, in their order.
    pub marks: Vec<String>,
    /// Its first point.
    pub first: usize,
    /// Its last point.
    pub last: usize,
}

/// One channel of one run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Series {
    /// The channel's name.
    pub name: String,
    /// Where the meter sat.
    pub seat: Seat,
    /// Whether there are volts.
    pub has_voltage: bool,
    /// Whether there are watts.
    pub has_energy: bool,
    /// Whether the sign of the current was turned, because the voltage says so.
    pub turned: bool,
    /// Rows that it is made of.
    pub rows: u64,
    /// One point is kept for this many rows; 1 keeps all.
    pub rows_a_point: u64,
    /// Usual interval between rows in seconds, to 5 %.
    pub interval_s: f64,
    /// Highest power of all rows: seconds and watts.
    pub peak: (f64, f64),
    /// Intervals in which rows are missing, the longest 64 at most.
    pub gaps: Vec<Gap>,
    /// How often a counter was set back.
    pub resets: u32,
    /// Runs of rows with equal marks; empty where there are no marks or too many.
    pub sections: Vec<Section>,
    /// What was kept, in the order of time; never empty.
    pub points: Vec<Point>,
}

impl Series {
    /// Returns the charge between two points.
    pub fn charge(&self, from: usize, to: usize) -> Amount {
        Amount::between(self.points[from].charge, self.points[to].charge)
    }

    /// Returns the energy between two points; none where there is no power.
    pub fn energy(&self, from: usize, to: usize) -> Option<Amount> {
        let amount = Amount::between(self.points[from].energy, self.points[to].energy);
        self.has_energy.then_some(amount)
    }

    /// Returns the last point.
    pub fn last(&self) -> usize {
        self.points.len() - 1
    }

    /// Returns the charge of the whole run in coulomb.
    pub fn charge_c(&self) -> f64 {
        self.charge(0, self.last()).value
    }

    /// Returns the energy of the whole run in joule; none where there is no power.
    pub fn energy_j(&self) -> Option<f64> {
        self.energy(0, self.last()).map(|amount| amount.value)
    }

    /// Returns the duration of the run in seconds.
    pub fn duration_s(&self) -> f64 {
        self.points[self.last()].t_s - self.points[0].t_s
    }

    /// Returns the energy between two points if voltage and current are each straight between samples. Equals the
    /// trapezoids of their product up to a sixth of the products of their rises. Joule; all rows only where
    /// [`Series::rows_a_point`] is 1.
    pub fn energy_of_straight_lines(&self, from: usize, to: usize) -> f64 {
        self.points[from..=to]
            .windows(2)
            .map(|pair| {
                let rises = (pair[1].volts - pair[0].volts) * (pair[1].amperes - pair[0].amperes);
                (pair[1].t_s - pair[0].t_s) * ((pair[0].watts + pair[1].watts) / 2.0 - rises / 6.0)
            })
            .sum()
    }

    /// Turns the sign of the current.
    pub(crate) fn turn(&mut self) {
        let turned = |running: &mut Running| {
            running.sum = -running.sum;
            running.bent = -running.bent;
        };
        for point in &mut self.points {
            point.amperes = -point.amperes;
            point.watts = -point.watts;
            turned(&mut point.charge);
            turned(&mut point.energy);
        }
        for gap in &mut self.gaps {
            gap.charge_c = -gap.charge_c;
        }
        self.turned = true;
    }
}
