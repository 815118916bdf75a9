//! A cell as an equivalent circuit.
//!
//! In: capacity, open-circuit voltage, series resistance, up to two pairs of resistance and capacitance.
//! Out: the cell, checked; a pack of equal cells as one cell; a cell's state.
//! Not here: how it is charged (`walk`).
//!
//! Currents are positive when they charge. With i the current, q = 3600 times the ampere-hours, z the state of
//! charge and u the voltage of each pair: dz/dt = i/q, du/dt = i/C − u/(R·C), v = OCV(z) + i·R0 + Σu.

use crate::{ChargingError, Ocv};

/// Most pairs of resistance and capacitance that a cell may have.
pub const MAX_PAIRS: usize = 2;

/// A resistance beside a capacitance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Resistance in ohms.
    pub ohm: f64,
    /// Capacitance in farads.
    pub farad: f64,
}

impl Pair {
    /// Time constant in seconds.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        self.ohm * self.farad
    }
}

/// A cell, or a pack of equal cells, as an equivalent circuit. Cloning shares the voltage table.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    capacity_ah: f64,
    ocv: Ocv,
    ohm: f64,
    pairs: Pairs,
}

/// The pairs of a cell, without a place in memory of their own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pairs {
    list: [Pair; MAX_PAIRS],
    count: usize,
}

impl Pairs {
    pub(crate) fn list(&self) -> &[Pair] {
        self.list.get(..self.count).unwrap_or_default()
    }
}

/// Where a cell stands: state of charge from 0 to 1 and the voltage across each pair, in volts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// State of charge, a share.
    pub soc: f64,
    /// Voltage across each pair, zero for a cell that has rested; what the cell has no pair for is zero.
    pub pair_v: [f64; MAX_PAIRS],
}

impl State {
    /// A cell that has rested long.
    #[must_use]
    pub fn rested(soc: f64) -> State {
        State {
            soc,
            pair_v: [0.0; MAX_PAIRS],
        }
    }
}

fn positive(what: &'static str, value: f64) -> Result<f64, ChargingError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(ChargingError::NotPositive { what, value })
    }
}

impl Cell {
    /// A cell of `capacity_ah` ampere-hours with series resistance `ohm` and up to [`MAX_PAIRS`] pairs.
    ///
    /// # Errors
    /// A capacity, resistance or capacitance that is not a positive number; more pairs than [`MAX_PAIRS`].
    pub fn new(
        capacity_ah: f64,
        ocv: Ocv,
        ohm: f64,
        pairs: &[Pair],
    ) -> Result<Cell, ChargingError> {
        let mut list = [Pair {
            ohm: 1.0,
            farad: 1.0,
        }; MAX_PAIRS];
        if pairs.len() > MAX_PAIRS {
            return Err(ChargingError::TooManyPairs { pairs: pairs.len() });
        }
        for (slot, pair) in list.iter_mut().zip(pairs) {
            positive("resistance of a pair in ohms", pair.ohm)?;
            positive("capacitance of a pair in farads", pair.farad)?;
            *slot = *pair;
        }
        Ok(Cell {
            capacity_ah: positive("capacity in ampere-hours", capacity_ah)?,
            ocv,
            ohm: positive("series resistance in ohms", ohm)?,
            pairs: Pairs {
                list,
                count: pairs.len(),
            },
        })
    }

    /// The same voltage table with other figures, as for a draw: no table is copied.
    ///
    /// # Errors
    /// As [`Cell::new`].
    pub fn with(&self, capacity_ah: f64, ohm: f64, pairs: &[Pair]) -> Result<Cell, ChargingError> {
        Cell::new(capacity_ah, self.ocv.clone(), ohm, pairs)
    }

    /// `series` groups of `parallel` equal cells, as one equivalent cell. Cells that differ are not handled: side by
    /// side they share the current unequally, one after the other the smallest ends the charge; neither is one cell.
    ///
    /// # Errors
    /// No cell in series or in parallel.
    pub fn pack(&self, series: u32, parallel: u32) -> Result<Cell, ChargingError> {
        let (s, p) = (f64::from(series), f64::from(parallel));
        positive("cells in series", s)?;
        positive("cells in parallel", p)?;
        let mut pairs = self.pairs;
        for pair in &mut pairs.list {
            pair.ohm *= s / p;
            pair.farad *= p / s;
        }
        Ok(Cell {
            capacity_ah: self.capacity_ah * p,
            ocv: self.ocv.in_series(series),
            ohm: self.ohm * s / p,
            pairs,
        })
    }

    /// Capacity in ampere-hours.
    #[must_use]
    pub fn capacity_ah(&self) -> f64 {
        self.capacity_ah
    }

    /// Capacity in coulombs.
    #[must_use]
    pub fn coulombs(&self) -> f64 {
        3600.0 * self.capacity_ah
    }

    /// Series resistance in ohms.
    #[must_use]
    pub fn ohm(&self) -> f64 {
        self.ohm
    }

    /// The pairs.
    #[must_use]
    pub fn pairs(&self) -> &[Pair] {
        self.pairs.list()
    }

    /// The open-circuit voltage.
    #[must_use]
    pub fn ocv(&self) -> &Ocv {
        &self.ocv
    }

    /// Joules stored more in one state than in another: what the table and the pairs' capacitances hold.
    #[must_use]
    pub fn stored_between_j(&self, from: &State, to: &State) -> f64 {
        let pairs: f64 = self
            .pairs()
            .iter()
            .zip(from.pair_v.iter().zip(&to.pair_v))
            .map(|(pair, (before, after))| 0.5 * pair.farad * (after + before) * (after - before))
            .sum();
        self.coulombs() * self.ocv.integral(from.soc, to.soc) + pairs
    }

    /// # Errors
    /// A state of charge outside the table, or a voltage that is not a number.
    pub(crate) fn check(&self, state: &State) -> Result<(), ChargingError> {
        let (from, to) = self.ocv.range();
        if !(state.soc >= from && state.soc <= to) || state.pair_v.iter().any(|u| !u.is_finite()) {
            return Err(ChargingError::State {
                soc: state.soc,
                from,
                to,
            });
        }
        Ok(())
    }
}
