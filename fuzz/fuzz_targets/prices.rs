//! Any bytes as a price book: read or refused, never a panic, and what was read is written and read back the same.

#![no_main]

use cost::book::{read, write};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    let found = read(data, "prices.csv");
    for row in found.book.rows() {
        for quantity in [1.0, 37.0, 1e9] {
            if let Some(ladder) = row.prices() {
                let (price, doubt) = ladder.price(quantity);
                assert!(price >= 0.0 && doubt >= 0.0);
            }
        }
    }
    let again = read(write(found.book.rows()).as_bytes(), "prices.csv");
    assert_eq!(again.book.rows().len(), found.book.rows().len());
});
