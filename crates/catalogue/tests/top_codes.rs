//! Tables of top-marking codes: every code keeps its package, in whatever order and however often it comes.
//!
//! Form of the tables (one row for each code and package, parts repeated): common practice of the printed and
//! electronic lists of such codes. The parts are invented.

use catalogue::{Catalogue, Loss, Mapping, Merged, Part, Table, TopCode, import, read, write};
use proptest::prelude::*;

/// What a table adds to a catalogue.
fn take(parts: &mut Catalogue, table: &str) -> Merged {
    let table = Table::from_bytes(table.as_bytes(), "codes.csv").expect("a table");
    let read = import(&table, &Mapping::guess(table.heading()));
    assert_eq!(read.remarks, []);
    parts.add(read.rows)
}

fn cell(parts: &Catalogue, name: &str, column: &str) -> String {
    let part = parts.named(name).next().expect("a part");
    let at = catalogue::COLUMNS.iter().position(|c| c.name == column);
    part.cells().swap_remove(at.expect("a column"))
}

const CODES: &str = "Code,Type,Case,Pins,Function\n\
    4A7,NHF2104,SOT-23-5,5,charger\n\
    QX,OXT7,SC-70,3,switch\n\
    C7,NHF2104,SC-70-5,5,\n\
    4A7,OXT7,SOT-23,3,switch\n\
    N04,NHF2104,DFN-8,8,\n";

#[test]
fn a_part_keeps_every_code_with_its_package() {
    let mut parts = Catalogue::default();
    let merged = take(&mut parts, CODES);
    assert_eq!((merged.added, merged.corrected), (2, 0));
    assert_eq!(
        cell(&parts, "NHF2104", "codes"),
        "4A7 @ SOT-23-5 | C7 @ SC-70-5 | N04 @ DFN-8"
    );
    assert_eq!(cell(&parts, "OXT7", "codes"), "QX @ SC-70 | 4A7 @ SOT-23");
    assert_eq!(
        cell(&parts, "NHF2104", "packages"),
        "SOT-23-5 | SC-70-5 | DFN-8"
    );
    assert_eq!(cell(&parts, "NHF2104", "role"), "charger");
    // Five pins would be wrong for the package with eight; three are right for both of the other part.
    assert_eq!(cell(&parts, "NHF2104", "pins"), "");
    assert_eq!(cell(&parts, "OXT7", "pins"), "3");
    let told: Vec<String> = merged.remarks.iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        [
            "codes.csv:6, column pins: \"NHF2104\" comes in several packages, and pins differs between them; \
             it is not kept; the packages tell the parts apart"
        ]
    );
}

#[test]
fn the_same_table_again_and_its_written_form_say_nothing_new() {
    let mut parts = Catalogue::default();
    take(&mut parts, CODES);
    let written = write(&parts);
    let again = take(&mut parts, CODES);
    assert_eq!((again.corrected, again.unchanged), (0, 2), "{again:?}");
    let back = read(written.as_bytes(), "own.csv");
    assert_eq!(back.remarks, []);
    let merged = parts.merge(back.rows);
    assert_eq!((merged.corrected, merged.unchanged), (0, 2), "{merged:?}");
    assert_eq!(write(&parts), written);
}

#[test]
fn a_second_table_adds_and_a_later_catalogue_corrects() {
    let mut parts = Catalogue::default();
    take(&mut parts, "Marking;Part;Package\n4A7;NHF2104;SOT-23-5\n");
    let merged = take(&mut parts, "Marking;Part;Package\nD9;NHF2104;SC-70-5\n");
    assert_eq!(merged.corrections.len(), 2, "{merged:?}");
    assert_eq!(
        cell(&parts, "NHF2104", "codes"),
        "4A7 @ SOT-23-5 | D9 @ SC-70-5"
    );
    let own = read(b"name,codes\nNHF2104,4B7 @ SOT-23-5\n", "own.csv");
    parts.merge(own.rows);
    assert_eq!(cell(&parts, "NHF2104", "codes"), "4B7 @ SOT-23-5");
}

#[test]
fn rows_of_one_catalogue_file_are_put_together() {
    let text = b"name,maker,codes,packages\n\
        NHF2104,,4A7,SOT-23-5\n\
        NHF2104,Nordhafen,C7,SC-70-5\n\
        QX17,Tarnwerk,A,\n\
        QX17,Nordhafen,B,\n";
    let mut parts = Catalogue::default();
    let merged = parts.merge(read(text, "own.csv").rows);
    assert_eq!(merged.added, 3);
    assert_eq!(
        cell(&parts, "NHF2104", "codes"),
        "4A7 @ SOT-23-5 | C7 @ SC-70-5"
    );
    assert_eq!(cell(&parts, "NHF2104", "maker"), "Nordhafen");
    // Two makers use one name: two parts.
    assert_eq!(parts.named("QX17").count(), 2);
}

