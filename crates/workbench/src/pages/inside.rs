//! Inside: photographs and the parts on them.

use super::{Context, empty};
use crate::frame::Laid;

pub(crate) fn page(_context: &Context<'_>) -> Laid {
    empty(
        "Photographs of what is inside, and each part on them: what is printed on it, what it is, how large, what it does.",
    )
}
