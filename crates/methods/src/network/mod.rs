//! The power links as a graph, and what one way through it can pass.
//!
//! In: items, power links, ratings. Out: ways, the limits along each, what binds, what a voltage meets.
//! Not here: findings (`power`, `runtime`, `claims`); charge and time (`energy`).

mod chain;
mod fate;
mod graph;
mod limits;
mod stage;
mod supply;
mod taken;

pub(crate) use chain::{Chain, follow};
pub(crate) use fate::{VoltageFate, voltage_fate};
pub(crate) use graph::{Network, NumberedLink, Path};
pub(crate) use stage::{Ratio, cell_voltage, is_charger};
pub(crate) use supply::{Printed, ratings, strongest, supply_at};
pub(crate) use taken::{greatest_use, taken};
