//! Any text as a dossier: it reads or its faults are told with their places, and what reads can be examined and edited.

use methods::{Known, examine};
use record::{AnyFile, Draft, read_text};
use std::ops::ControlFlow;

/// Reads the bytes.
pub fn tried(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    match read_text(&text, "dossier.toml", &AnyFile) {
        Err(problems) => assert!(!problems.0.is_empty(), "refused without a reason"),
        Ok(dossier) => {
            let draft = Draft::parse(text.trim_start_matches('\u{feff}'), "dossier.toml");
            assert!(draft.is_ok(), "it reads and cannot be edited");
            let found = examine(&dossier, &Known::default(), &|_| ControlFlow::Continue(()));
            let found = found.expect("nobody stops it");
            // The same again is found again.
            let again = examine(&dossier, &Known::default(), &|_| ControlFlow::Continue(()));
            assert!(again.expect("nobody stops it") == found);
        }
    }
}
