//! What a product costs to build at a volume, and how well that is known.
//!
//! In: lines with amounts and prices of somebody's own, yields, tools, rates of exchange. Out: cost per piece at a
//! volume with its distribution, by group; what its doubt rests on; which single quote would narrow it most.
//! Not here: any price; what a product is made of (`methods`).
//!
//! Formulas are the trade's; nothing about prices is built in. A line that lacks a price is listed and never zero.
//!
//! | file | subject |
//! | --- | --- |
//! | `ladder.rs`, `lot.rs` | price against quantity |
//! | `learning.rs` | hours against units made |
//! | `panel.rs`, `placement.rs` | bare boards, layers, placements, attrition |
//! | `moulding.rs`, `assembly.rs` | moulded parts, hours of hands |
//! | `process.rs` | yields, rework, tests |
//! | `chain.rs` | margins, taxes, indices, rates of exchange |
//! | `bill.rs`, `rollup.rs`, `drivers.rs` | all lines as one derivation, its draws, its drivers |
//! | `book.rs` | a price book read and written |

pub mod assembly;
mod bill;
pub mod book;
pub mod chain;
mod drivers;
pub mod ladder;
pub mod learning;
pub mod lot;
pub mod moulding;
pub mod panel;
pub mod placement;
pub mod process;
mod rollup;

pub use bill::{
    Bill, BillError, Group, Law, Level, Line, Point, Pricing, Rate, Sort, Unknown, half_width_sigma,
};
pub use drivers::{Driver, Drivers, Quote};
pub use ladder::{Ladder, LadderError};
pub use rollup::{Band, Rollup, Run};
