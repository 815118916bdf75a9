//! Workbooks whose texts are damaged inside an intact archive: an answer or a refusal.

use catalogue::{Mapping, Table, import};
use proptest::prelude::*;

const TYPES: &str = r#"<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>"#;
const RELATIONS: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;
const BOOK_RELATIONS: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="r2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/><Relationship Id="r3" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/></Relationships>"#;
const BOOK: &str = r#"<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="Parts" sheetId="1" r:id="r1"/></sheets></workbook>"#;
const STRINGS: &str = r#"<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" count="3" uniqueCount="3"><si><t>Part No</t></si><si><t>Pins</t></si><si><r><t>A</t></r><r><t>1</t></r></si></sst>"#;
const STYLES: &str = r#"<?xml version="1.0"?><styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><numFmts count="1"><numFmt numFmtId="164" formatCode="d mmm"/></numFmts><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="164"/></cellXfs></styleSheet>"#;
const SHEET: &str = r#"<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><dimension ref="A1:B3"/><sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row><row r="2"><c r="A2" t="s"><v>2</v></c><c r="B2"><v>16</v></c></row><row r="3"><c r="A3" s="1"><v>45000</v></c><c r="B3" t="inlineStr"><is><t>8</t></is></c><c r="C3" t="e"><v>#N/A</v></c></row></sheetData></worksheet>"#;

const ENTRIES: [(&str, &str); 7] = [
    ("[Content_Types].xml", TYPES),
    ("_rels/.rels", RELATIONS),
    ("xl/workbook.xml", BOOK),
    ("xl/_rels/workbook.xml.rels", BOOK_RELATIONS),
    ("xl/sharedStrings.xml", STRINGS),
    ("xl/styles.xml", STYLES),
    ("xl/worksheets/sheet1.xml", SHEET),
];

/// Packs texts into a ZIP archive without compression, so that damage reaches the reader of them.
fn archive(entries: &[(&str, Vec<u8>)]) -> Vec<u8> {
    let (mut file, mut directory) = (Vec::new(), Vec::new());
    for (name, text) in entries {
        let at = u32::try_from(file.len()).expect("small");
        let size = u32::try_from(text.len()).expect("small").to_le_bytes();
        let mut common = Vec::new();
        common.extend([20, 0, 0, 0, 0, 0, 0, 0, 0x21, 0]);
        common.extend(checksum(text).to_le_bytes());
        common.extend(size);
        common.extend(size);
        common.extend(u16::try_from(name.len()).expect("short").to_le_bytes());
        common.extend([0, 0]);
        file.extend(b"PK\x03\x04");
        file.extend(&common);
        file.extend(name.as_bytes());
        file.extend(text);
        directory.extend(b"PK\x01\x02\x14\x00");
        directory.extend(&common);
        directory.extend([0; 10]);
        directory.extend(at.to_le_bytes());
        directory.extend(name.as_bytes());
    }
    let start = u32::try_from(file.len()).expect("small").to_le_bytes();
    let size = u32::try_from(directory.len()).expect("small").to_le_bytes();
    let count = u16::try_from(entries.len()).expect("seven").to_le_bytes();
    file.extend(directory);
    file.extend(b"PK\x05\x06\0\0\0\0");
    file.extend(count);
    file.extend(count);
    file.extend(size);
    file.extend(start);
    file.extend([0, 0]);
    file
}

/// CRC-32 as ZIP uses it.
fn checksum(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            (sum >> 1) ^ (0xEDB8_8320 & (sum & 1).wrapping_neg())
        })
    })
}

fn whole() -> Vec<(&'static str, Vec<u8>)> {
    ENTRIES
        .iter()
        .map(|(name, text)| (*name, text.as_bytes().to_vec()))
        .collect()
}

#[test]
fn the_undamaged_workbook_is_read() {
    let table = Table::from_bytes(&archive(&whole()), "book").expect("a workbook");
    let read = import(&table, &Mapping::guess(table.heading()));
    assert_eq!(read.rows[0].part.name, "A1");
    assert_eq!(read.rows[0].part.pins, Some(16));
    assert_eq!(read.remarks.len(), 1);
    assert_eq!(read.remarks[0].line, 3);
}

/// The library that reads workbooks subtracts the start of this range from its end.
#[test]
fn a_dimension_that_runs_backwards_is_no_panic() {
    let mut entries = whole();
    entries[6].1 = SHEET.replace("A1:B3", "C9:B3").into_bytes();
    // Refused where arithmetic is checked, read where it is not.
    if let Err(remark) = Table::from_bytes(&archive(&entries), "book") {
        assert!(
            remark.why.starts_with("the workbook is damaged"),
            "{remark}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn damaged_texts(
        changes in prop::collection::vec(
            (0..7_usize, any::<prop::sample::Index>(), any::<u8>(), 0..4_u8, 1..30_usize),
            1..5,
        ),
    ) {
        let mut entries = whole();
        for (entry, place, byte, kind, length) in changes {
            let text = &mut entries[entry].1;
            if text.is_empty() {
                continue;
            }
            let at = place.index(text.len());
            let end = (at + length).min(text.len());
            match kind {
                0 => text[at] = byte,
                1 => drop(text.drain(at..end)),
                2 => text[at] = b"0123456789\"<>/&A"[usize::from(byte) % 16],
                _ => {
                    let piece = text[at..end].to_vec();
                    text.splice(at..at, piece);
                }
            }
        }
        if let Ok(table) = Table::from_bytes(&archive(&entries), "book") {
            import(&table, &Mapping::guess(table.heading()));
        }
    }

    #[test]
    fn damaged_archives(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
    ) {
        let mut bytes = archive(&whole());
        for (place, byte) in changes {
            let at = place.index(bytes.len());
            bytes[at] = byte;
        }
        if let Ok(table) = Table::from_bytes(&bytes, "book") {
            import(&table, &Mapping::guess(table.heading()));
        }
    }
}
