//! The power links as a graph, and what one way through it can pass.
//!
//! In: items, power links, ratings. Out: ways, the limits along each, what binds, what a voltage meets.
//! Not here: findings (`power`, `runtime`, `claims`); charge and time (`energy`).

mod chain;
mod fate;
mod graph;
mod limits;
mod pack;
mod stage;
mod supply;
mod taken;

pub(crate) use chain::{Chain, Guess, best};
pub(crate) use fate::{VoltageFate, voltage_fate};
pub(crate) use graph::{Network, NumberedLink, Path};
pub(crate) use pack::Joined;
pub(crate) use stage::{Ratio, cell_voltage, is_charger, is_unknown_stage, one_cell_voltage};
pub(crate) use supply::{Printed, ratings, ratings_and_claims, strongest};
pub(crate) use taken::{greatest_use, taken};
