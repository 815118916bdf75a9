//! Rows in the order of their time.
//!
//! In: rows as they come. Out: rows that never go back in time; a few that do are sorted, a fall by far is a new run,
//! anything else is refused. Not here: what a row holds.

use crate::recorder::Sample;
use crate::spread::Spread;
use std::collections::VecDeque;

/// Rows that are held back, so that rows out of order can be put where they belong.
const HELD: usize = 8;

/// A fall by more than so many usual intervals begins a new run.
const RESTART: f64 = 5.0;

/// One row with its time, its samples and its marks.
#[derive(Debug, Default)]
pub(super) struct Placed {
    pub(super) t_s: f64,
    pub(super) line: u64,
    /// One for each channel.
    pub(super) samples: Vec<Option<Sample>>,
    /// What the mark columns say.
    pub(super) marks: Vec<String>,
}

/// What became of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Put {
    InOrder,
    Sorted,
    /// It begins a new run and waits until [`Order::begin`].
    Restart {
        /// Time of the row before, seconds.
        from_s: f64,
    },
    Lost,
}

/// Holds rows back.
#[derive(Debug, Default)]
pub(super) struct Order {
    held: VecDeque<Placed>,
    spare: Vec<Placed>,
    waiting: Option<Placed>,
    /// Time of the last row that was given away.
    given: Option<f64>,
    steps: Spread,
    rows: u64,
    sorted: u64,
}

impl Order {
    /// Returns a row to fill in.
    pub(super) fn spare(&mut self) -> Placed {
        self.spare.pop().unwrap_or_default()
    }

    pub(super) fn give_back(&mut self, placed: Placed) {
        self.spare.push(placed);
    }

    pub(super) fn put(&mut self, placed: Placed) -> Put {
        let t = placed.t_s;
        self.rows += 1;
        let last = self.held.back().map(|row| row.t_s).or(self.given);
        let Some(last) = last.filter(|last| t < *last) else {
            if let Some(last) = last {
                self.steps.push(t - last);
            }
            self.held.push_back(placed);
            return Put::InOrder;
        };
        let fall = last - t;
        let usual = self.steps.median().unwrap_or(fall);
        if fall > RESTART * usual {
            self.waiting = Some(placed);
            return Put::Restart { from_s: last };
        }
        self.sorted += 1;
        let many = self.sorted > HELD as u64 && 10 * self.sorted > self.rows;
        if many || self.given.is_some_and(|given| t < given) {
            return Put::Lost;
        }
        let at = self
            .held
            .iter()
            .position(|row| row.t_s > t)
            .unwrap_or(self.held.len());
        self.held.insert(at, placed);
        Put::Sorted
    }

    /// Begins a run with the row that waits.
    pub(super) fn begin(&mut self) {
        self.given = None;
        self.held.extend(self.waiting.take());
    }

    /// Gives the oldest row away when enough follow it.
    pub(super) fn next(&mut self) -> Option<Placed> {
        if self.held.len() <= HELD {
            return None;
        }
        self.drain()
    }

    /// Gives the oldest row away.
    pub(super) fn drain(&mut self) -> Option<Placed> {
        let row = self.held.pop_front()?;
        self.given = Some(row.t_s);
        Some(row)
    }
}
