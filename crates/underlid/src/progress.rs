//! Progress on standard error: one line a stage, so that it reads well in a log too.

use crate::screen::tell;
use app::Watch;
use record::visible;

/// Tells whoever sits at the terminal.
pub(crate) struct Terminal;

impl Watch for Terminal {
    fn stage(&self, what: &str) {
        tell(&format!("  … {}", visible(what)));
    }

    fn step(&self, what: &str, number: usize, of: usize) {
        tell(&format!("  … {number}/{of} {}", visible(what)));
    }
}
