//! Any bytes get an answer or a clear refusal.

use catalogue::symbols::{DEEPEST, Import, library};
use catalogue::{
    Catalogue, Loss, Mapping, Outline, Part, Registry, Table, TopCode, import, preview, read,
};
use proptest::prelude::*;
use std::collections::BTreeMap;

const CATALOGUE: &str = "name,maker,aliases,pins,body_mm,ratings\n\
    NHF2104,Nordhafen,\"NHF2104-R | \"\"F\"\"\",16,3 x 3,working-voltage=5.5 V | current=1 A\n\
    QX17,Tarnwerk,-,8,\"4,9 x 3,9\",\n";

const SYMBOLS: &str = r#"(kicad_symbol_lib (version 20211014) (generator editor)
  (symbol "NHF2104" (pin_names (offset 1.016)) (in_bom yes) (on_board yes)
    (property "Reference" "U" (id 0) (at 0 0 0))
    (property "Footprint" "Package_DFN_QFN:QFN-16-1EP_3x3mm_P0.5mm" (id 2))
    (property "ki_description" "a \"charger\"" (id 5))
    (symbol "NHF2104_1_1"
      (pin power_in line (at 0 0 0) (name "~{VBUS}" (effects)) (number "1" (effects)))))
  (symbol "NHF2105" (extends "NHF2104") (property "Value" "NHF2105")))
"#;

/// Runs every reader over some bytes and checks what must hold for any answer.
fn read_all(bytes: &[u8]) {
    let own = read(bytes, "own.csv");
    let mut catalogue = Catalogue::default();
    catalogue.merge(own.rows);
    let text = catalogue::write(&catalogue);
    let again = read(text.as_bytes(), "own.csv");
    // Of columns of the user's own it is said that they are not read; they are carried along all the same.
    let lost = again.remarks.iter().filter(|r| r.loss != Loss::Nothing);
    assert_eq!(lost.count(), 0, "{:?}", again.remarks);
    assert_eq!(again.rows.len(), catalogue.parts().len());
    let mut carried = Catalogue::default();
    carried.merge(again.rows);
    assert_eq!(catalogue::write(&carried), text);
    if let Ok(table) = Table::from_bytes(bytes, "table") {
        let mapping = Mapping::guess(table.heading());
        let rows = import(&table, &mapping);
        if mapping.heading_of("name").is_some() {
            let seen = preview(&table, &mapping, usize::MAX);
            assert_eq!(
                seen.iter().filter(|row| row.part.is_ok()).count(),
                rows.rows.len()
            );
        }
    }
    let symbols = library(bytes, "library");
    let mut parts = Import::default();
    parts.add_library(&symbols, "library");
    catalogue.merge(parts.finish().rows);
    let mut registry = Registry::default();
    registry.add_addresses(bytes, "addresses");
    registry.add_usb(bytes, "usb.ids");
    Outline::read(&String::from_utf8_lossy(bytes));
}

