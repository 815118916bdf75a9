//! Quantities that know their unit, their uncertainty, their origin and their working.
//!
//! In: what people write (`620 mAh`, `83.4(2) g`, `9 V ⎓ 1.67 A`) and formulas over named inputs.
//! Out: values with standard uncertainty, distribution, sensitivities and the working as text.
//! Not here: anything about teardowns; reading files; the clock.

pub mod digits;
mod dimension;
mod distribution;
mod figure;
mod format;
mod glyph;
mod level;
mod locator;
mod quantity;
mod sheet;
mod special;
mod stated;
mod unit;

pub use dimension::{Currency, Dimension};
pub use distribution::{Distribution, DistributionError};
pub use figure::{Figure, FigureInput, Interval, Origin, Source};
pub use format::{
    COVERAGE, COVERED, GAP, decimals_beside, format_beside, format_ends, format_measured,
    format_quantity, time_unit,
};
pub use level::LevelReference;
pub use locator::Locator;
pub use quantity::{ConvertError, Quantity};
pub use sheet::{
    Accuracy, Input, Model, MonteCarlo, Propagation, Sampled, Sheet, SheetError, Term,
    VarianceShares,
};
pub use stated::{Choice, Rating, ReadError, Sense, Spread, Stated};
pub use unit::{Unit, UnitError, units};
