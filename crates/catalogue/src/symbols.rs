//! Libraries of schematic symbols in the open `.kicad_sym` format.
//!
//! In: the bytes of one library file at a time, so that a caller can show progress. Out: its
//! [`Symbol`]s with what they derive from another one filled in; [`Import`] makes parts of them.
//! Not here: drawing the symbols; the files of the user's installation (the command).
//!
//! Format: nested lists of words and quoted texts. `(symbol "NAME" (extends "OTHER") (property
//! "KEY" "VALUE" …) (symbol "NAME_1_1" (pin power_in line (name "VDD") (number "1"))))`. Files of
//! version 20211014 call the description `ki_description`; later ones call it `Description`.

mod derive;
mod import;
mod library;
mod s_expression;

pub use import::{Import, Imported};
pub use library::{Library, library};
pub use s_expression::DEEPEST;

use std::sync::Arc;

/// One symbol of a library.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Symbol {
    /// Its name, as written: a lower-case `x` for "any" stays.
    pub name: String,
    /// The symbol it derives from, in the same library.
    pub extends: Option<String>,
    /// Prefix of its designators ("U"; "#" first for what is no part).
    pub reference: String,
    /// Text shown beside it, most often the name.
    pub value: String,
    /// Its one footprint, where it has one.
    pub footprint: String,
    /// Address of its data sheet; empty also when the library says `~`.
    pub data_sheet: String,
    /// One line on what it is.
    pub description: String,
    /// Words to find it by, as written.
    pub keywords: String,
    /// Filters for its footprints, as written.
    pub filters: String,
    /// Names of its units, where they have names.
    pub units: Vec<String>,
    /// Its pins, those of the symbol it derives from included.
    pub pins: Arc<[Pin]>,
    /// It stands for a supply, not for a part.
    pub power: bool,
    /// Line of the file where it begins.
    pub line: u64,
}

/// One pin of a symbol.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Pin {
    /// Its number or ball ("7", "A3").
    pub number: String,
    /// Its name.
    pub name: String,
    /// It takes power in.
    pub power_in: bool,
}