/// Changes a valid text at some places: a byte replaced, taken out, or a piece repeated.
fn mutated(text: &'static str) -> impl Strategy<Value = Vec<u8>> {
    let change = (
        any::<prop::sample::Index>(),
        any::<u8>(),
        0..4_u8,
        1..40_usize,
    );
    prop::collection::vec(change, 1..8).prop_map(move |changes| {
        let mut bytes = text.as_bytes().to_vec();
        for (place, byte, kind, length) in changes {
            if bytes.is_empty() {
                break;
            }
            let at = place.index(bytes.len());
            let end = (at + length).min(bytes.len());
            match kind {
                0 => bytes[at] = byte,
                1 => drop(bytes.drain(at..end)),
                2 => bytes.insert(at, b"\"(),;\n\\|"[usize::from(byte) % 8]),
                _ => {
                    let piece = bytes[at..end].to_vec();
                    bytes.splice(at..at, piece);
                }
            }
        }
        bytes
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        read_all(&bytes);
    }

    #[test]
    fn any_text(text in "\\PC{0,60}") {
        read_all(text.as_bytes());
    }

    #[test]
    fn mutated_catalogues(bytes in mutated(CATALOGUE)) {
        read_all(&bytes);
    }

    #[test]
    fn mutated_symbols(bytes in mutated(SYMBOLS)) {
        read_all(&bytes);
    }

    /// Whatever a program puts into a part, its tidied form survives the file.
    #[test]
    fn parts_survive_the_file(
        texts in prop::collection::vec("[ -~\\\\|=\"é\n-]{0,12}", 8),
        lists in prop::collection::vec(prop::collection::vec("[-\\\\|=, a]{0,4}", 0..3), 6),
        ratings in prop::collection::btree_map("[\\\\|=a]{0,3}", "[-\\\\|=a]{0,3}", 0..3),
        pins in prop::option::of(1..999_u32),
        body in prop::option::of((1..99_999_u32, 1..99_999_u32)),
        pitch in prop::option::of(any::<f64>()),
    ) {
        let part = Part {
            name: format!("N{}", texts[0]),
            maker: texts[1].clone(),
            aliases: lists[0].clone(),
            codes: lists[1]
                .iter()
                .zip(&lists[2])
                .map(|(code, package)| TopCode::on(code, package))
                .chain(lists[5].iter().map(|code| code.as_str().into()))
                .collect(),
            packages: lists[2].clone(),
            pins,
            body_mm: body.map(|(a, b)| [f64::from(a) / 1000.0, f64::from(b) / 1000.0]),
            pitch_mm: pitch,
            role: texts[2].clone(),
            power_pins: lists[3].clone(),
            ratings,
            ratings_origin: texts[3].clone(),
            description: texts[4].clone(),
            keywords: lists[4].clone(),
            data_sheet: texts[5].clone(),
            seen_with: lists[5].clone(),
            known_from: texts[6].clone(),
        }
        .tidied();
        let catalogue = Catalogue::from_iter([part.clone()]);
        let again = read(catalogue::write(&catalogue).as_bytes(), "own.csv");
        prop_assert_eq!(&again.remarks, &[]);
        prop_assert_eq!(&again.rows[0].part, &part);
        prop_assert!(again.rows[0].cleared.is_empty());
    }
}

#[test]
fn deep_nesting_is_refused_with_its_place() {
    let text = format!("(kicad_symbol_lib\n{}", "(".repeat(100_000));
    let read = library(text.as_bytes(), "deep");
    assert_eq!(read.symbols, []);
    assert_eq!(read.remarks.len(), 1);
    assert_eq!(read.remarks[0].loss, Loss::File);
    assert_eq!(read.remarks[0].line, 2);
    assert_eq!(read.remarks[0].column, (DEEPEST + 1).to_string());
}

#[test]
fn a_long_chain_and_a_cycle_cost_little() {
    let links = 50_000;
    let mut text = String::from("(kicad_symbol_lib");
    for link in 0..links {
        text.push_str(&format!("(symbol \"{link}\" (extends \"{}\"))", link + 1));
    }
    let chain = format!("{text}(symbol \"{links}\" (property \"Reference\" \"U\")))");
    let read = library(chain.as_bytes(), "chain");
    assert_eq!(read.symbols.len(), links + 1);
    assert!(read.symbols.iter().all(|symbol| symbol.reference == "U"));
    let cycle = format!("{text}(symbol \"{links}\" (extends \"7\"))(symbol \"alone\"))");
    let read = library(cycle.as_bytes(), "cycle");
    assert_eq!(read.symbols.len(), 1);
    assert_eq!(read.remarks.len(), links + 1);
    assert!(read.remarks[0].why.ends_with("which leads back to itself"));
}

#[test]
fn a_broken_library_keeps_what_came_before() {
    let cut = SYMBOLS.find("(property \"Value\"").expect("it is there");
    let read = library(&SYMBOLS.as_bytes()[..cut], "cut");
    assert_eq!(read.symbols.len(), 1);
    assert_eq!(read.remarks[0].why, "the file ends inside a list");
    assert_eq!(read.remarks[0].line, 8);
}

#[test]
fn an_empty_part_is_not_merged() {
    let merged = Catalogue::default().merge([catalogue::Row {
        file: "x".into(),
        line: 1,
        part: Part {
            ratings: BTreeMap::new(),
            ..Part::default()
        },
        cleared: vec![],
        own: vec![],
    }]);
    assert_eq!(merged.remarks[0].why, "the name is empty");
}
