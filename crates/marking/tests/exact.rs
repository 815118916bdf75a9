//! The index answers what scoring every name would.

mod common;

use common::{Dice, LETTERS, clues, marking, name, parts};
use marking::{Answer, Clues, Costs, Index, Scratch};
use record::marking::Seen;
use std::thread;

const NAMES: usize = 3000;
const SEEDS: [u64; 4] = [1, 20, 300, 4000];
const QUERIES: usize = 2500;

fn ranking(answer: &Answer) -> Vec<(usize, i32)> {
    answer
        .candidates
        .iter()
        .map(|c| (c.part, c.total_milli))
        .collect()
}

/// Asks for worn markings of one seed's names by the index and by scoring every name; how many names were found.
fn worn_of(seed: u64) -> usize {
    let mut found = 0;
    let mut dice = Dice(seed);
    let parts = parts(NAMES, &mut dice);
    let index = Index::of_parts(&parts, Costs::default());
    let mut scratch = Scratch::default();
    for _ in 0..QUERIES {
        let part = &parts[dice.below(parts.len())];
        let text = if dice.chance(10) {
            marking(&name(&mut dice), &mut dice)
        } else {
            marking(&part.name, &mut dice)
        };
        let Ok(seen) = Seen::parse(&text) else {
            continue;
        };
        let with = dice.chance(50);
        let clues = if with {
            clues(part, &parts, &mut dice)
        } else {
            Clues::default()
        };
        let fast = index.read(&seen, &clues, &mut scratch);
        let slow = index.read_scoring_all(&seen, &clues, &mut scratch);
        assert_eq!(
            ranking(&fast),
            ranking(&slow),
            "seed {seed}: {text} {clues:?}"
        );
        assert_eq!(fast, slow, "seed {seed}: {text} {clues:?}");
        let listed: f64 = fast.candidates.iter().map(|c| c.probability).sum();
        assert!(
            (listed + fast.none + fast.unlisted - 1.0).abs() < 1e-9,
            "{text}"
        );
        found += fast.candidates.len();
    }
    found
}

#[test]
fn ten_thousand_worn_markings_are_answered_as_by_scoring_every_name() {
    let found: usize = thread::scope(|scope| {
        let hands = SEEDS.map(|seed| scope.spawn(move || worn_of(seed)));
        hands
            .map(|hand| hand.join().expect("a hand ends"))
            .iter()
            .sum()
    });
    assert!(found > SEEDS.len() * QUERIES, "the queries find names");
}

/// A character exchanged, lost or put in in each half of a name, or something added at its ends.
fn damaged_twice(name: &str, dice: &mut Dice) -> String {
    let mut chars: Vec<char> = name.chars().collect();
    for back in [false, true] {
        let half = chars.len() / 2;
        let at = dice.below(half.max(1)) + if back { half } else { 0 };
        let added: Vec<char> = (0..1 + dice.below(2)).map(|_| dice.pick(LETTERS)).collect();
        match dice.below(4) {
            0 => chars[at] = dice.pick(LETTERS),
            1 => drop(chars.remove(at)),
            2 => chars.insert(at, dice.pick(LETTERS)),
            _ if back => chars.extend(added),
            _ => drop(chars.splice(..0, added)),
        }
    }
    chars.into_iter().collect()
}

/// A piece of five to eight characters of a name, with one character exchanged, lost or put in, or some
/// added at an end.
fn piece(name: &str, dice: &mut Dice) -> String {
    let all: Vec<char> = name.chars().filter(|c| c.is_alphanumeric()).collect();
    let from = dice.below(all.len().saturating_sub(4).clamp(1, 4));
    let most = (all.len() - from).min(5 + dice.below(4));
    let mut chars = all[from..from + most].to_vec();
    let at = dice.below(chars.len());
    let added: Vec<char> = (0..1 + dice.below(3)).map(|_| dice.pick(LETTERS)).collect();
    match dice.below(6) {
        0 => chars[at] = dice.pick(LETTERS),
        1 => drop(chars.remove(at)),
        2 => chars.insert(at, dice.pick(LETTERS)),
        3 => chars.extend(added),
        4 => drop(chars.splice(..0, added)),
        _ => chars[at] = '?',
    }
    chars.into_iter().collect()
}

