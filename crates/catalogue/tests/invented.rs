//! No invented name of the demonstration is that of a real part or maker.
//!
//! Compared with the open symbol set, the list of USB vendors and the register of hardware addresses where they
//! are installed (Debian packages kicad-symbols, usb.ids, ieee-data), and with the way in which type numbers of
//! real semiconductors are built: the Pro Electron code (two letters for material and use, then a letter and two
//! digits or three digits), JEDEC EIA-370 (1N, 2N) and JIS C 7012 (2SA to 2SK). Source of the codes: common practice.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    clippy::unwrap_used,
    reason = "a test reads its cases from the disk and fails by panicking"
)]

mod common;

use catalogue::symbols::library;
use catalogue::{Catalogue, Part};
use std::collections::BTreeSet;

const SYMBOLS: &str = "/usr/share/kicad/symbols";

fn known() -> Vec<Part> {
    let demo = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../demo/lamp/catalogue/known-parts.csv"
    );
    let bytes = std::fs::read(demo).unwrap();
    let read = catalogue::read(&bytes, "known-parts.csv");
    let mut all = Catalogue::default();
    all.merge(read.rows);
    assert!(all.parts().len() > 30);
    all.into_parts()
}

/// Every name and alias.
fn numbers() -> BTreeSet<String> {
    let parts = known();
    let all = parts.iter().flat_map(|p| p.aliases.iter().chain([&p.name]));
    all.map(|name| plain(name)).collect()
}

fn plain(name: &str) -> String {
    let kept = name.chars().filter(char::is_ascii_alphanumeric);
    kept.collect::<String>().to_uppercase()
}

#[test]
fn no_invented_part_number_equals_a_real_one() {
    let name = "no_invented_part_number_equals_a_real_one";
    let files: Vec<String> = std::fs::read_dir(SYMBOLS)
        .into_iter()
        .flatten()
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|file| file.ends_with(".kicad_sym"))
        .collect();
    if files.is_empty() {
        return common::skip(SYMBOLS, "kicad-symbols", name, "there is no library");
    }
    let invented = numbers();
    let mut compared = 0;
    for file in files {
        let path = format!("{SYMBOLS}/{file}");
        let Some(bytes) = common::installed(&path, "kicad-symbols", name) else {
            return;
        };
        for symbol in library(&bytes, &file).symbols {
            compared += 1;
            assert!(
                !invented.contains(&plain(&symbol.name)),
                "{} in {file}",
                symbol.name
            );
        }
    }
    assert!(compared > 10_000, "{compared}");
}

#[test]
fn no_invented_maker_is_registered() {
    let name = "no_invented_maker_is_registered";
    let makers: BTreeSet<String> = known()
        .into_iter()
        .map(|p| p.maker)
        .filter(|m| !m.is_empty())
        .collect();
    assert!(makers.len() >= 5, "{makers:?}");
    for (path, package) in [
        ("/usr/share/misc/usb.ids", "usb.ids"),
        ("/usr/share/ieee-data/oui.csv", "ieee-data"),
    ] {
        let Some(bytes) = common::installed(path, package, name) else {
            return;
        };
        let text = String::from_utf8_lossy(&bytes).to_lowercase();
        for maker in &makers {
            assert!(!text.contains(&maker.to_lowercase()), "{maker} in {path}");
        }
    }
}

#[test]
fn no_invented_part_number_is_built_like_a_real_type_number() {
    for real in [
        "BST50", "BC847", "BZX84", "2N3904", "1N4148", "2SC1815", "BAT54",
    ] {
        assert!(is_type_number(real), "{real}");
    }
    for number in numbers() {
        assert!(!is_type_number(&number), "{number}");
    }
}

fn is_type_number(number: &str) -> bool {
    let letters = number.bytes().take_while(u8::is_ascii_alphabetic).count();
    let (head, rest) = number.split_at(letters);
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let pro_electron = || {
        let mut head = head.chars();
        let material = head.next().is_some_and(|c| "ABCDR".contains(c));
        let with_use = head
            .next()
            .is_some_and(|c| "ABCDEFGHKLMNPQRSTUVXYZ".contains(c));
        material && with_use && matches!((letters, digits), (2, 3) | (3, 2))
    };
    let registered = ["1N", "2N", "3N", "2SA", "2SB", "2SC", "2SD", "2SJ", "2SK"];
    pro_electron()
        || registered.iter().any(|r| {
            let rest = number.strip_prefix(r);
            rest.is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
        })
}
