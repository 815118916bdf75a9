//! From symbols to parts of a catalogue.
//!
//! In: library files one at a time. Out: [`Row`]s. A symbol whose designator begins with `#`
//! stands for a supply or a graphic and is no part. A name that several libraries have is one
//! part: the first library that has it counts, later ones fill in what it does not say.
//!
//! Number of pins, an exposed pad not counted, the first of these that can be told:
//! the leads of the one footprint, when the symbol has at most its pads more (one, where the name
//! of the footprint does not say); else the different pin numbers of the symbol, less the pins
//! named like a pad, or less one when every filter has one exposed pad and the count is odd (leads
//! of such packages come in pairs).

use super::{Library, Symbol, library};
use crate::columns::COLUMNS;
use crate::table_cell::tidy;
use crate::{Outline, Part, Remark, Row, table_cell};
use std::collections::{BTreeMap, BTreeSet};

/// Collects the parts of several libraries.
#[derive(Debug, Clone, Default)]
pub struct Import {
    rows: Vec<Row>,
    places: BTreeMap<String, usize>,
    remarks: Vec<Remark>,
}

/// What one library brought.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Imported {
    /// Symbols that were read.
    pub symbols: usize,
    /// Symbols that stand for no part.
    pub no_part: usize,
    /// Parts whose name an earlier library had.
    pub known: usize,
    /// Symbols and files refused.
    pub refused: usize,
}

impl Import {
    /// Reads one library. `name` is what the parts' origin and role are made of: the file name
    /// without `.kicad_sym`.
    pub fn add(&mut self, bytes: &[u8], name: &str) -> Imported {
        self.add_library(&library(bytes, name), name)
    }

    /// Takes in a library that was read already.
    pub fn add_library(&mut self, library: &Library, name: &str) -> Imported {
        let mut imported = Imported {
            symbols: library.symbols.len(),
            refused: library.remarks.len(),
            ..Imported::default()
        };
        self.remarks.extend(library.remarks.iter().cloned());
        for symbol in &library.symbols {
            if symbol.power || symbol.reference.starts_with('#') {
                imported.no_part += 1;
                continue;
            }
            let part = part(symbol, name).tidied();
            if let Some(at) = self.places.get(&part.name) {
                imported.known += 1;
                fill_in(&mut self.rows[*at].part, &part);
                continue;
            }
            self.places.insert(part.name.clone(), self.rows.len());
            self.rows.push(Row {
                file: name.to_string(),
                line: symbol.line,
                part,
                cleared: Vec::new(),
                own: Vec::new(),
            });
        }
        imported
    }

    /// Returns the number of parts so far.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Tells whether there is no part yet.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Returns the parts in the order they came, ready for
    /// [`Catalogue::merge`](crate::Catalogue::merge).
    pub fn finish(self) -> crate::Read {
        crate::Read {
            rows: self.rows,
            remarks: self.remarks,
        }
    }
}

fn fill_in(part: &mut Part, other: &Part) {
    for column in COLUMNS {
        if table_cell::text(column, part).is_empty() {
            table_cell::copy(column, other, part);
        }
    }
}

/// Makes a part of one symbol.
fn part(symbol: &Symbol, library: &str) -> Part {
    let footprint = Outline::read(&symbol.footprint);
    let filters: Vec<Outline> = symbol
        .filters
        .split_whitespace()
        .filter_map(Outline::read)
        .collect();
    let pins = pins(symbol, footprint.as_ref(), &filters);
    let outlines = || footprint.iter().chain(&filters);
    let fixed = footprint.as_ref();
    Part {
        name: plain_name(&symbol.name),
        packages: outlines().map(|outline| outline.name(pins)).collect(),
        pins,
        body_mm: fixed
            .and_then(|o| o.body_mm)
            .or_else(|| agreed(filters.iter().map(|o| o.body_mm))),
        pitch_mm: fixed
            .and_then(|o| o.pitch_mm)
            .or_else(|| agreed(filters.iter().map(|o| o.pitch_mm))),
        role: tidy(&library.replace('_', " ")).to_lowercase(),
        power_pins: symbol
            .pins
            .iter()
            .filter(|pin| pin.power_in)
            .map(|pin| without_bars(&pin.name))
            .filter(|name| name != "~")
            .collect(),
        description: symbol.description.clone(),
        keywords: symbol
            .keywords
            .split_whitespace()
            .map(|word| word.trim_end_matches([',', ';']).to_string())
            .collect(),
        data_sheet: address(&symbol.data_sheet),
        known_from: format!("symbol library {library}"),
        ..Part::default()
    }
}

