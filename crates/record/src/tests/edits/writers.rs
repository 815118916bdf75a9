//! Two writers at one text, each with entries of their own, undo in any order of the two.

use super::draw::{Dice, draw};
use super::{config, count, small};
use crate::layout::{Form, Layout};
use crate::place::Segment;
use crate::{Draft, Edit, EditError, Place, TextPlaces};
use proptest::prelude::*;
use std::collections::BTreeMap;

/// Whose a place is: 0 and 1 are writers, others nobody's.
struct Shares {
    seed: u32,
    /// Whether the entries of a list belong to different ones.
    by_entry: bool,
}

impl Shares {
    fn owner(&self, place: &Place) -> u32 {
        let segments = place.segments().unwrap();
        let own = match segments {
            [list, entry @ Segment::Entry(_), ..] if self.by_entry => {
                crate::place::path(&[list.clone(), entry.clone()])
            }
            [first, ..] => crate::place::path(std::slice::from_ref(first)),
            [] => return 2,
        };
        let mixed = own.bytes().fold(self.seed, |all, byte| {
            (all ^ u32::from(byte)).wrapping_mul(16_777_619)
        });
        (mixed >> 13) % 3
    }

    /// Everything that a writer owns, as it is written.
    fn all<'t>(&self, text: &'t str, writer: u32) -> BTreeMap<String, &'t str> {
        let places = TextPlaces::of(text, "").unwrap();
        let all = places.all();
        let is_leaf = |p: &Place| !all.iter().any(|q| q.parent().as_ref() == Some(p));
        let own = all.iter().filter(|p| self.owner(p) == writer && is_leaf(p));
        own.filter_map(|p| Some((p.to_string(), &text[places.span(p)?])))
            .collect()
    }

    /// Whether what differs between two texts is the writer's, and what is next to it not the other's.
    fn keeps_to_own(&self, before: &str, after: &str, writer: u32) -> bool {
        let common = |a: &mut dyn Iterator<Item = (u8, u8)>| a.take_while(|(a, b)| a == b).count();
        let head = common(&mut before.bytes().zip(after.bytes()));
        let tail = common(&mut before.bytes().rev().zip(after.bytes().rev()));
        [before, after].iter().all(|text| {
            let layout = Layout::of(text);
            let places = TextPlaces::of(text, "").unwrap();
            let (from, to) = (head, (text.len() - tail).max(head));
            let statements = &layout.statements;
            let first = statements.iter().rposition(|s| s.end < from).unwrap_or(0);
            let last = statements.iter().position(|s| s.lead > to);
            let last = last.map_or(statements.len(), |n| n + 1);
            let mut near = statements[first..last.min(statements.len())].iter();
            near.all(|s| {
                let owner = self.owner(&places.at(layout.node(s.node).span.start));
                let is_touched = s.lead < to && from < s.end;
                let is_list = layout.node(s.node).form == Form::Array;
                // A list in line is one statement with entries of both.
                let is_own = owner == writer && !(self.by_entry && is_list);
                is_own || !is_touched && owner != 1 - writer
            })
        })
    }
}

fn written_together(text: &str, shares: &Shares, seeds: &[Vec<u32>]) {
    let mut draft = Draft::parse(text, "dossier.toml").unwrap();
    let mut done: [Vec<Edit>; 2] = Default::default();
    for seed in seeds {
        let mut dice = Dice(seed, 1);
        // Several draws, until one keeps to what the writer owns.
        for _ in 0..12 {
            let before = draft.text();
            let edit = draw(&before, &mut dice);
            let mut next = draft.clone();
            let Ok(applied) = next.apply(&edit) else {
                continue;
            };
            let writer = seed[0] % 2;
            if next.text() != before && shares.keeps_to_own(&before, &next.text(), writer) {
                draft = next;
                done[writer as usize].push(applied.inverse);
                break;
            }
        }
    }
    if done.iter().any(Vec::is_empty) {
        return count("one writer alone");
    }
    count(if shares.by_entry {
        "entries shared"
    } else {
        "lists shared"
    });
    for seed in seeds.iter().cycle() {
        let mut writer = (seed[1] % 2) as usize;
        if done[writer].is_empty() {
            writer = 1 - writer;
        }
        let Some(inverse) = done[writer].pop() else {
            break;
        };
        let before = draft.text();
        let wire = serde_json::to_string(&inverse).unwrap();
        draft
            .apply(&serde_json::from_str(&wire).unwrap())
            .unwrap_or_else(|e| panic!("{e}\n{wire}\n{before}\n---- of\n{text}"));
        count("undone");
        if done[writer].is_empty() {
            let (now, who) = (draft.text(), writer as u32);
            assert_eq!(
                shares.all(&now, who),
                shares.all(text, who),
                "{wire}\n{before}"
            );
        }
    }
    assert_eq!(draft.text(), text);
}

/// More with `PROPTEST_CASES=10000`.
#[test]
fn two_writers_undo_in_any_order() {
    let texts = small();
    let mut runner = proptest::test_runner::TestRunner::new(config());
    let seeds = prop::collection::vec(prop::collection::vec(any::<u32>(), 120), 2..10);
    runner
        .run(
            &(0..texts.len(), any::<u32>(), any::<bool>(), seeds),
            |(text, seed, by_entry, seeds)| {
                written_together(&texts[text], &Shares { seed, by_entry }, &seeds);
                Ok(())
            },
        )
        .unwrap_or_else(|e| panic!("{e}"));
    super::COUNTS.with_borrow(|c| {
        println!("{c:?}");
        for kind in ["entries shared", "lists shared", "undone"] {
            assert!(c.contains_key(kind), "no case had {kind}: {c:?}");
        }
    });
}

/// Without shares: an undo is made or refused with a reason, and the text stays one.
#[test]
fn undo_among_any_edits_is_made_or_refused_with_a_reason() {
    let texts = small();
    let mut runner = proptest::test_runner::TestRunner::new(config());
    let seeds = prop::collection::vec(prop::collection::vec(any::<u32>(), 60), 2..8);
    runner
        .run(&(0..texts.len(), seeds), |(text, seeds)| {
            let mut draft = Draft::parse(&texts[text], "dossier.toml").unwrap();
            let mut done = Vec::new();
            for seed in &seeds {
                let edit = draw(&draft.text(), &mut Dice(seed, 1));
                done.extend(draft.apply(&edit).map(|a| a.inverse));
            }
            // First in, first out: the worst order.
            for inverse in done {
                let before = draft.text();
                match draft.apply(&inverse) {
                    Ok(_) => {
                        assert!(Draft::parse(&draft.text(), "").is_ok());
                        count("out of order");
                    }
                    Err(EditError::Meanwhile { why, .. }) => {
                        assert!(!why.is_empty());
                        assert_eq!(draft.text(), before);
                        count("refused");
                    }
                    Err(other) => panic!("{other}\n{inverse:?}\n{before}"),
                }
            }
            Ok(())
        })
        .unwrap_or_else(|e| panic!("{e}"));
    super::COUNTS.with_borrow(|c| {
        println!("{c:?}");
        assert!(c.contains_key("out of order") && c.contains_key("refused"));
    });
}
