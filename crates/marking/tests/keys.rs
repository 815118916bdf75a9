//! A marking that is answered at each key, as it is typed, is answered as by scoring every name.

mod common;

use catalogue::{Part, TopCode};
use common::{DIGITS, Dice, LETTERS, name, parts};
use marking::{Clues, Costs, EntryKind, Index, Scratch};
use record::marking::Seen;

/// Parts whose names are as short as codes, with and without placeholders, and some with codes.
fn brief(dice: &mut Dice) -> Vec<Part> {
    let part = |_| {
        let mut name: String = (0..1 + dice.below(2)).map(|_| dice.pick(LETTERS)).collect();
        name.extend((0..1 + dice.below(3)).map(|_| dice.pick(DIGITS)));
        if dice.chance(15) {
            name.push('x');
        }
        let code: String = (0..2 + dice.below(4)).map(|_| dice.pick(LETTERS)).collect();
        Part {
            name,
            packages: vec![["SOT-23", "QFN-16", "SOIC-8"][dice.below(3)].to_string()],
            codes: match dice.chance(40) {
                true => vec![TopCode::on(code, "SOT-23")],
                false => Vec::new(),
            },
            ..Part::default()
        }
    };
    (0..400).map(part).collect()
}

/// Nothing known, or a body, or a package.
fn clues(n: usize) -> Clues {
    match n {
        0 => Clues::default(),
        1 => Clues {
            body_mm: Some([3.02, 2.98]),
            ..Clues::default()
        },
        2 => Clues {
            body_mm: Some([5.1, 3.9]),
            ..Clues::default()
        },
        _ => Clues {
            package: Some("SOT-23".into()),
            ..Clues::default()
        },
    }
}

#[test]
fn each_key_is_answered_as_by_scoring_every_name() {
    // With short names and codes, with codes alone, and with neither.
    for (seed, short, coded) in [(31, true, true), (32, false, true), (33, false, false)] {
        let mut dice = Dice(seed);
        let mut parts = parts(2500, &mut dice);
        if short {
            parts.extend(brief(&mut dice));
        }
        if !coded {
            parts.iter_mut().for_each(|part| part.codes.clear());
        }
        let index = Index::of_parts(&parts, Costs::default());
        let mut scratch = Scratch::default();
        let (mut keys, mut found, mut codes) = (0, 0, 0);
        for _ in 0..100 {
            let part = &parts[dice.below(parts.len())];
            let from = match part.codes.first() {
                Some(code) if dice.chance(40) => code.text.clone(),
                _ if dice.chance(5) => name(&mut dice),
                _ => part.name.clone(),
            };
            let (worn, clues) = (dice.chance(30), clues(dice.below(4)));
            let mut typed = String::new();
            for (at, c) in from.chars().enumerate() {
                typed.push(if worn && at == 3 { '?' } else { c });
                let Ok(seen) = Seen::parse(&typed) else {
                    continue;
                };
                let fast = index.read(&seen, &clues, &mut scratch);
                let slow = index.read_scoring_all(&seen, &clues, &mut scratch);
                assert_eq!(fast, slow, "seed {seed}: {typed} {clues:?}");
                let is_code = |c: &&marking::Candidate| c.kind == EntryKind::Code;
                codes += fast.candidates.iter().filter(is_code).count();
                found += usize::from(!fast.candidates.is_empty());
                keys += 1;
            }
        }
        assert!(3 * found > keys, "seed {seed}: {found} of {keys}");
        assert_eq!(codes > 50, coded, "seed {seed}: {codes} codes");
    }
}
