//! USB vendor and product numbers: `1a2b:3c4d`, `VID_1A2B&PID_3C4D`.
//!
//! In: a folded text and the caller's list of names. Out: readings. Source: the vendor and product fields
//! of the USB device descriptor, four hexadecimal digits each.

use crate::Context;
use crate::reading::{Draft, Kind, Value};
use crate::text::Folded;

fn hex(text: &str) -> Option<u16> {
    let plain = text.strip_prefix("0X").unwrap_or(text);
    (plain.len() == 4 && plain.bytes().all(|b| b.is_ascii_hexdigit()))
        .then(|| u16::from_str_radix(plain, 16).ok())
        .flatten()
}

fn numbers(text: &str) -> Option<(u16, Option<u16>, bool)> {
    if let Some((vendor, product)) = text.split_once(':') {
        return Some((hex(vendor.trim())?, Some(hex(product.trim())?), false));
    }
    let rest = text.strip_prefix("VID")?;
    let words: Vec<&str> = rest
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    match *words.as_slice() {
        [vendor] => Some((hex(vendor)?, None, true)),
        [vendor, "PID", product] => Some((hex(vendor)?, Some(hex(product)?), true)),
        _ => None,
    }
}

/// Reads USB numbers.
pub(crate) fn read(folded: &Folded, context: &Context<'_>) -> Option<Draft> {
    let (vendor, product, named) = numbers(&folded.upper)?;
    let vendor_name = context.registers.and_then(|r| r.usb_vendor(vendor));
    let product_name =
        product.and_then(|p| context.registers.and_then(|r| r.usb_product(vendor, p)));
    let who = vendor_name.as_ref().map_or_else(
        || "vendor not looked up or not listed".to_string(),
        Clone::clone,
    );
    let what = match (product, &product_name) {
        (Some(p), Some(name)) => format!(", product {p:04x} ({name})"),
        (Some(p), None) => format!(", product {p:04x}"),
        (None, _) => String::new(),
    };
    let fit = if named || vendor_name.is_some() {
        0.5
    } else {
        0.05
    };
    Some(
        Draft::new(
            Kind::UsbId,
            fit,
            format!("USB vendor {vendor:04x} ({who}){what}."),
            "four hexadecimal digits of the vendor, then of the product",
        )
        .value(Value::Usb {
            vendor,
            product,
            vendor_name,
            product_name,
        })
        .caution("a device can state any number; it says who registered it, not who made it"),
    )
}
