//! Cost: what it takes to build.

use super::{Context, empty};
use crate::frame::Laid;

pub(crate) fn page(_context: &Context<'_>) -> Laid {
    empty(
        "No price book. Bring a CSV of your own prices; nothing is assumed. What it takes to build will be worked out from the items, their counts and what they are.",
    )
}
