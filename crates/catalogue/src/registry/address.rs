//! Blocks of hardware addresses: MA-L of 24 bits, MA-M of 28, MA-S and the closed IAB of 36.
//!
//! Format: CSV with the columns Registry, Assignment (6, 7 or 9 hexadecimal digits) and
//! Organization Name. A few old blocks were given out twice; the first row in the file counts.

use super::Entry;
use crate::remark::shown;
use crate::table_cell::tidy;
use crate::{Remark, Table};
use serde::Serialize;
use std::collections::BTreeMap;

/// A registered block that an address lies in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Block<'a> {
    /// Whom it is registered to; "Private" when the owner is not published.
    pub owner: &'a str,
    /// Registry ("MA-L", "MA-M", "MA-S", "IAB").
    pub registry: &'a str,
    /// Length of the block's prefix in bits.
    pub bits: u8,
}

pub(super) fn owner<'a>(
    blocks: &'a BTreeMap<(u8, u64), Entry>,
    address: &[u8; 6],
) -> Option<Block<'a>> {
    if address[0] & 0x02 != 0 {
        return None;
    }
    let value = address
        .iter()
        .fold(0_u64, |sum, byte| sum << 8 | u64::from(*byte));
    [36_u8, 28, 24].into_iter().find_map(|bits| {
        let entry = blocks.get(&(bits, value >> (48 - bits)))?;
        Some(Block {
            owner: &entry.owner,
            registry: &entry.registry,
            bits,
        })
    })
}

pub(super) fn add(
    blocks: &mut BTreeMap<(u8, u64), Entry>,
    bytes: &[u8],
    file: &str,
) -> (usize, Vec<Remark>) {
    let table = match Table::from_text(bytes, file) {
        Ok(table) => table,
        Err(remark) => return (0, vec![remark]),
    };
    let mut remarks = table.remarks.clone();
    let place = |name: &str| table.heading.iter().position(|heading| heading == name);
    let (Some(registry), Some(assignment), Some(owner)) = (
        place("Registry"),
        place("Assignment"),
        place("Organization Name"),
    ) else {
        remarks.push(Remark::file(
            file,
            "the columns Registry, Assignment and Organization Name are not all there",
            "give the CSV file of the registration authority",
        ));
        return (0, remarks);
    };
    let mut read = 0;
    for row in &table.rows {
        let cell = |at: usize| row.cells.get(at).and_then(|cell| cell.as_deref().ok());
        let (Some(registry), Some(digits), Some(owner)) =
            (cell(registry), cell(assignment), cell(owner))
        else {
            remarks.push(Remark::row(
                file,
                row.line,
                "a cell is missing or is not UTF-8",
                "fetch the file again",
            ));
            continue;
        };
        match block(digits.trim()) {
            Some(key) => {
                read += 1;
                blocks.entry(key).or_insert_with(|| Entry {
                    registry: tidy(registry),
                    owner: tidy(owner),
                });
            }
            None => remarks.push(
                Remark::row(
                    file,
                    row.line,
                    format!("{} is not 6, 7 or 9 hexadecimal digits", shown(digits)),
                    "fetch the file again",
                )
                .at("Assignment"),
            ),
        }
    }
    (read, remarks)
}

fn block(digits: &str) -> Option<(u8, u64)> {
    let bits = match digits.len() {
        6 => 24,
        7 => 28,
        9 => 36,
        _ => return None,
    };
    let hexadecimal = digits.bytes().all(|b| b.is_ascii_hexdigit());
    let value = u64::from_str_radix(digits, 16)
        .ok()
        .filter(|_| hexadecimal)?;
    Some((bits, value))
}
