//! The open symbol set as installed, against counts published with it and taken independently.
//!
//! Source of the counts: Debian package kicad-symbols 6.0.10-1, counted with another program.
//! Nothing of the set is kept here; it is read where it is installed (CC-BY-SA 4.0).

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "a test reads its cases from the disk"
)]

mod common;

use catalogue::symbols::{Import, Symbol, library};
use catalogue::{Catalogue, Outline};
use std::collections::BTreeSet;
use std::sync::OnceLock;

const FOLDER: &str = "/usr/share/kicad/symbols";

struct Set {
    files: usize,
    symbols: Vec<(String, Symbol)>,
    remarks: Vec<String>,
    versions: BTreeSet<u32>,
    catalogue: Catalogue,
    no_part: usize,
}

/// Lists the installed libraries by name, sorted.
fn libraries(test: &str) -> Option<Vec<String>> {
    let mut names: Vec<String> = std::fs::read_dir(FOLDER)
        .into_iter()
        .flatten()
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|file| Some(file.strip_suffix(".kicad_sym")?.to_string()))
        .collect();
    names.sort();
    if names.is_empty() {
        common::skip(FOLDER, "kicad-symbols", test, "there is no library");
        return None;
    }
    Some(names)
}

fn bytes_of(name: &str, test: &str) -> Option<Vec<u8>> {
    common::installed(&format!("{FOLDER}/{name}.kicad_sym"), "kicad-symbols", test)
}

/// Reads the set once for all tests.
fn set(test: &str) -> Option<&'static Set> {
    static SET: OnceLock<Option<Set>> = OnceLock::new();
    // Without the set every test says so itself.
    libraries(test)?;
    SET.get_or_init(|| {
        let names = libraries(test)?;
        let mut set = Set {
            files: names.len(),
            symbols: Vec::new(),
            remarks: Vec::new(),
            versions: BTreeSet::new(),
            catalogue: Catalogue::default(),
            no_part: 0,
        };
        let mut import = Import::default();
        for name in names {
            let read = library(&bytes_of(&name, test)?, &name);
            set.no_part += import.add_library(&read, &name).no_part;
            set.versions.insert(read.version);
            set.remarks
                .extend(read.remarks.iter().map(ToString::to_string));
            set.symbols
                .extend(read.symbols.into_iter().map(|s| (name.clone(), s)));
        }
        set.catalogue.merge(import.finish().rows);
        Some(set)
    })
    .as_ref()
}

fn count(set: &Set, holds: impl Fn(&Symbol) -> bool) -> usize {
    set.symbols
        .iter()
        .filter(|(_, symbol)| holds(symbol))
        .count()
}

/// The count is of addresses; a hundred symbols name a file on somebody's disk or leave out `http`.
fn has_data_sheet(symbol: &Symbol) -> bool {
    symbol.data_sheet.starts_with("http")
}

#[test]
fn counts_of_the_set() {
    let Some(set) = set("counts_of_the_set") else {
        return;
    };
    assert_eq!(set.remarks, Vec::<String>::new());
    assert_eq!(set.versions, BTreeSet::from([20_211_014]));
    let names: BTreeSet<&str> = set.symbols.iter().map(|(_, s)| s.name.as_str()).collect();
    let counted = [
        ("files", set.files),
        ("symbols", set.symbols.len()),
        ("distinct names", names.len()),
        ("extends", count(set, |s| s.extends.is_some())),
        ("described", count(set, |s| !s.description.is_empty())),
        ("keywords", count(set, |s| !s.keywords.is_empty())),
        ("data sheet", count(set, has_data_sheet)),
        ("footprint filter", count(set, |s| !s.filters.is_empty())),
        ("fixed footprint", count(set, |s| !s.footprint.is_empty())),
        (
            "description, data sheet and footprint",
            count(set, |s| {
                !s.description.is_empty() && has_data_sheet(s) && !s.footprint.is_empty()
            }),
        ),
        (
            "power_in",
            count(set, |s| s.pins.iter().any(|p| p.power_in)),
        ),
        ("reference U", count(set, |s| s.reference == "U")),
        (
            "reference U, described",
            count(set, |s| s.reference == "U" && !s.description.is_empty()),
        ),
    ];
    assert_eq!(
        counted,
        [
            ("files", 209),
            ("symbols", 17_569),
            ("distinct names", 17_464),
            ("extends", 9_168),
            ("described", 17_231),
            ("keywords", 17_216),
            ("data sheet", 14_938),
            ("footprint filter", 16_487),
            ("fixed footprint", 13_188),
            ("description, data sheet and footprint", 13_121),
            ("power_in", 12_830),
            ("reference U", 12_347),
            ("reference U, described", 12_021),
        ]
    );
}

