//! Progress on standard error: one line a stage, so that it reads well in a log too.

use crate::screen::tell;
use record::visible;

/// Tells the stage that begins.
pub(crate) fn stage(what: &str) {
    tell(&format!("  … {}", visible(what)));
}

/// Tells step `number` of `of`.
pub(crate) fn step(what: &str, number: usize, of: usize) {
    tell(&format!("  … {number}/{of} {}", visible(what)));
}
