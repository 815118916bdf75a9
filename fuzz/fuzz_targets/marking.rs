//! Any text is read as a marking and written again as the same one, or refused; what is read is
//! answered with shares that sum to one.

#![no_main]

use catalogue::Part;
use libfuzzer_sys::fuzz_target;
use marking::{Clues, Costs, Index, Scratch};
use record::marking::Seen;
use std::cell::RefCell;
use std::sync::OnceLock;

fn index() -> &'static Index {
    static INDEX: OnceLock<Index> = OnceLock::new();
    INDEX.get_or_init(|| {
        let part = |name: String, code: &str| Part {
            name,
            codes: vec![code.to_string()],
            ..Part::default()
        };
        let names = (0..400).map(|i| part(format!("ZU{}C{}x{i}", i % 7, 30 * i), "P8K"));
        let others = (0..400).map(|i| part(format!("TH-{}K{i}QR", 31 * i % 97), "13"));
        Index::of_parts(&names.chain(others).collect::<Vec<_>>(), Costs::default())
    })
}

thread_local! {
    static SCRATCH: RefCell<Scratch> = RefCell::default();
}

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let Ok(seen) = Seen::parse(&text) else { return };
    assert_eq!(Seen::parse(&seen.to_string()).as_ref(), Ok(&seen));
    let answer = SCRATCH.with_borrow_mut(|s| index().read(&seen, &Clues::default(), s));
    let listed: f64 = answer.candidates.iter().map(|c| c.probability).sum();
    assert!((listed + answer.none + answer.unlisted - 1.0).abs() < 1e-9);
});