#[test]
fn counts_of_single_libraries() {
    let Some(set) = set("counts_of_single_libraries") else {
        return;
    };
    for (name, symbols) in [
        ("Regulator_Linear", 1471),
        ("Regulator_Switching", 1082),
        ("Power_Management", 218),
        ("Battery_Management", 122),
        ("Interface_USB", 97),
        ("Power_Protection", 89),
        ("Audio", 84),
        ("Memory_Flash", 41),
        ("Sensor_Motion", 28),
        ("RF_Bluetooth", 13),
    ] {
        let found = set
            .symbols
            .iter()
            .filter(|(library, _)| library == name)
            .count();
        assert_eq!(found, symbols, "{name}");
    }
}

#[test]
fn catalogue_holds_every_name_that_is_a_part() {
    let Some(set) = set("catalogue_holds_every_name_that_is_a_part") else {
        return;
    };
    let parts: BTreeSet<&str> = set
        .symbols
        .iter()
        .filter(|(_, s)| !s.power && !s.reference.starts_with('#'))
        .map(|(_, s)| s.name.as_str())
        .collect();
    println!(
        "{} parts, {} symbols are none; package {}, pins {}, body {}, pitch {}, power pins {}",
        set.catalogue.parts().len(),
        set.no_part,
        set.catalogue
            .parts()
            .iter()
            .filter(|p| !p.packages.is_empty())
            .count(),
        set.catalogue
            .parts()
            .iter()
            .filter(|p| p.pins.is_some())
            .count(),
        set.catalogue
            .parts()
            .iter()
            .filter(|p| p.body_mm.is_some())
            .count(),
        set.catalogue
            .parts()
            .iter()
            .filter(|p| p.pitch_mm.is_some())
            .count(),
        set.catalogue
            .parts()
            .iter()
            .filter(|p| !p.power_pins.is_empty())
            .count(),
    );
    assert_eq!(set.catalogue.parts().len(), parts.len());
}

#[test]
fn importing_again_changes_nothing() {
    let Some(set) = set("importing_again_changes_nothing") else {
        return;
    };
    let mut again = set.catalogue.clone();
    let mut import = Import::default();
    let test = "importing_again_changes_nothing";
    for name in libraries(test).expect("listed before") {
        import.add(&bytes_of(&name, test).expect("read before"), &name);
    }
    let merged = again.merge(import.finish().rows);
    assert_eq!((merged.added, merged.corrected), (0, 0));
    assert_eq!(merged.remarks, []);
    assert_eq!(again, set.catalogue);
}

#[test]
fn the_set_written_as_a_catalogue_reads_back() {
    let Some(set) = set("the_set_written_as_a_catalogue_reads_back") else {
        return;
    };
    let text = catalogue::write(&set.catalogue);
    let read = catalogue::read(text.as_bytes(), "set.csv");
    assert_eq!(read.remarks, []);
    let mut again = Catalogue::default();
    again.merge(read.rows);
    assert_eq!(again.parts().len(), set.catalogue.parts().len());
    assert_eq!(catalogue::write(&again), text);
}

/// The name of the footprint says how many leads there are without the exposed pad, and the
/// symbols draw the pad as one pin more.
#[test]
fn exposed_pads_are_not_counted() {
    let Some(set) = set("exposed_pads_are_not_counted") else {
        return;
    };
    let mut checked = 0;
    for (_, symbol) in &set.symbols {
        let Some(outline) = Outline::read(&symbol.footprint) else {
            continue;
        };
        if outline.exposed != 1 || symbol.reference != "U" {
            continue;
        }
        let numbers: BTreeSet<&str> = symbol.pins.iter().map(|p| p.number.as_str()).collect();
        let Some(leads) = outline.pins else { continue };
        if numbers.len() as u32 != leads + 1 {
            continue;
        }
        for part in set.catalogue.named(&symbol.name) {
            assert_eq!(part.pins, Some(leads), "{}", symbol.name);
            checked += 1;
        }
    }
    assert!(checked > 800, "only {checked} symbols checked");
}
