//! What is taken back together: the revisions of one action, such as the taking of a part and what was said of it.
//!
//! In: a history, newest first, and a revision of it. Out: the revisions that are taken back with it.
//! Not here: what takes each back (`Revision::inverse`), whether it still can be (`record::Draft`).

use crate::Revision;
use std::collections::{HashMap, HashSet};

/// Returns the revisions that are taken back with one, newest first: those of its group, from the same window, that
/// stand. A revision without a group, one that takes something back itself, or one that was taken back already is
/// alone. Empty where the history does not hold it.
pub fn together(history: &[Revision], number: u64) -> Vec<&Revision> {
    let Some(asked) = history.iter().find(|r| r.number == number) else {
        return Vec::new();
    };
    let gone = taken_back(history);
    if asked.undoes.is_some() || gone.contains(&number) {
        return vec![asked];
    }
    let group = history.iter();
    group
        .filter(|r| r.goes_with(asked) && !gone.contains(&r.number))
        .collect()
}

/// Returns the revisions that are taken back and were not put back since.
fn taken_back(history: &[Revision]) -> HashSet<u64> {
    let mut gone: HashSet<u64> = HashSet::new();
    // What each taking back was about, and whether it took away or put back.
    let mut did: HashMap<u64, (Vec<u64>, bool)> = HashMap::new();
    for (at, revision) in history.iter().enumerate().rev() {
        let Some(undoes) = revision.undoes else {
            continue;
        };
        let (about, takes) = match did.get(&undoes) {
            Some((about, took)) => (about.clone(), !took),
            None => {
                let earlier = &history[at + 1..];
                let first = earlier.iter().find(|r| r.number == undoes);
                let about = earlier.iter().filter(|r| {
                    first.is_some_and(|first| r.goes_with(first)) && !gone.contains(&r.number)
                });
                (about.map(|r| r.number).collect(), true)
            }
        };
        for number in &about {
            match takes {
                true => gone.insert(*number),
                false => gone.remove(number),
            };
        }
        did.insert(revision.number, (about, takes));
    }
    gone
}

#[cfg(test)]
mod tests {
    use super::together;
    use crate::{Person, Revision};
    use jiff::Timestamp;

    /// A history of revisions from 2 on, each with a group and what it takes back, newest first.
    fn history(made: &[(Option<&str>, Option<u64>)]) -> Vec<Revision> {
        let revisions = (2..).zip(made).map(|(number, (group, undoes))| Revision {
            number,
            group: group.map(str::to_string),
            undoes: *undoes,
            ..Revision::first(Person::from("A."), Timestamp::UNIX_EPOCH)
        });
        let mut all: Vec<Revision> = revisions.collect();
        all.reverse();
        all
    }

    #[track_caller]
    fn check(made: &[(Option<&str>, Option<u64>)], number: u64, expected: &[u64]) {
        let history = history(made);
        let numbers = together(&history, number)
            .iter()
            .map(|r| r.number)
            .collect::<Vec<_>>();
        assert_eq!(numbers, expected);
    }

    #[test]
    fn a_revision_without_a_group_is_alone() {
        check(&[(None, None), (None, None)], 3, &[3]);
    }

    #[test]
    fn those_of_an_action_go_together_whatever_stands_between() {
        check(
            &[(Some("part"), None), (None, None), (Some("part"), None)],
            4,
            &[4, 2],
        );
        check(&[(Some("part"), None), (Some("other"), None)], 2, &[2]);
    }

    /// The part is taken, taken back, and said more of: the first taking is gone already.
    #[test]
    fn what_was_taken_back_is_not_taken_back_again() {
        let made = [(Some("part"), None), (None, Some(2)), (Some("part"), None)];
        check(&made, 4, &[4]);
    }

    #[test]
    fn what_was_put_back_stands() {
        let made = [
            (Some("part"), None),
            (Some("part"), None),
            (None, Some(3)),
            (None, Some(4)),
            (Some("part"), None),
        ];
        check(&made, 6, &[6, 3, 2]);
    }

    #[test]
    fn a_taking_back_is_put_back_alone() {
        check(&[(Some("part"), None), (None, Some(2))], 3, &[3]);
        check(&[(Some("part"), None)], 9, &[]);
    }
}
