//! Known parts: what they are called, how they are marked, what package they come in, and where
//! that is known from.
//!
//! In: texts and bytes of catalogues, tables and symbol libraries. Out: a [`Catalogue`], and every
//! row that was refused with the reason.
//! Not here: files and folders (the command), which part a marking belongs to (`marking`).

mod catalogue;
mod columns;
mod formula;
mod harvest;
mod import;
mod number;
mod outline;
#[cfg(test)]
mod page;
mod part;
mod parts;
mod read;
pub mod registry;
mod remark;
mod same_part;
pub mod symbols;
mod table;
mod table_cell;
mod top_code;
mod write;

pub use catalogue::{Catalogue, Correction, Merged};
pub use columns::{COLUMNS, Column, column};
pub use formula::{escaped_formula, unescaped_formula};
pub use harvest::{ConfirmedPart, Harvest, harvest};
pub use import::{Mapping, MappingError, Preview, import, preview};
pub use outline::Outline;
pub use part::Part;
pub use parts::Parts;
pub use read::{Read, Row, read};
pub use registry::Registry;
pub use remark::{Loss, Remark};
pub use table::{RowReader, Table, TextRow};
pub use top_code::TopCode;
pub use write::{write, write_in_order};
