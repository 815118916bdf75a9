//! Opening: acts of opening, each with its clock.

use super::{Context, empty};
use crate::frame::Laid;

pub(crate) fn page(_context: &Context<'_>) -> Laid {
    empty("Say what you are about to do. Nothing counts as done until the clock is stopped.")
}
