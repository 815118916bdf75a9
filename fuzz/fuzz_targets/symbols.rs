//! Symbol libraries, catalogues and foreign tables: any bytes get an answer or a refusal, and what
//! was read can be written and read again.

#![no_main]

use catalogue::symbols::Import;
use catalogue::{Catalogue, Mapping, Table, import, read, write};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut parts = Catalogue::default();
    let mut symbols = Import::default();
    symbols.add(bytes, "library");
    parts.merge(symbols.finish().rows);
    parts.merge(read(bytes, "catalogue").rows);
    if let Ok(table) = Table::from_bytes(bytes, "table") {
        let mapping = Mapping::guess(table.heading());
        parts.merge(import(&table, &mapping).rows);
    }
    let text = write(&parts);
    let again = read(text.as_bytes(), "catalogue");
    assert!(again.remarks.is_empty());
    assert_eq!(again.rows.len(), parts.parts().len());
    let mut same = Catalogue::default();
    same.merge(again.rows);
    assert_eq!(write(&same), text);
});
