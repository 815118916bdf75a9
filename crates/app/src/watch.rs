//! Who waits for long work: told what happens, and asked whether to go on.
//!
//! In: nothing. Out: [`Watch`], which every long verb takes.
//! Not here: how it is shown.

/// Told of long work while it goes on.
pub trait Watch {
    /// A stage begins.
    fn stage(&self, what: &str);
    /// Something is worth knowing beside the result, whoever waits.
    fn note(&self, what: &str) {
        self.stage(what);
    }
    /// Step `number` of `of` begins, counted from 1.
    fn step(&self, what: &str, number: usize, of: usize);
    /// Whether to go on; asked often, so answer quickly.
    fn goes_on(&self) -> bool {
        true
    }
}

/// Nobody waits.
#[derive(Debug, Clone, Copy, Default)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn stage(&self, _: &str) {}
    fn step(&self, _: &str, _: usize, _: usize) {}
}
