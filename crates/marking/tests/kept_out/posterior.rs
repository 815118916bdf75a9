//! The exact posterior: what the best reader of all, who knows how the markings were made, would answer.
//!
//! In: a world, the kinds of wear and their shares, a case. Out: the probability of each part that can
//! matter, and that of parts that are not listed.
//! How: every name is screened by a cheap alignment; of the nearest P(seen | name) is summed over all
//! kinds of wear, all places the name can have among the lines, and all ways of the channel; the clues
//! are weighed by the shares they were drawn with. Names beyond the nearest count as impossible.

use super::cases::{
    CODE_LOTS, CODE_RATES, CODES, Case, Cause, LAYOUTS, Layout, MET, PAD, RENAMED, Truth, WRONG,
    lot_probability, sister_places,
};
use super::channel::Channel;
use super::glyphs::Confusions;
use super::names::{Known, LOT_LETTERS, World, code_probability, equal_packages};
use super::text::{LETTERS, Letter, OPEN, PLAIN, Seen, Segment, character, is_digit};
use marking::Clues;
use std::collections::BTreeMap;

/// So many of the nearest names are looked at closely.
const NEAREST: usize = 160;

/// What the best reader answers.
#[derive(Debug, Clone, Default)]
pub struct Posterior {
    /// Numbers in `World::listed` with their probabilities, likeliest first.
    pub listed: Vec<(usize, f64)>,
    pub none: f64,
}

impl Posterior {
    /// Expected share of right answers of the best reader, given that the part is listed.
    pub fn best_of_listed(&self) -> f64 {
        let all = 1.0 - self.none;
        self.listed
            .first()
            .map_or(0.0, |(_, p)| p / all.max(1e-300))
    }
}

/// The best reader.
#[derive(Debug)]
pub struct Reader<'a> {
    world: &'a World,
    causes: &'a [Cause],
    code_channel: Channel,
    swap: Vec<[i32; LETTERS]>,
    packages: BTreeMap<String, f64>,
    space: Vec<f64>,
}

/// A place the name can have: what is seen of it, and the share of what stands around it by layout.
struct Place {
    name: Segment,
    layouts: Vec<(Layout, f64)>,
}

impl<'a> Reader<'a> {
    pub fn new(world: &'a World, causes: &'a [Cause]) -> Self {
        let looks = Confusions::seen();
        let mut swap = vec![[40; LETTERS]; LETTERS];
        for a in 0..LETTERS {
            swap[a][a] = 0;
            for b in 0..PLAIN {
                if a < PLAIN && a != b {
                    swap[a][b] = (-(looks.shares[a][b] + 1e-4).ln() * 5.0) as i32;
                }
                if a == usize::from(OPEN) {
                    swap[a][b] = 12;
                }
            }
        }
        let mut packages = BTreeMap::new();
        for p in &world.all_packages {
            *packages.entry(p.clone()).or_insert(0.0) += 1.0 / world.all_packages.len() as f64;
        }
        Self {
            world,
            causes,
            code_channel: Channel::new(CODE_RATES),
            swap,
            packages,
            space: Vec::new(),
        }
    }

    pub fn posterior(&mut self, case: &Case) -> Posterior {
        let world = self.world;
        let places = places(&case.lines);
        let listed = |i: usize| &world.listed[i];
        let mut near = self.nearest(&places, &world.listed);
        if let Truth::Listed(i) = case.truth {
            near.push(i);
        }
        if case.lines.len() == 1 && case.lines[0].len() == 1 && case.lines[0][0].seen.len() <= 6 {
            near.extend(&world.coded);
        }
        near.sort_unstable();
        near.dedup();
        let each = MET[0] / world.listed.len() as f64;
        let mut weights: Vec<(usize, f64)> = Vec::new();
        for i in near.iter().copied() {
            let clue = self.clue(&case.clues, listed(i), 0.5);
            let code = self.code(case, listed(i)) * self.clue(&case.clues, listed(i), 0.8);
            let coded = MET[0] * CODES / world.coded.len().max(1) as f64;
            let p = each * clue * self.worn(&places, listed(i)) + coded * code;
            weights.push((i, p));
        }
        let mut none = 0.0;
        let mut held = self.nearest(&places, &world.held);
        if let Truth::Held(i) = case.truth {
            held.push(i);
        }
        held.sort_unstable();
        held.dedup();
        for i in held {
            let known = &world.held[i];
            let met = MET[1] / world.held.len() as f64;
            // The shares of the kinds of wear of a part that is not listed sum to one.
            let worn = self.worn(&places, known) / (1.0 - CODES);
            none += met * self.clue(&case.clues, known, 0.5) * worn;
        }
        for i in near {
            let sister = MET[2] / world.listed.len() as f64 * self.sister(&places, listed(i));
            if sister > 0.0 {
                none += sister * self.clue(&case.clues, listed(i), 0.5);
            }
        }
        none += MET[3] * self.no_code(case);
        weights.sort_by(|a, b| b.1.total_cmp(&a.1));
        let all = none + weights.iter().map(|w| w.1).sum::<f64>();
        weights.iter_mut().for_each(|w| w.1 /= all.max(1e-300));
        Posterior {
            listed: weights,
            none: none / all.max(1e-300),
        }
    }

