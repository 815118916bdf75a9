//! Progress on standard error: one line that changes while somebody watches, nothing where nobody does.

use crate::{interrupt, screen};
use app::Watch;
use record::visible;

/// Tells whoever sits at the terminal.
pub(crate) struct Terminal;

impl Watch for Terminal {
    fn stage(&self, what: &str) {
        screen::progress(&format!("  … {}", visible(what)));
    }

    fn step(&self, what: &str, number: usize, of: usize) {
        screen::progress(&format!("  … {number}/{of} {}", visible(what)));
    }

    fn goes_on(&self) -> bool {
        !interrupt::is_wanted()
    }

    fn note(&self, what: &str) {
        screen::note(&format!("  … {}", visible(what)));
    }
}
