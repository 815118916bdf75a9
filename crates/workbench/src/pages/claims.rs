//! Claims: each printed sentence judged.

use super::{Context, empty};
use crate::frame::Laid;

pub(crate) fn page(_context: &Context<'_>) -> Laid {
    empty("No claims yet; they are written in Intake.")
}