    /// P(seen | name) over every kind of wear and place, each kind by its share.
    fn worn(&mut self, places: &[Place], known: &Known) -> f64 {
        let mut sum = 0.0;
        for place in places {
            for cause in self.causes {
                let around: f64 = place
                    .layouts
                    .iter()
                    .map(|(layout, p)| {
                        let at = LAYOUTS.iter().position(|l| l == layout).unwrap_or(0);
                        cause.layouts[at] * p
                    })
                    .sum();
                if around > 0.0 {
                    let seen = &place.name.seen;
                    let p = cause
                        .channel
                        .probability(seen, &known.name, &mut self.space);
                    sum += cause.share * around * p;
                }
            }
        }
        sum
    }

    fn code(&mut self, case: &Case, known: &Known) -> f64 {
        let ([line], Some(code)) = (&case.lines[..], known.codes.first()) else {
            return 0.0;
        };
        let [segment] = &line[..] else { return 0.0 };
        let seen = &segment.seen;
        let Some(more) = seen.len().checked_sub(code.len()).filter(|n| *n <= 2) else {
            return 0.0;
        };
        let (head, tail) = seen.split_at(code.len());
        let mut p = CODE_LOTS[more];
        for (letter, seen) in code.iter().zip(head) {
            p *= self.code_channel.reads(*letter, *seen);
        }
        let lots: Vec<Letter> = LOT_LETTERS
            .iter()
            .filter_map(|c| super::text::letter(*c))
            .collect();
        let digits: Vec<Letter> = (0..10).collect();
        for (seen, drawn) in tail.iter().zip([lots, digits]) {
            let mean: f64 = drawn
                .iter()
                .map(|l| self.code_channel.reads(*l, *seen))
                .sum();
            p *= mean / drawn.len() as f64;
        }
        p
    }

    fn sister(&self, places: &[Place], known: &Known) -> f64 {
        let name = &known.name;
        if name.is_open() || self.causes.is_empty() {
            return 0.0;
        }
        let open = sister_places(name);
        let mut sum = 0.0;
        for place in places {
            let seen = &place.name.seen;
            if seen.len() != name.len() {
                continue;
            }
            let mut differing =
                (0..seen.len()).filter(|i| seen[*i] != Seen::Read(name.letters[*i]));
            let (Some(at), None) = (differing.next(), differing.next()) else {
                continue;
            };
            let Seen::Read(other) = seen[at] else {
                continue;
            };
            let same_kind = is_digit(other) == is_digit(name.letters[at]);
            let mut text = name.letters.clone();
            text[at] = other;
            if !open.contains(&at) || !same_kind || self.world.spelled.contains(&text) {
                continue;
            }
            let among = if is_digit(other) { 10.0 } else { 26.0 };
            let shares = self.causes[0].layouts;
            let around: f64 = place
                .layouts
                .iter()
                .map(|(layout, p)| {
                    shares[LAYOUTS.iter().position(|l| l == layout).unwrap_or(0)] * p
                })
                .sum();
            sum += around / (open.len() as f64 * among);
        }
        sum
    }

    fn no_code(&mut self, case: &Case) -> f64 {
        let [line] = &case.lines[..] else { return 0.0 };
        let [segment] = &line[..] else { return 0.0 };
        let mut text = Vec::new();
        for seen in &segment.seen {
            match seen {
                Seen::Read(l) => text.push(*l),
                _ => return 0.0,
            }
        }
        let mut sum = 0.0;
        for (more, share) in CODE_LOTS.into_iter().enumerate() {
            let Some(n) = text.len().checked_sub(more) else {
                continue;
            };
            let lot = |l: &Letter| LOT_LETTERS.contains(&character(*l));
            let fits = text.get(n).is_none_or(lot) && text.get(n + 1).is_none_or(|l| is_digit(*l));
            if fits {
                let drawn = [1.0, 1.0 / 24.0, 1.0 / 240.0][more];
                sum += share * drawn * code_probability(&text[..n]);
            }
        }
        if sum == 0.0 {
            return 0.0;
        }
        // Its clues are those of any part with a code.
        let some = &self.world.coded;
        let clue: f64 = some
            .iter()
            .map(|i| self.clue(&case.clues, &self.world.listed[*i], 0.8))
            .sum();
        sum * clue / some.len() as f64
    }

