//! Progress on standard error: one line a stage, so that it reads well in a log too.

use std::io::Write;

/// Tells the stage that begins. A closed standard error is no reason to stop working.
pub(crate) fn stage(what: &str) {
    let _ = writeln!(std::io::stderr().lock(), "  … {what}");
}

/// Tells step `number` of `of`.
pub(crate) fn step(what: &str, number: usize, of: usize) {
    let _ = writeln!(std::io::stderr().lock(), "  … {number}/{of} {what}");
}
