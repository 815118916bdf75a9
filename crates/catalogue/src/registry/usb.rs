//! USB vendors and products from a `usb.ids` file.
//!
//! Format: `VVVV  Vendor`, below it lines `<tab>PPPP  Product` (and two tabs for interfaces, which
//! are passed over), four hexadecimal digits each; `#` begins a comment. After the vendors come
//! lists of classes and languages, whose headings have a word before the digits.

use crate::Remark;
use crate::remark::shown;
use crate::table_cell::tidy;
use serde::Serialize;
use std::collections::BTreeMap;

/// Names of a USB vendor and of one of its products.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct UsbName<'a> {
    /// The vendor, when it is known.
    pub vendor: Option<&'a str>,
    /// The product, when it is known.
    pub product: Option<&'a str>,
}

pub(super) fn add(
    vendors: &mut BTreeMap<u16, String>,
    products: &mut BTreeMap<(u16, u16), String>,
    bytes: &[u8],
    file: &str,
) -> (usize, Vec<Remark>) {
    let mut remarks = Vec::new();
    let mut vendor: Option<u16> = None;
    let mut read = 0;
    for (number, line) in (1..).zip(bytes.split(|b| *b == b'\n')) {
        let line = String::from_utf8_lossy(line);
        let line = line.trim_end();
        if line.is_empty() || line.starts_with('#') || line.starts_with("\t\t") {
            continue;
        }
        if let Some(product) = line.strip_prefix('\t') {
            let Some(vendor) = vendor else { continue };
            match entry(product) {
                Some((id, name)) => {
                    products.insert((vendor, id), name);
                    read += 1;
                }
                None => remarks.push(refused(file, number, product)),
            }
            continue;
        }
        vendor = None;
        if let Some((id, name)) = entry(line) {
            vendors.insert(id, name);
            vendor = Some(id);
            read += 1;
        } else if !is_other_list(line) {
            remarks.push(refused(file, number, line));
        }
    }
    if read == 0 {
        remarks.push(Remark::file(
            file,
            "the file names no USB vendor",
            "give a usb.ids file",
        ));
    }
    (read, remarks)
}

fn entry(line: &str) -> Option<(u16, String)> {
    let (digits, name) = line.split_at_checked(4)?;
    let name = name
        .strip_prefix("  ")
        .map(tidy)
        .filter(|n| !n.is_empty())?;
    let hexadecimal = digits.bytes().all(|b| b.is_ascii_hexdigit());
    let id = u16::from_str_radix(digits, 16)
        .ok()
        .filter(|_| hexadecimal)?;
    Some((id, name))
}

/// Tells whether a line heads one of the lists of classes, languages and the like.
fn is_other_list(line: &str) -> bool {
    let word = line.split(' ').next().unwrap_or_default();
    matches!(
        word,
        "C" | "AT" | "HID" | "R" | "BIAS" | "PHY" | "HUT" | "L" | "HCC" | "VT"
    )
}

fn refused(file: &str, line: u64, text: &str) -> Remark {
    Remark::row(
        file,
        line,
        format!(
            "{} is not four hexadecimal digits, two spaces and a name",
            shown(text)
        ),
        "fetch the file again",
    )
}
