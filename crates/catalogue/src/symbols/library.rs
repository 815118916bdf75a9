//! The symbols of one library file, as written and then with their derivation filled in.
//!
//! A list that is not closed costs the rest of the file; anything else costs its symbol only.

use super::derive;
use super::s_expression::{Fault, Token, Tokens, line_and_column};
use super::{Pin, Symbol};
use crate::Remark;
use crate::remark::shown;
use std::collections::BTreeSet;

/// What one library file holds.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Library {
    /// Version of the format, as the file states it; 0 when it does not.
    pub version: u32,
    /// Its symbols, in the order of the file.
    pub symbols: Vec<Symbol>,
    /// What could not be read.
    pub remarks: Vec<Remark>,
}

/// A symbol before its derivation is filled in: what it does not say is not there, which differs
/// from an empty text.
#[derive(Debug, Default)]
pub(super) struct Written {
    pub(super) name: String,
    pub(super) at: usize,
    pub(super) line: u64,
    pub(super) extends: Option<String>,
    pub(super) properties: [Option<String>; KEYS],
    pub(super) units: Vec<String>,
    pub(super) pins: Vec<Pin>,
    pub(super) power: bool,
}

/// Number of properties that are kept.
pub(super) const KEYS: usize = 7;

/// Returns the place of a property among those kept.
fn key(name: &str) -> Option<usize> {
    Some(match name {
        "Reference" => 0,
        "Value" => 1,
        "Footprint" => 2,
        "Datasheet" => 3,
        "ki_description" | "Description" => 4,
        "ki_keywords" => 5,
        "ki_fp_filters" => 6,
        _ => return None,
    })
}

/// Reads one library file.
///
/// ```
/// let text = br#"(kicad_symbol_lib (version 20211014)
///   (symbol "NHF2104" (property "ki_description" "charger")
///     (symbol "NHF2104_1_1" (pin power_in line (name "VBUS") (number "1"))))
///   (symbol "NHF2105" (extends "NHF2104")))"#;
/// let library = catalogue::symbols::library(text, "Charger.kicad_sym");
/// assert_eq!(library.symbols[1].pins[0].name, "VBUS");
/// ```
pub fn library(bytes: &[u8], file: &str) -> Library {
    let mut library = Library::default();
    let mut written = Vec::new();
    let bytes = bytes.strip_prefix(&[0xef, 0xbb, 0xbf]).unwrap_or(bytes);
    if let Err(fault) = top(bytes, &mut library.version, &mut written) {
        let (line, column) = line_and_column(bytes, fault.at);
        library.remarks.push(
            Remark {
                line,
                ..Remark::file(
                    file,
                    fault.why,
                    "symbols before this place were read; open the library in its editor and save it again",
                )
            }
            .at(column.to_string()),
        );
    }
    number_lines(bytes, &mut written);
    let mut names = BTreeSet::new();
    written.retain(|symbol| {
        let (why, remedy) = if symbol.name.trim().is_empty() {
            ("a symbol has no name".to_string(), "name it")
        } else if !names.insert(symbol.name.clone()) {
            (
                format!(
                    "the symbol {} stands in the file twice",
                    shown(&symbol.name)
                ),
                "keep one of them; the first was read",
            )
        } else {
            return true;
        };
        library
            .remarks
            .push(Remark::row(file, symbol.line, why, remedy));
        false
    });
    library.symbols = derive::symbols(written, file, &mut library.remarks);
    library
}

