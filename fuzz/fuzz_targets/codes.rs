//! Any bytes as a code and as a line with dates: an answer or none, never a panic.

#![no_main]

use codes::{Context, MarkedObject};
use libfuzzer_sys::fuzz_target;

/// Things a string may stand on; the first byte chooses.
const THINGS: [Option<MarkedObject>; 9] = [
    None,
    Some(MarkedObject::Resistor),
    Some(MarkedObject::Capacitor),
    Some(MarkedObject::Inductor),
    Some(MarkedObject::Cell),
    Some(MarkedObject::Chip),
    Some(MarkedObject::Label),
    Some(MarkedObject::UsbDevice),
    Some(MarkedObject::Outline),
];

fuzz_target!(|data: &[u8]| {
    let Some((choice, rest)) = data.split_first() else {
        return;
    };
    let text = String::from_utf8_lossy(rest);
    let opened = (choice & 0x80 != 0).then(|| jiff::civil::date(2026, 10, 5));
    let context = Context {
        on: THINGS[usize::from(choice & 0x7f) % THINGS.len()],
        opened,
        registers: None,
    };
    let readings = codes::read(&text, &context);
    let total: f64 = readings.iter().map(|r| r.likelihood).sum();
    assert!(readings.is_empty() || (total - 1.0).abs() < 1e-9);
    for candidate in codes::date::date_candidates(&text, opened) {
        assert_eq!(&text[candidate.range], candidate.text);
    }
});
