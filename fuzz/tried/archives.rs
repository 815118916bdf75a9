//! Any bytes as an archive of a dossier: it is taken or refused, never a panic, and what was taken is sound.

use app::Unwatched;
use app::keeping::{ImportOptions, Source, import};
use jiff::Timestamp;
use library::{Library, Person};

/// Takes the bytes in.
pub fn tried(data: &[u8]) {
    let Ok(source) = Source::of_bytes("sent.zip", data.to_vec()) else {
        return;
    };
    let runtime = tokio::runtime::Builder::new_current_thread().build();
    runtime.expect("threads").block_on(async {
        let library = Library::in_memory();
        let (options, by) = (ImportOptions::default(), Person::from("A"));
        let at = Timestamp::UNIX_EPOCH;
        let taken = import(&library, source, options, &by, at, &Unwatched).await;
        if let Ok(taken) = taken {
            let verified = library.verify().await.expect("in memory");
            assert!(verified.damage.is_empty());
            let published = library.publications(&taken.id).await.expect("in memory");
            assert_eq!(published.len(), taken.publications);
        }
    });
}
