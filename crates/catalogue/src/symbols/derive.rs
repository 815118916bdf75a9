//! Fills in what a symbol takes over from the one it extends.
//!
//! In: symbols as written. Out: symbols that stand alone; a symbol whose chain ends nowhere or in
//! itself is refused. A property that a symbol writes, even as an empty text, is its own; pins are
//! its own when it has any.

use super::library::{KEYS, Written};
use super::{Pin, Symbol};
use crate::Remark;
use crate::remark::shown;
use std::collections::BTreeMap;
use std::sync::Arc;

/// What a symbol hands on.
#[derive(Debug, Clone)]
struct Handed {
    properties: [Option<Arc<str>>; KEYS],
    pins: Arc<[Pin]>,
    units: Arc<[String]>,
    power: bool,
}

/// How far a symbol is.
#[derive(Debug, Clone)]
enum State {
    New,
    /// On the chain that is being followed.
    Open,
    Done(Handed),
    /// Why it is refused.
    Lost(&'static str),
}

/// Makes symbols that stand alone, in the order of the file.
pub(super) fn symbols(written: Vec<Written>, file: &str, remarks: &mut Vec<Remark>) -> Vec<Symbol> {
    let parents = parents(&written);
    let mut states = vec![State::New; written.len()];
    for start in 0..written.len() {
        resolve(start, &written, &parents, &mut states);
    }
    let mut symbols = Vec::with_capacity(written.len());
    for (symbol, state) in written.into_iter().zip(states) {
        match state {
            State::Done(handed) => symbols.push(alone(symbol, handed)),
            State::Lost(why) => {
                let parent = symbol.extends.as_deref().unwrap_or_default();
                remarks.push(Remark::row(
                    file,
                    symbol.line,
                    format!(
                        "the symbol {} extends {}, {why}",
                        shown(&symbol.name),
                        shown(parent)
                    ),
                    "let it extend a symbol of the same file that stands alone",
                ));
            }
            State::New | State::Open => {}
        }
    }
    symbols
}

/// Returns for every symbol the place of the one it extends; `None` inside for one that is not
/// there.
fn parents(written: &[Written]) -> Vec<Option<Option<usize>>> {
    let places: BTreeMap<&str, usize> = written
        .iter()
        .enumerate()
        .map(|(at, symbol)| (symbol.name.as_str(), at))
        .collect();
    let parent = |symbol: &Written| {
        let name = symbol.extends.as_deref()?;
        Some(places.get(name).copied())
    };
    written.iter().map(parent).collect()
}

/// Follows the chain of one symbol up and hands down along it. Every symbol is done once, so that
/// a long chain costs its length and not its square, and nothing recurses.
fn resolve(
    start: usize,
    written: &[Written],
    parents: &[Option<Option<usize>>],
    states: &mut [State],
) {
    let mut chain = Vec::new();
    let mut at = start;
    let mut above = loop {
        match &states[at] {
            State::Done(handed) => break Ok(Some(handed.clone())),
            State::Lost(_) => break Err("which cannot be used itself"),
            State::Open => break Err("which leads back to itself"),
            State::New => {}
        }
        states[at] = State::Open;
        chain.push(at);
        match parents[at] {
            None => break Ok(None),
            Some(None) => break Err("which is not in the file"),
            Some(Some(parent)) => at = parent,
        }
    };
    for at in chain.into_iter().rev() {
        states[at] = match above {
            Ok(parent) => {
                let handed = handed(&written[at], parent.as_ref());
                above = Ok(Some(handed.clone()));
                State::Done(handed)
            }
            Err(why) => {
                above = Err(if why == "which leads back to itself" {
                    why
                } else {
                    "which cannot be used itself"
                });
                State::Lost(why)
            }
        };
    }
}

fn handed(symbol: &Written, parent: Option<&Handed>) -> Handed {
    let properties = std::array::from_fn(|key| {
        let own = symbol.properties[key].as_deref().map(Arc::from);
        own.or_else(|| parent?.properties[key].clone())
    });
    let inherited = |own: bool| parent.filter(|_| !own);
    Handed {
        properties,
        pins: inherited(!symbol.pins.is_empty())
            .map_or_else(|| symbol.pins.as_slice().into(), |p| p.pins.clone()),
        units: inherited(!symbol.units.is_empty())
            .map_or_else(|| symbol.units.as_slice().into(), |p| p.units.clone()),
        power: symbol.power || parent.is_some_and(|p| p.power),
    }
}

fn alone(symbol: Written, handed: Handed) -> Symbol {
    let text = |key: usize| {
        handed.properties[key]
            .as_deref()
            .unwrap_or_default()
            .to_string()
    };
    let data_sheet = text(3);
    Symbol {
        reference: text(0),
        value: text(1),
        footprint: text(2),
        data_sheet: if data_sheet.trim() == "~" {
            String::new()
        } else {
            data_sheet
        },
        description: text(4),
        keywords: text(5),
        filters: text(6),
        name: symbol.name,
        extends: symbol.extends,
        units: handed.units.to_vec(),
        pins: handed.pins,
        power: handed.power,
        line: symbol.line,
    }
}