/// Returns what is an address; some symbols name a file on somebody's disk.
fn address(data_sheet: &str) -> String {
    let data_sheet = data_sheet.trim();
    let is_address = ["http://", "https://", "www."]
        .iter()
        .any(|start| data_sheet.starts_with(start));
    if is_address {
        data_sheet.to_string()
    } else {
        String::new()
    }
}

/// Returns the value that all those with a value share.
fn agreed<T: PartialEq>(values: impl Iterator<Item = Option<T>>) -> Option<T> {
    let mut values = values.flatten();
    let first = values.next()?;
    values.all(|value| value == first).then_some(first)
}

fn pins(symbol: &Symbol, footprint: Option<&Outline>, filters: &[Outline]) -> Option<u32> {
    let numbers: BTreeSet<&str> = symbol.pins.iter().map(|p| p.number.as_str()).collect();
    let count = u32::try_from(numbers.len()).ok().filter(|n| *n > 0)?;
    if let Some(outline) = footprint
        && let Some(leads) = outline.pins
        && count <= leads.saturating_add(outline.exposed.max(u32::from(may_have_pad(outline))))
    {
        return Some(leads);
    }
    let pads: BTreeSet<&str> = symbol
        .pins
        .iter()
        .filter(|pin| is_pad(&pin.name) || is_pad(&pin.number))
        .map(|pin| pin.number.as_str())
        .collect();
    let pads = u32::try_from(pads.len()).unwrap_or(0);
    let one_pad = !filters.is_empty() && filters.iter().all(|outline| outline.exposed == 1);
    let pads = if pads == 0 && one_pad && count % 2 == 1 {
        1
    } else {
        pads
    };
    Some(count - pads).filter(|n| *n > 0)
}

/// Tells whether one pin more than the leads is an exposed pad that the name leaves out. Outlines
/// with a number of their own, such as those with a tab, count their leads in other ways.
fn may_have_pad(outline: &Outline) -> bool {
    let last = outline.family.rsplit('-').next().unwrap_or_default();
    !last.starts_with(|c: char| c.is_ascii_digit())
}

/// Tells whether a pin is named like an exposed pad.
fn is_pad(name: &str) -> bool {
    let folded: String = name
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_uppercase)
        .collect();
    matches!(
        folded.as_str(),
        "EP" | "EPAD"
            | "EXP"
            | "PAD"
            | "TPAD"
            | "DAP"
            | "PADDLE"
            | "EXPOSEDPAD"
            | "THERMALPAD"
            | "THERMAL"
            | "EXPOSED"
    )
}

/// Takes the marks of an overbar off a pin name: `~{CE}` is CE.
fn without_bars(name: &str) -> String {
    name.replace("~{", "").replace('}', "")
}

/// Writes out the signs that a library may not hold in a name.
fn plain_name(name: &str) -> String {
    if !name.contains('{') {
        return name.to_string();
    }
    let signs = [
        ("{slash}", "/"),
        ("{backslash}", "\\"),
        ("{colon}", ":"),
        ("{space}", " "),
        ("{lt}", "<"),
        ("{gt}", ">"),
        ("{dblquote}", "\""),
        ("{bar}", "|"),
    ];
    let mut plain = name.to_string();
    for (sign, character) in signs {
        plain = plain.replace(sign, character);
    }
    plain
}
