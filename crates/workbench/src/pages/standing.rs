//! Standing: where the product stands among all opened here.

use super::{Context, empty};
use crate::frame::Laid;

pub(crate) fn page(_context: &Context<'_>) -> Laid {
    empty(
        "Comparisons start with the second product of this library. They will read what is found of each: verdicts, figures, parts.",
    )
}