fn top(bytes: &[u8], version: &mut u32, written: &mut Vec<Written>) -> Result<(), Fault> {
    let mut tokens = Tokens::new(bytes);
    let no_library = Fault {
        at: 0,
        why: "the file does not begin with (kicad_symbol_lib",
    };
    if tokens.next()? != Some(Token::Open)
        || tokens.next()? != Some(Token::Word(b"kicad_symbol_lib"))
    {
        return Err(no_library);
    }
    loop {
        match tokens.next()? {
            Some(Token::Open) => {}
            Some(Token::Word(_) | Token::Quoted(_)) => continue,
            Some(Token::Close) => break,
            None => return Err(tokens.fault("the file ends inside a list")),
        }
        let at = tokens.place() - 1;
        match tokens.atom()?.as_deref() {
            Some("symbol") => {
                let mut symbol = Written {
                    at,
                    ..Written::default()
                };
                symbol.name = tokens.atom()?.unwrap_or_default().into_owned();
                self::symbol(&mut tokens, &mut symbol, true)?;
                written.push(symbol);
            }
            Some("version") => {
                let word = tokens.atom()?.unwrap_or_default();
                *version = word.parse().unwrap_or(0);
                tokens.skip()?;
            }
            _ => tokens.skip()?,
        }
    }
    match tokens.next()? {
        None => Ok(()),
        Some(_) => Err(tokens.fault("text follows the end of the library")),
    }
}

/// Reads the lists of a symbol, or of one of its units, up to its end.
fn symbol(tokens: &mut Tokens<'_>, symbol: &mut Written, outer: bool) -> Result<(), Fault> {
    loop {
        match tokens.next()? {
            Some(Token::Open) => {}
            Some(Token::Word(_) | Token::Quoted(_)) => continue,
            Some(Token::Close) | None => return Ok(()),
        }
        let Some(head) = tokens.head()? else {
            continue;
        };
        match head {
            b"property" if outer => property(tokens, symbol)?,
            b"pin" => {
                let pin = pin(tokens)?;
                symbol.pins.push(pin);
            }
            b"symbol" if outer => {
                tokens.atom()?;
                self::symbol(tokens, symbol, false)?;
            }
            b"extends" if outer => {
                symbol.extends = tokens.atom()?.map(|name| name.into_owned());
                tokens.skip()?;
            }
            b"unit_name" => {
                let name = tokens.atom()?.unwrap_or_default().into_owned();
                if !name.is_empty() && !symbol.units.contains(&name) {
                    symbol.units.push(name);
                }
                tokens.skip()?;
            }
            b"power" if outer => {
                symbol.power = true;
                tokens.skip()?;
            }
            _ => tokens.skip()?,
        }
    }
}

fn property(tokens: &mut Tokens<'_>, symbol: &mut Written) -> Result<(), Fault> {
    let mut name = tokens.atom()?;
    // Later versions put this word before the name of a property that is not shown to others.
    if name.as_deref() == Some("private") {
        name = tokens.atom()?;
    }
    if let (Some(name), Some(value)) = (name, tokens.atom()?)
        && let Some(key) = key(&name)
    {
        symbol.properties[key] = Some(value.into_owned());
    }
    tokens.skip()
}

fn pin(tokens: &mut Tokens<'_>) -> Result<Pin, Fault> {
    let mut pin = Pin {
        power_in: tokens.atom()?.as_deref() == Some("power_in"),
        ..Pin::default()
    };
    loop {
        match tokens.next()? {
            Some(Token::Open) => {}
            Some(Token::Word(_) | Token::Quoted(_)) => continue,
            Some(Token::Close) | None => return Ok(pin),
        }
        match tokens.atom()?.as_deref() {
            Some("name") => pin.name = tokens.atom()?.unwrap_or_default().into_owned(),
            Some("number") => pin.number = tokens.atom()?.unwrap_or_default().into_owned(),
            _ => {}
        }
        tokens.skip()?;
    }
}

/// Counts the lines once for all symbols.
fn number_lines(bytes: &[u8], written: &mut [Written]) {
    let (mut line, mut at) = (1, 0);
    for symbol in written {
        let upto = symbol.at.clamp(at, bytes.len());
        line += bytes[at..upto].iter().filter(|b| **b == b'\n').count() as u64;
        at = upto;
        symbol.line = line;
    }
}
