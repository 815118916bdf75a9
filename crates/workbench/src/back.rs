//! What a person would take back or put back next.
//!
//! In: the latest revisions of a dossier, newest first. Out: the two revisions, with words for what they did.
//! Not here: what is taken back with a revision (`library::together`).

use crate::told;
use library::{Person, Revision};
use record::{Dossier, Edit, Values};

/// What Ctrl+Z and Ctrl+Shift+Z would do.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Back {
    /// The revision to take back, and what it did.
    pub(crate) back: Option<(u64, String)>,
    /// The taking back to take back, and what it had taken back.
    pub(crate) forth: Option<(u64, String)>,
}

/// What was done as one: the revisions of one action, the first of them first.
type Action<'a> = Vec<&'a Revision>;

/// Works it out from what a person did; the dossier's making is not taken back.
pub(crate) fn back(
    history: &[Revision],
    person: &Person,
    dossier: &Dossier,
    values: &Values<'_>,
) -> Back {
    let mut done: Vec<Action<'_>> = Vec::new();
    let mut undone: Vec<(&Revision, Action<'_>)> = Vec::new();
    let mine = history
        .iter()
        .rev()
        .filter(|r| r.by == *person && r.number > 1);
    for revision in mine {
        let Some(number) = revision.undoes else {
            let same =
                |action: &Action<'_>| action.last().is_some_and(|last| revision.goes_with(last));
            let mut action = match done.iter().rposition(same) {
                Some(at) => done.remove(at),
                None => Vec::new(),
            };
            action.push(revision);
            done.push(action);
            undone.clear();
            continue;
        };
        let holds = |action: &Action<'_>| action.iter().any(|r| r.number == number);
        if let Some(at) = done.iter().rposition(holds) {
            undone.push((revision, done.remove(at)));
        } else if let Some(at) = undone.iter().rposition(|(by, _)| by.number == number) {
            // What is put back counts as done by the putting back, in the words of the first time.
            undone.remove(at);
            done.push(vec![revision]);
        }
    }
    let words = |action: &Action<'_>| match action.as_slice() {
        [one] => told::revision(one, history, dossier, values),
        all => {
            let edits: Vec<Edit> = all.iter().flat_map(|r| r.edits.clone()).collect();
            told::edits(&edits, dossier, values)
        }
    };
    Back {
        back: done.last().and_then(|a| Some((a.last()?.number, words(a)))),
        forth: undone.last().map(|(by, a)| (by.number, words(a))),
    }
}
