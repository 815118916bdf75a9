//! Where a product stands among others: ranks, quantiles, shares, trends, likeness and what few can say.
//!
//! In: numbers, labels and sets; how many were looked at. Out: figures with limits, or nothing where none exist.
//! Not here: which products are compared and the words for it (`app`, `workbench`).
//!
//! Every figure is about the products given, which nobody drew by chance: a caller says "in this library".
//! Products are the units; siblings and revisions of one family count once, and the caller sees to that.

pub mod likeness;
pub mod many;
mod numeric;
pub mod odd;
pub mod quantile;
pub mod rank;
pub mod record;
pub mod share;
pub mod sighting;
pub mod supply;
pub mod trend;
