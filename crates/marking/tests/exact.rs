//! The index answers what scoring every name would.

mod common;

use common::{Dice, clues, marking, name, parts};
use marking::{Answer, Clues, Costs, Index, Scratch};
use record::marking::Seen;

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

#[test]
fn ten_thousand_worn_markings_are_answered_as_by_scoring_every_name() {
    let mut found = 0;
    for seed in SEEDS {
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
    }
    assert!(found > SEEDS.len() * QUERIES, "the queries find names");
}