/// Asks for texts made of names by the index and by scoring every name; `judge` compares both answers,
/// is told whether the name is among the first, and says how much was found.
fn ask_both(
    seed: u64,
    made: fn(&str, &mut Dice) -> String,
    judge: impl Fn(&Answer, &Answer, &str, bool) -> usize,
) {
    let mut dice = Dice(seed);
    let parts = parts(NAMES, &mut dice);
    let index = Index::of_parts(&parts, Costs::default());
    let mut scratch = Scratch::default();
    let mut found = 0;
    for _ in 0..2 * QUERIES {
        let part = &parts[dice.below(parts.len())];
        let text = made(&part.name, &mut dice);
        let Ok(seen) = Seen::parse(&text) else {
            continue;
        };
        let fast = index.read(&seen, &Clues::default(), &mut scratch);
        let slow = index.read_scoring_all(&seen, &Clues::default(), &mut scratch);
        let mut names = fast.candidates.iter().map(|c| &parts[c.part].name);
        let there = names.any(|name| *name == part.name);
        found += judge(&fast, &slow, &text, there);
    }
    assert!(found > QUERIES, "the queries find names: {found}");
}

#[test]
fn short_pieces_damaged_once_are_answered_as_by_scoring_every_name() {
    ask_both(23, piece, |fast, slow, text, _| {
        assert_eq!(fast, slow, "{text}");
        fast.candidates.len()
    });
}

#[test]
fn names_damaged_in_both_halves_are_found_as_by_scoring_every_name() {
    ask_both(17, damaged_twice, |fast, slow, text, there| {
        assert_eq!(ranking(fast), ranking(slow), "{text}");
        usize::from(there)
    });
}

/// The built-in table with some of its prices between half and twice what they are.
fn other_prices(dice: &mut Dice) -> Costs {
    let mut table = Costs::default().table().clone();
    let (inside, ends) = (&mut table.inside, &mut table.ends);
    for price in [
        &mut inside.lost,
        &mut inside.extra,
        &mut inside.other,
        &mut inside.placeholder,
        &mut inside.exchanged,
        &mut inside.miscounted,
        &mut ends.rubbed_open,
        &mut ends.rubbed_each,
        &mut ends.gap_empty,
        &mut ends.gap_each,
        &mut ends.prefix_dropped,
        &mut ends.suffix_dropped,
        &mut ends.added_open,
        &mut ends.added_each,
    ] {
        *price *= 0.5 + dice.below(151) as f64 / 100.0;
    }
    Costs::new(table).expect("prices in range")
}

/// A marking with a gap or `?` inside, or with something behind it.
fn broken(name: &str, dice: &mut Dice) -> String {
    let worn = marking(name, dice);
    let chars: Vec<char> = name.chars().filter(|c| c.is_alphanumeric()).collect();
    let at = 1 + dice.below(chars.len().max(3) - 2);
    let [before, after] = [&chars[..at], &chars[at..]].map(|c| c.iter().collect::<String>());
    match dice.below(4) {
        0 => format!("{before}~{after}"),
        1 => format!("{before}??{}", &after[1.min(after.len())..]),
        2 => format!("{worn} 2315"),
        _ => format!("{worn}|{after}K"),
    }
}

#[test]
fn with_other_prices_broken_markings_are_answered_as_by_scoring_every_name() {
    for seed in [6, 60, 600, 6000] {
        let mut dice = Dice(seed);
        let parts = parts(NAMES / 5, &mut dice);
        let index = Index::of_parts(&parts, other_prices(&mut dice));
        let mut scratch = Scratch::default();
        let mut found = 0;
        for _ in 0..150 {
            let text = broken(&parts[dice.below(parts.len())].name, &mut dice);
            let Ok(seen) = Seen::parse(&text) else {
                continue;
            };
            let fast = index.read(&seen, &Clues::default(), &mut scratch);
            let slow = index.read_scoring_all(&seen, &Clues::default(), &mut scratch);
            assert_eq!(fast, slow, "seed {seed}: {text}");
            found += fast.candidates.len();
        }
        assert!(found > 150, "the queries find names: {found}");
    }
}
