//! What is true of every right answer: facts 1 to 8 of the definitions beside the published cases.

use crate::drawn::{answer, cases, word};
use crate::plain::Plain;
use guards::Cut;
use proptest::prelude::*;

fn rank(verdict: &str) -> u8 {
    match verdict {
        "unguarded" => 2,
        "undecided" => 1,
        _ => 0,
    }
}

fn verdict(plain: &Plain) -> &'static str {
    word(answer(plain).verdict)
}

fn with_guards(plain: &Plain, more: impl IntoIterator<Item = String>) -> Plain {
    let mut plain = plain.clone();
    plain.guards.extend(more);
    plain.may.retain(|m| !plain.guards.contains(m));
    plain
}

/// Returns the largest number of paths that share no inner item, by trying every set of them.
fn most_apart(open: &[Vec<String>], plain: &Plain) -> usize {
    let inner = |p: &Vec<String>| -> Vec<String> {
        let end = |n: &String| plain.sources.contains(n) || plain.targets.contains(n);
        p.iter().filter(|n| !end(n)).cloned().collect()
    };
    fn pick(rest: &[Vec<String>], taken: &[String]) -> usize {
        let mut best = 0;
        for (k, path) in rest.iter().enumerate() {
            if !path.iter().any(|n| taken.contains(n)) {
                best = best.max(1 + pick(&rest[k + 1..], &[taken, path].concat()));
            }
        }
        best
    }
    let inner: Vec<Vec<String>> = open.iter().map(inner).collect();
    pick(&inner, &[])
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, ..ProptestConfig::default() })]

    #[test]
    fn it_is_what_walking_every_path_says(plain in cases()) {
        let paths = plain.paths().unwrap();
        let (wanted, open) = plain.open(&paths);
        let answer = answer(&plain);
        prop_assert_eq!(word(answer.verdict), wanted);
        prop_assert_eq!(&answer.witness, &open.first().cloned().unwrap_or_default());
        let met = |p: &Vec<String>| p.iter().filter(|n| plain.guards.contains(*n)).count();
        prop_assert_eq!(answer.depth, paths.iter().map(met).min());
        let shared = |n: &&String| paths.iter().all(|p| p.contains(n));
        let end = |n: &&String| plain.sources.contains(n) || plain.targets.contains(n);
        let mut shared: Vec<String> = paths.iter().flatten().filter(|n| shared(n) && !end(n)).cloned().collect();
        shared.sort();
        shared.dedup();
        prop_assert_eq!(answer.on_every_path, shared);
    }

    #[test]
    fn a_guard_more_never_opens_a_path(plain in cases(), at in 1_usize..8) {
        let more = with_guards(&plain, [format!("v{at}")]);
        prop_assert!(rank(verdict(&more)) <= rank(verdict(&plain)));
        prop_assert!(answer(&more).depth >= answer(&plain).depth);
    }

    #[test]
    fn the_order_of_links_does_not_matter(plain in cases(), by in 0_usize..20) {
        let mut other = plain.clone();
        let middle = by % other.links.len().max(1);
        other.links.rotate_left(middle);
        other.targets.reverse();
        prop_assert_eq!(answer(&plain), answer(&other));
    }

    #[test]
    fn the_other_way_round_is_the_same(plain in cases()) {
        let turned = |l: &String| match l.split_once('>') {
            Some((a, b)) => format!("{b}>{a}"),
            None => l.clone(),
        };
        let back = Plain {
            links: plain.links.iter().map(turned).collect(),
            sources: plain.targets.clone(),
            targets: plain.sources.clone(),
            ..plain.clone()
        };
        let (one, other) = (answer(&plain), answer(&back));
        prop_assert_eq!(one.verdict, other.verdict);
        prop_assert_eq!(one.cut, other.cut);
        prop_assert_eq!(one.depth, other.depth);
        prop_assert_eq!(one.on_every_path, other.on_every_path);
    }

    #[test]
    fn what_is_not_identified_lies_between_all_guards_and_none(plain in cases()) {
        let best = with_guards(&plain, plain.may.clone());
        let worst = Plain { may: Default::default(), ..plain.clone() };
        match verdict(&plain) {
            "undecided" => {
                prop_assert_eq!(verdict(&best), "guarded");
                prop_assert_eq!(verdict(&worst), "unguarded");
            }
            "guarded" => prop_assert_eq!(verdict(&worst), "guarded"),
            "unguarded" => prop_assert_eq!(verdict(&best), "unguarded"),
            _ => {}
        }
    }

    #[test]
    fn a_cut_closes_all_and_is_as_large_as_paths_that_share_nothing(plain in cases()) {
        let paths = plain.paths().unwrap();
        let (_, open) = plain.open(&paths);
        match answer(&plain).cut {
            Cut::Nothing => prop_assert!(open.is_empty()),
            Cut::NoPlace => prop_assert!(open.iter().any(|p| p.len() == 2)),
            Cut::Places { sets, .. } => {
                prop_assert!(!sets.is_empty());
                // Trying every set of paths is for few paths.
                if open.len() <= 12 {
                    prop_assert_eq!(sets[0].len(), most_apart(&open, &plain));
                }
                for set in sets {
                    prop_assert!(!open.iter().any(|p| !p.iter().any(|n| set.contains(n))));
                    prop_assert!(rank(verdict(&with_guards(&plain, set))) < 2);
                }
            }
        }
    }
}

/// The listed sets are all there are, in the order of their names.
#[test]
fn all_smallest_sets_of_a_ladder_are_listed() {
    let mut links = Vec::new();
    for k in 0..3 {
        links.push(format!("a{k}>a{}", k + 1));
        links.push(format!("b{k}>b{}", k + 1));
    }
    links.extend(["s>a0", "s>b0", "a3>t", "b3>t"].map(String::from));
    let plain = Plain {
        links,
        sources: vec!["s".into()],
        targets: vec!["t".into()],
        ..Plain::default()
    };
    let Cut::Places { sets, more } = answer(&plain).cut else {
        panic!("open")
    };
    // Any of four on one rail with any of four on the other: sixteen, of which twelve are listed.
    assert!(more);
    let wanted: Vec<Vec<String>> = (0..4)
        .flat_map(|a| (0..4).map(move |b| vec![format!("a{a}"), format!("b{b}")]))
        .take(12)
        .collect();
    assert_eq!(sets, wanted);
}
