//! Power: what feeds what.

use super::{Context, empty};
use crate::frame::Laid;

pub(crate) fn page(_context: &Context<'_>) -> Laid {
    empty("No links yet. Start at what faces outside: socket, coil, contacts.")
}
