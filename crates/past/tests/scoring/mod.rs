//! Chance that repeats, and how well proposals meet what was written into a text.

#![allow(dead_code, reason = "each test uses a part of it")]

use past::{Format, Known, find, read};
use std::collections::BTreeSet;

/// Chance by a seed (SplitMix64).
pub(crate) struct Chance(pub u64);

impl Chance {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub(crate) fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % n as u64).unwrap()
    }

    pub(crate) fn one<'a, T: ?Sized>(&mut self, of: &[&'a T]) -> &'a T {
        of[self.below(of.len())]
    }

    pub(crate) fn letters(&mut self, from: &str, n: usize) -> String {
        let all: Vec<char> = from.chars().collect();
        (0..n).map(|_| all[self.below(all.len())]).collect()
    }

    pub(crate) fn number(&mut self, digits: usize) -> String {
        let first = self.letters("123456789", 1);
        first + &self.letters("0123456789", digits - 1)
    }
}

/// A text with what it says.
pub(crate) struct Sample {
    pub(crate) text: String,
    pub(crate) format: Format,
    /// Part number, maker, role; empty where the text does not say.
    pub(crate) parts: Vec<(String, String, String)>,
    /// Makers that a catalogue has.
    pub(crate) known: Vec<(String, String)>,
}

/// Right, wrong and missed.
#[derive(Debug, Default, Clone, Copy)]
pub(crate) struct Score {
    pub(crate) right: usize,
    pub(crate) wrong: usize,
    pub(crate) missed: usize,
}

impl Score {
    pub(crate) fn precision(&self) -> f64 {
        self.right as f64 / (self.right + self.wrong).max(1) as f64
    }

    pub(crate) fn recall(&self) -> f64 {
        self.right as f64 / (self.right + self.missed).max(1) as f64
    }

    fn count(&mut self, said: &BTreeSet<String>, told: &BTreeSet<String>) {
        self.right += said.intersection(told).count();
        self.wrong += told.difference(said).count();
        self.missed += said.difference(told).count();
    }
}

#[derive(Debug, Default, Clone, Copy)]
pub(crate) struct Scores {
    pub(crate) parts: Score,
    /// Makers of each text, whichever part they belong to.
    pub(crate) makers: Score,
    /// Part and maker together.
    pub(crate) pairs: Score,
    /// Part and role together.
    pub(crate) roles: Score,
}

fn folded(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_uppercase)
        .collect()
}

/// Scores texts.
pub(crate) fn score(samples: &[Sample]) -> Scores {
    let mut scores = Scores::default();
    for sample in samples {
        let known = Known::new(sample.known.iter().map(|(p, m)| (p.as_str(), m.as_str())));
        let text = read(sample.text.as_bytes(), sample.format).unwrap();
        let found = find(&text, &known);
        let set = |items: &mut dyn Iterator<Item = String>| items.collect::<BTreeSet<String>>();
        let said = set(&mut sample.parts.iter().map(|p| folded(&p.0)));
        let told = set(&mut found.parts.iter().map(|p| folded(&p.part)));
        scores.parts.count(&said, &told);
        let said_makers = set(&mut sample
            .parts
            .iter()
            .filter(|p| !p.1.is_empty())
            .map(|p| folded(&p.1)));
        let told_makers = set(&mut found.makers.iter().map(|m| folded(&m.name)));
        scores.makers.count(&said_makers, &told_makers);
        let pair = |part: &str, of: &str| format!("{}|{}", folded(part), folded(of));
        let said_pairs = set(&mut sample
            .parts
            .iter()
            .filter(|p| !p.1.is_empty())
            .map(|p| pair(&p.0, &p.1)));
        let told_pairs = set(&mut found
            .parts
            .iter()
            .filter_map(|p| Some(pair(&p.part, p.maker.as_ref()?))));
        scores.pairs.count(&said_pairs, &told_pairs);
        let said_roles = set(&mut sample
            .parts
            .iter()
            .filter(|p| !p.2.is_empty())
            .map(|p| pair(&p.0, &p.2)));
        let told_roles = set(&mut found
            .parts
            .iter()
            .filter_map(|p| Some(pair(&p.part, p.role.as_ref()?))));
        scores.roles.count(&said_roles, &told_roles);
    }
    scores
}

pub(crate) fn told(name: &str, scores: &Scores) {
    for (what, score) in [
        ("part numbers", scores.parts),
        ("makers", scores.makers),
        ("maker of each part", scores.pairs),
        ("role of each part", scores.roles),
    ] {
        println!(
            "{name}, {what}: precision {:.3}, recall {:.3} ({} right, {} wrong, {} missed)",
            score.precision(),
            score.recall(),
            score.right,
            score.wrong,
            score.missed
        );
    }
}