#[test]
fn rows_of_one_file_that_do_not_agree_are_told() {
    let text = b"name,role,pins,known_from\nA1,charger,5,x\nA1,sensor,5,y\nA1,,6,z\n";
    let mut parts = Catalogue::default();
    let merged = parts.merge(read(text, "own.csv").rows);
    let told: Vec<String> = merged.remarks.iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        [
            "own.csv:3, column role: \"A1\" has \"charger\" in an earlier row; this row holds; correct the one \
             that is wrong",
            "own.csv:4, column pins: \"A1\" has \"5\" in an earlier row; this row holds; correct the one that is \
             wrong",
        ]
    );
    assert_eq!(cell(&parts, "A1", "role"), "sensor");
    assert_eq!(cell(&parts, "A1", "known_from"), "x; y; z");
}

#[test]
fn a_code_whose_package_becomes_known_is_the_same_code() {
    let mut parts = Catalogue::default();
    parts.add(read(b"name,codes\nNHF2104,4A7 | 4A8\n", "a").rows);
    parts.add(read(b"name,codes\nNHF2104,4A7 @ SOT-23-5 | 4A7 @ SC-70-5\n", "b").rows);
    parts.add(read(b"name,codes\nNHF2104,4A7\n", "c").rows);
    assert_eq!(
        cell(&parts, "NHF2104", "codes"),
        "4A7 @ SOT-23-5 | 4A8 | 4A7 @ SC-70-5"
    );
}

#[test]
fn codes_with_signs_of_the_notation_survive() {
    for (text, package) in [
        ("A@1", ""),
        ("A @ B", ""),
        ("A @ B", "SOT-23"),
        ("@", "@"),
        ("-", ""),
        ("-", "SC-70"),
        ("\\@", "a|b"),
        ("A\\", "X @ Y"),
    ] {
        let part = Part {
            name: "N".into(),
            codes: vec![TopCode::on(text, package)],
            ..Part::default()
        };
        let written = write(&Catalogue::from_iter([part.clone()]));
        let back = read(written.as_bytes(), "own.csv");
        assert_eq!(back.rows[0].part, part, "{written}");
    }
    let read = read(b"name,codes\nN,A@1\n", "own.csv");
    assert_eq!(read.rows[0].part.codes, [TopCode::from("A@1")]);
}

#[test]
fn a_table_from_a_western_office_program_is_read_and_the_guess_is_told() {
    // 0xB5 is the micro sign, 0xE9 e with acute, 0x80 the euro sign: Unicode, MAPPINGS/VENDORS/MICSFT/WINDOWS/CP1252.TXT.
    let bytes = b"Part No;Beschreibung;Hersteller\nNHF2104;10 \xb5A, 2 \x80;Andr\xe9\n";
    let table = Table::from_bytes(bytes, "bom.csv").expect("a table");
    let read = import(&table, &Mapping::guess(table.heading()));
    assert_eq!(read.rows[0].part.description, "10 µA, 2 €");
    assert_eq!(read.rows[0].part.maker, "André");
    assert_eq!(read.remarks.len(), 1);
    assert_eq!(read.remarks[0].loss, Loss::Nothing);
    assert!(read.remarks[0].why.contains("Windows-1252"));
    // What is UTF-8 in one place and not in another is no other encoding but damage.
    let mixed = "Part No;Hersteller\nA;André\nB;Andr\u{e9}\n".replace("B;André", "B;Andr#");
    let mixed: Vec<u8> = mixed
        .bytes()
        .map(|b| if b == b'#' { 0xe9 } else { b })
        .collect();
    let table = Table::from_bytes(&mixed, "bom.csv").expect("a table");
    let read = import(&table, &Mapping::guess(table.heading()));
    assert_eq!((read.rows.len(), read.refused()), (1, 1));
    // Office programs write UTF-16 without a mark too.
    for unit in [u16::to_le_bytes, u16::to_be_bytes] {
        let wide: Vec<u8> = "Part No;Hersteller\nA;André\n"
            .encode_utf16()
            .flat_map(unit)
            .collect();
        let table = Table::from_bytes(&wide, "bom.csv").expect("a table");
        let read = import(&table, &Mapping::guess(table.heading()));
        assert_eq!(read.rows[0].part.maker, "André");
    }
}

proptest! {
    /// The order of the rows of a table decides nothing but the order of the codes.
    #[test]
    fn no_order_of_rows_loses_a_code(order in Just((0..5_usize).collect::<Vec<_>>()).prop_shuffle()) {
        let lines: Vec<&str> = CODES.lines().collect();
        let rows: Vec<&str> = order.iter().map(|n| lines[n + 1]).collect();
        let table = format!("{}\n{}\n", lines[0], rows.join("\n"));
        let mut parts = Catalogue::default();
        take(&mut parts, &table);
        let sorted = |name: &str| {
            let part = parts.named(name).next().expect("a part");
            let mut codes: Vec<String> = part.codes.iter().map(ToString::to_string).collect();
            codes.sort();
            codes.join(" | ")
        };
        prop_assert_eq!(sorted("NHF2104"), "4A7 @ SOT-23-5 | C7 @ SC-70-5 | N04 @ DFN-8");
        prop_assert_eq!(sorted("OXT7"), "4A7 @ SOT-23 | QX @ SC-70");
    }
}
