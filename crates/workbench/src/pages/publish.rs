//! Publish: the report as it will be.

use super::{Context, empty};
use crate::frame::Laid;

pub(crate) fn page(_context: &Context<'_>) -> Laid {
    empty("The report as it will be, what to leave out of it, and every output of it.")
}
