//! Hardware addresses of 48 or 64 bits: maker, locally administered, group.
//!
//! In: a folded text and the caller's register of address blocks. Out: readings. Source: IEEE 802: bit 1 of
//! the first octet marks local administration, bit 0 a group (from memory). Blocks of 36 and 28 bits lie
//! inside blocks of 24 bits that belong to the registrar, so the longest is asked first.

use crate::Context;
use crate::reading::{Draft, Kind, Value};
use crate::text::Folded;

/// Reads octets separated by colons, hyphens or dots in groups, or 12 characters without any.
fn octets(text: &str) -> Option<(Vec<u8>, bool)> {
    let separator = text.chars().find(|c| matches!(c, ':' | '-' | '.' | ' '));
    let (groups, separated): (Vec<&str>, bool) = match separator {
        Some(c) => (text.split(c).collect(), true),
        None => (vec![text], false),
    };
    let width = groups.first()?.len();
    let regular = matches!((groups.len(), width), (6 | 8, 2) | (3 | 4, 4) | (1, 12));
    if !regular || groups.iter().any(|g| g.len() != width) {
        return None;
    }
    let hex: Vec<u32> = groups
        .concat()
        .chars()
        .map(|c| c.to_digit(16))
        .collect::<Option<_>>()?;
    let octets = hex
        .chunks_exact(2)
        .map(|p| u8::try_from(p[0] * 16 + p[1]).ok())
        .collect::<Option<_>>()?;
    Some((octets, separated))
}

/// Asks for the block of an address: 36, 28, then 24 bits.
fn block(octets: &[u8], context: &Context<'_>) -> Option<(String, u8)> {
    let registers = context.registers?;
    let head = octets
        .iter()
        .take(6)
        .fold(0u64, |sum, o| (sum << 8) | u64::from(*o));
    [36u8, 28, 24].into_iter().find_map(|bits| {
        registers
            .address_block(head >> (48 - bits), bits)
            .map(|name| (name, bits))
    })
}

/// Reads a hardware address.
pub(crate) fn read(folded: &Folded, context: &Context<'_>) -> Option<Draft> {
    let text = folded.upper.as_str();
    let named = text.strip_prefix("MAC");
    let text = named.map_or(text, |t| t.trim_start_matches([':', ' ']));
    let (octets, separated) = octets(text)?;
    let first = *octets.first()?;
    let (local, group) = (first & 2 != 0, first & 1 != 0);
    let found = if local { None } else { block(&octets, context) };
    let shown: Vec<String> = octets.iter().map(|o| format!("{o:02X}")).collect();
    let shown = shown.join(":");
    let who = match (&found, local, context.registers.is_some()) {
        (Some((name, bits)), ..) => format!("registered by {name} (block of {bits} bits)"),
        (None, true, _) => "administered locally, so it has no registered maker".to_string(),
        (None, false, true) => "block not in the register given".to_string(),
        (None, false, false) => "no register was given to look the maker up".to_string(),
    };
    let group_words = if octets.iter().all(|o| *o == 0xff) {
        ", the broadcast address"
    } else if group {
        ", a group address"
    } else {
        ""
    };
    let fit = match (named.is_some() || separated, &found) {
        (_, Some(_)) => 0.1,
        (true, None) => 0.05,
        (false, None) => 0.000_5,
    };
    let draft = Draft::new(
        Kind::HardwareAddress,
        fit,
        format!("Hardware address {shown}{group_words}; {who}."),
        format!(
            "{} octets; bit 1 of the first is {}, bit 0 is {}",
            octets.len(),
            u8::from(local),
            u8::from(group)
        ),
    );
    let (vendor, vendor_bits) = found.unzip();
    Some(
        draft
            .value(Value::Address {
                octets,
                local,
                group,
                vendor,
                vendor_bits,
            })
            .caution("identifies one device: leave the last half out of what is published"),
    )
}
