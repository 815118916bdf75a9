//! Any bytes as an archive of a dossier: it is taken or refused, never a panic, and what was taken is sound.

#![no_main]

use app::Unwatched;
use app::keeping::{ImportOptions, Source, import};
use jiff::Timestamp;
use library::{Library, Person};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    let Ok(source) = Source::of_bytes("sent.zip", data.to_vec()) else {
        return;
    };
    let runtime = tokio::runtime::Builder::new_current_thread().build().expect("threads");
    runtime.block_on(async {
        let library = Library::in_memory();
        let (options, by) = (ImportOptions::default(), Person::from("A"));
        let at = Timestamp::UNIX_EPOCH;
        if import(&library, source, options, &by, at, &Unwatched).await.is_ok() {
            let verified = library.verify().await.expect("in memory");
            assert!(verified.damage.is_empty());
        }
    });
});
