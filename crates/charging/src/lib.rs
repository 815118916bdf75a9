//! Cells, chargers and sources as equations: how a charge or a discharge goes.
//!
//! In: numbers in SI units (seconds, amperes, volts, ohms, farads, watts, kelvins apart) and charge in
//! ampere-hours. Out: times, charge, energy, heat and what binds at each moment.
//! Not here: dossiers, evidence, uncertainty of inputs (the caller draws them), logs (`logs`).
//! Source: the equations of a cell with one resistance and pairs of resistance and capacitance, solved in closed
//! form on each piece of a piecewise-linear open-circuit voltage.
//!
//! ```
//! use charging::{Cell, Ocv, Pair, Stage, State, Until, charge};
//! let ocv = Ocv::new(&[(0.0, 3.0), (0.1, 3.4), (0.9, 4.05), (1.0, 4.2)])?;
//! let cell = Cell::new(5.0, ocv, 0.02, &[Pair { ohm: 0.01, farad: 3000.0 }])?;
//! let stages = [Stage::current_voltage(5.0, 4.2, 0.25)?];
//! let charge = charge(&cell, State::rested(0.05), &stages, Until::default())?;
//! assert!(charge.time_to(0.8).is_some_and(|seconds| (seconds - 2700.0).abs() < 1.0));
//! assert!(charge.imbalance(&cell).abs() < 1e-12);
//! # Ok::<(), charging::ChargingError>(())
//! ```

mod bounds;
mod cell;
mod charge;
mod charger;
#[cfg(test)]
mod checks;
mod decay;
mod draws;
mod error;
mod input;
mod limit;
mod modes;
mod ocv;
mod piece;
mod ramp;
mod sharing;
mod solve;
mod source;
mod stage;
mod stepped;
mod tables;
mod temperature;
mod walk;

pub use cell::{Cell, MAX_PAIRS, Pair, State};
pub use charge::{Charge, Sample, Span, Totals, charge, totals};
pub use charger::{Charger, FoldBack, MAX_STAGES, Precharge, Stages};
pub use draws::{Draw, Outcome, Question, ask, draws};
pub use error::ChargingError;
pub use input::{Converter, Feed, Input};
pub use limit::{Binding, Law, Limit, Limits, MAX_LIMITS};
pub use ocv::Ocv;
pub use piece::{Moment, Piece};
pub use sharing::{Guest, Request, Share, charge_together, shares};
pub use source::{Source, Usb, cable_ohm, wire_ohm_per_m};
pub use stage::{Ends, Phase, Stage, Timer};
pub use tables::{Form, PUBLISHED, PublishedOcv};
pub use temperature::{TemperatureRange, TemperatureStep};
pub use walk::{Ended, Finish, Until, walk};
