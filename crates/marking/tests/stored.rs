//! An index in bytes is the same index; bytes that are no index are refused and never trusted.

#![allow(clippy::unwrap_used, reason = "a test")]

mod common;

use common::{Dice, clues, marking, parts};
use marking::{Costs, Index, Scratch, StoredError};
use record::marking::Seen;

fn stored(index: &Index) -> Vec<u8> {
    let mut bytes = Vec::new();
    index.store(&mut bytes).unwrap();
    bytes
}

fn restored(mut bytes: &[u8]) -> Result<Index, StoredError> {
    Index::restore(&mut bytes, Costs::default())
}

#[test]
fn a_stored_index_answers_as_the_one_that_was_made() {
    let mut dice = Dice(77);
    let parts = parts(1500, &mut dice);
    let made = Index::of_parts(&parts, Costs::default());
    let again = restored(&stored(&made)).unwrap();
    let (mut one, mut other) = (Scratch::default(), Scratch::default());
    for _ in 0..200 {
        let part = &parts[dice.below(parts.len())];
        let Ok(seen) = Seen::parse(&marking(&part.name, &mut dice)) else {
            continue;
        };
        let clues = clues(part, &parts, &mut dice);
        let (a, b) = (
            made.read(&seen, &clues, &mut one),
            again.read(&seen, &clues, &mut other),
        );
        assert_eq!(a, b, "{seen}");
    }
    assert_eq!(stored(&again), stored(&made));
}

#[test]
fn every_beginning_of_a_stored_index_is_refused() {
    let bytes = stored(&Index::of_parts(&parts(20, &mut Dice(3)), Costs::default()));
    for end in (0..4096.min(bytes.len())).chain((0..bytes.len()).step_by(40_009)) {
        assert!(restored(&bytes[..end]).is_err(), "{end}");
    }
}

#[test]
fn damaged_bytes_never_panic_and_cost_no_memory() {
    let parts = parts(20, &mut Dice(4));
    let bytes = stored(&Index::of_parts(&parts, Costs::default()));
    let seen = Seen::parse(&parts[0].name).unwrap_or_else(|_| Seen::parse("A1").unwrap());
    let mut dice = Dice(5);
    for _ in 0..150 {
        let mut damaged = bytes.clone();
        // The first lists and lengths are hit as often as all that follows.
        let reach = if dice.chance(50) { 6000 } else { bytes.len() };
        let at = dice.below(reach);
        damaged[at] = dice.below(256) as u8;
        if let Ok(index) = restored(&damaged) {
            index.read(&seen, &marking::Clues::default(), &mut Scratch::default());
        }
    }
    // A list that claims to be endless ends with the bytes.
    let mut endless = bytes[..40].to_vec();
    endless[17..25].fill(255);
    assert!(matches!(restored(&endless), Err(StoredError::Unread(_))));
}

#[test]
fn another_version_and_other_prices_are_told_apart() {
    let index = Index::of_parts(&[], Costs::default());
    let mut bytes = stored(&index);
    let mut table = Costs::default().table().clone();
    table.inside.lost += 0.5;
    let other = Costs::new(table).unwrap();
    assert!(matches!(
        Index::restore(&mut &bytes[..], other),
        Err(StoredError::Tables)
    ));
    bytes[15] = b'0';
    assert!(matches!(restored(&bytes), Err(StoredError::Form)));
}