    /// Probability of the clues of a part, `given` being the share of markings that have any.
    fn clue(&self, clues: &Clues, known: &Known, given: f64) -> f64 {
        let Some(package) = &clues.package else {
            return 1.0 - given;
        };
        let mut p = given;
        let own = |own: &String| {
            let others = equal_packages(own);
            let renamed = if others.is_empty() { 0.0 } else { RENAMED };
            let same = if own == package { 1.0 - renamed } else { 0.0 };
            let other = if others.contains(package) {
                renamed / others.len() as f64
            } else {
                0.0
            };
            (same + other) / known.packages.len() as f64
        };
        let right: f64 = known.packages.iter().map(own).sum();
        p *= (1.0 - WRONG) * right + WRONG * self.packages.get(package).copied().unwrap_or(0.0);
        match clues.pins {
            None => p * 0.2,
            Some(n) => {
                let padded = known.packages.iter().filter(|p| p.contains("FN")).count();
                let pad = PAD * padded as f64 / known.packages.len() as f64;
                let one = match n.checked_sub(known.pins) {
                    Some(0) => 1.0 - pad,
                    Some(1) => pad,
                    _ => 0.0,
                };
                p * 0.8 * one
            }
        }
    }

    /// The names nearest to any place, by the cheapest alignment, ends and lost letters being cheap.
    fn nearest(&mut self, places: &[Place], all: &[Known]) -> Vec<usize> {
        let mut out = Vec::new();
        for place in places {
            let mut found: Vec<(i32, usize)> = all
                .iter()
                .enumerate()
                .map(|(i, known)| (self.screened(&place.name.seen, &known.name.letters), i))
                .collect();
            let n = NEAREST.min(found.len());
            if n < found.len() {
                found.select_nth_unstable(n);
            }
            out.extend(found[..n].iter().map(|(_, i)| *i));
        }
        out
    }

    fn screened(&self, seen: &[Seen], name: &[Letter]) -> i32 {
        const END: i32 = 3;
        const LOST: i32 = 15;
        const AFTER_GAP: i32 = 4;
        let n = name.len().min(31);
        let mut row = [0; 32];
        (0..=n).for_each(|j| row[j] = END * j as i32);
        let mut gap = false;
        for (i, s) in seen.iter().enumerate() {
            if *s == Seen::Gap {
                gap = true;
                for j in 1..=n {
                    row[j] = row[j].min(row[j - 1] + AFTER_GAP);
                }
                continue;
            }
            let mut diagonal = row[0];
            row[0] = 12 + END * i as i32;
            for j in 1..=n {
                let l = usize::from(name[j - 1]);
                let swap = match s {
                    Seen::Read(r) => self.swap[l][usize::from(*r)],
                    Seen::Either(a, b) => {
                        self.swap[l][usize::from(*a)].min(self.swap[l][usize::from(*b)])
                    }
                    _ => 6,
                };
                let extra = if *s == Seen::Unreadable { 8 } else { LOST };
                let best = (diagonal + swap).min(row[j] + extra).min(row[j - 1] + LOST);
                diagonal = row[j];
                row[j] = best;
            }
        }
        let end = if gap { END - 1 } else { END };
        (0..=n)
            .map(|j| row[j] + end * (n - j) as i32)
            .min()
            .unwrap_or(0)
    }
}

/// Every place the name can have, by the lines alone.
fn places(lines: &[Vec<Segment>]) -> Vec<Place> {
    let one = |name: &Segment, layouts| Place {
        name: name.clone(),
        layouts,
    };
    match lines {
        [line] => match &line[..] {
            [name] if name.seen.len() < 5 => {
                vec![one(name, vec![(Layout::Alone, 1.0), (Layout::Split, 1.0)])]
            }
            [name] => vec![one(name, vec![(Layout::Alone, 1.0)])],
            [name, lot] => vec![one(name, vec![(Layout::Beside, lot_probability(lot))])],
            _ => Vec::new(),
        },
        [first, second] => {
            let (first, second) = (&first[0], &second[0]);
            let both = first.joined(second);
            let splits = (both.seen.len().max(4) - 3) as f64;
            vec![
                one(first, vec![(Layout::Below, lot_probability(second))]),
                one(second, vec![(Layout::Above, lot_probability(first))]),
                Place {
                    layouts: vec![(Layout::Split, 1.0 / splits)],
                    name: both,
                },
            ]
        }
        [_, name, _] => vec![one(&name[0], vec![(Layout::Three, 1.0)])],
        _ => Vec::new(),
    }
}
