//! Ctrl-C: work under way stops where nothing is half done, a question is left at once.
//!
//! In: the signal. Out: whether to go on, for all who ask; a second signal ends the program where it stands, which
//! the store outlives: what it writes is there whole or not at all.
//! Not here: undoing anything.

use crate::failure::STOPPED;
use crate::screen;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

/// Whether work is to stop.
static WANTED: AtomicBool = AtomicBool::new(false);
/// Whether a question waits for its answer, so that nothing is under way.
static ASKING: AtomicBool = AtomicBool::new(false);

/// Whether the program is ending, so that it is said once.
static LEAVING: AtomicBool = AtomicBool::new(false);

/// Listens from now on. Where the system does not allow it, Ctrl-C ends the program as it ends any other.
pub(crate) fn listen() {
    let _ = ctrlc::set_handler(|| {
        let again = WANTED.swap(true, Ordering::SeqCst);
        if ASKING.load(Ordering::SeqCst) {
            leave("\nstopped; nothing was written");
        }
        if again {
            leave("stopped; nothing is half written");
        }
        screen::progress("  … stopping; Ctrl-C again stops at once");
    });
}

/// Returns whether work is to stop.
pub(crate) fn is_wanted() -> bool {
    WANTED.load(Ordering::SeqCst)
}

/// Waits until work is to stop. A signal that came before anyone waited counts too, which one that is only listened for
/// from here on would not.
pub(crate) async fn wanted() {
    /// How soon a server notices; nobody waits for less.
    const SOON: Duration = Duration::from_millis(100);
    while !is_wanted() {
        tokio::time::sleep(SOON).await;
    }
}

/// Says that a question is asked while `ask` runs.
pub(crate) fn while_asking<T>(ask: impl FnOnce() -> T) -> T {
    ASKING.store(true, Ordering::SeqCst);
    // The signal may have come between the question and here.
    if is_wanted() {
        leave("\nstopped; nothing was written");
    }
    let answer = ask();
    ASKING.store(false, Ordering::SeqCst);
    answer
}

fn leave(words: &str) {
    if !LEAVING.swap(true, Ordering::SeqCst) {
        screen::tell(words);
        std::process::exit(STOPPED.into());
    }
}
