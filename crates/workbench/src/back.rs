//! What a person would take back or put back next.
//!
//! In: the latest revisions of a dossier, newest first. Out: the two revisions, with words for what they did.

use crate::told;
use library::{Person, Revision};
use record::{Dossier, Values};

/// What Ctrl+Z and Ctrl+Shift+Z would do.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Back {
    /// The revision to take back, and what it did.
    pub(crate) back: Option<(u64, String)>,
    /// The taking back to take back, and what it had taken back.
    pub(crate) forth: Option<(u64, String)>,
}

/// Works it out from what a person did; the dossier's making is not taken back.
pub(crate) fn back(
    history: &[Revision],
    person: &Person,
    dossier: &Dossier,
    values: &Values<'_>,
) -> Back {
    let mut done: Vec<&Revision> = Vec::new();
    let mut undone: Vec<(&Revision, &Revision)> = Vec::new();
    let mine = history
        .iter()
        .rev()
        .filter(|r| r.by == *person && r.number > 1);
    for revision in mine {
        let Some(number) = revision.undoes else {
            done.push(revision);
            undone.clear();
            continue;
        };
        if let Some(at) = done.iter().rposition(|r| r.number == number) {
            undone.push((revision, done.remove(at)));
        } else if let Some(at) = undone.iter().rposition(|(by, _)| by.number == number) {
            // What is put back counts as done by the putting back, in the words of the first time.
            undone.remove(at);
            done.push(revision);
        }
    }
    let words = |revision: &Revision| told::revision(revision, history, dossier, values);
    Back {
        back: done.last().map(|r| (r.number, words(r))),
        forth: undone.last().map(|(by, r)| (by.number, words(r))),
    }
}
