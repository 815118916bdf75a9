//! How well markings are read, by kind of wear, beside the best that can be.
//!
//! In: a world, cases, an index of the world's parts. Out: counts, and the table that is printed.

use super::Random;
use super::cases::{Case, MADE, MET, Truth, cases, causes, stratum};
use super::names::{World, invented};
use super::posterior::Reader;
use marking::{Costs, Index, Scratch};
use record::marking::Seen;
use std::collections::BTreeMap;

const BINS: usize = 10;

/// Claimed probabilities against what was so, by weight.
#[derive(Debug, Clone, Default)]
pub struct Calibration {
    /// Weight, weight claimed, weight that was so, and its variance if the claims are true.
    bins: [(f64, f64, f64, f64); BINS],
}

impl Calibration {
    pub fn add(&mut self, claimed: f64, so: bool, weight: f64) {
        let bin = &mut self.bins[((claimed * BINS as f64) as usize).min(BINS - 1)];
        bin.0 += weight;
        bin.1 += weight * claimed;
        bin.2 += weight * f64::from(u8::from(so));
        bin.3 += weight * weight * claimed * (1.0 - claimed);
    }

    /// Mean distance over the bins, by their weight.
    pub fn error(&self) -> f64 {
        let all: f64 = self.bins.iter().map(|b| b.0).sum();
        let off: f64 = self.bins.iter().map(|b| (b.1 - b.2).abs()).sum();
        off / all.max(1e-300)
    }

    /// What that distance comes to by chance alone where every claim is true: the mean of half a normal
    /// distribution in each bin.
    pub fn by_chance(&self) -> f64 {
        let all: f64 = self.bins.iter().map(|b| b.0).sum();
        let off = self
            .bins
            .iter()
            .map(|b| (b.3 * 2.0 / std::f64::consts::PI).sqrt());
        off.sum::<f64>() / all.max(1e-300)
    }

    /// Claimed and so, bin by bin, for printing.
    pub fn shown(&self) -> String {
        let one = |b: &(f64, f64, f64, f64)| match b.0 {
            0.0 => "-".to_string(),
            n => format!("{:.2}/{:.2} ({:.0})", b.1 / n, b.2 / n, n),
        };
        self.bins.iter().map(one).collect::<Vec<_>>().join("  ")
    }
}

/// Markings of one kind.
#[derive(Debug, Clone, Default)]
pub struct Kind {
    pub asked: usize,
    pub first: usize,
    pub ten: usize,
    /// Expected right answers of the best reader, and those it gave.
    pub best: f64,
    pub best_variance: f64,
    pub best_first: usize,
    pub empty: usize,
    pub refused: usize,
    pub none: f64,
    pub best_none: f64,
}

/// What was found.
#[derive(Debug, Clone, Default)]
pub struct Judged {
    pub kinds: BTreeMap<&'static str, Kind>,
    /// Of markings of listed parts.
    pub listed: Kind,
    pub absent: Kind,
    /// The first candidate over all markings as they are met.
    pub first: Calibration,
    /// "None of these" over all markings as they are met.
    pub none: Calibration,
    /// The first candidate, among the listed, of markings of listed parts.
    pub among_listed: Calibration,
    pub best_first: Calibration,
    pub best_none: Calibration,
    /// Markings that the best reader is certain of and the index reads otherwise.
    pub misses: Vec<String>,
}

/// Makes a world from the open symbol set, or else an invented one.
pub fn world(parts: Option<Vec<catalogue::Part>>, seed: u64) -> World {
    let mut random = Random::new(seed ^ 0x57_4f_52_4c_44);
    let parts = parts.unwrap_or_else(|| invented(8000, &mut random));
    World::new(parts, &mut random)
}

/// Makes so many markings and has them read.
pub fn judge(world: &World, costs: Costs, count: usize, seed: u64) -> Judged {
    let causes = causes();
    let mut random = Random::new(seed);
    let all = cases(world, &causes, count, &mut random);
    let index = Index::of_parts(&world.parts, costs);
    let mut reader = Reader::new(world, &causes);
    let mut scratch = Scratch::default();
    let mut out = Judged::default();
    for case in &all {
        out.take(world, case, &index, &mut reader, &mut scratch);
    }
    out
}

impl Judged {
    fn take(
        &mut self,
        world: &World,
        case: &Case,
        index: &Index,
        reader: &mut Reader<'_>,
        scratch: &mut Scratch,
    ) {
        let written = case.written();
        let truth = match case.truth {
            Truth::Listed(i) => Some(i),
            _ => None,
        };
        let row = truth.and_then(|i| world.listed[i].row);
        let best = reader.posterior(case);
        let answer = Seen::parse(&written)
            .ok()
            .map(|seen| index.read(&seen, &case.clues, scratch));
        let rows: Vec<usize> = answer
            .iter()
            .flat_map(|a| a.candidates.iter().map(|c| c.part))
            .collect();
        let none = answer.as_ref().map_or(1.0, |a| a.none);
        let claimed = answer
            .as_ref()
            .and_then(|a| a.candidates.first())
            .map_or(0.0, |c| c.probability);
        let first = row.is_some() && rows.first() == row.as_ref();
        let best_first = best.listed.first().is_some_and(|(i, _)| Some(*i) == truth);
        let certain = truth.map_or(0.0, |_| best.best_of_listed());
        let weight = MET[stratum(case.truth)] / MADE[stratum(case.truth)];
        for kind in [
            self.kinds.entry(case.cause).or_default(),
            if truth.is_some() {
                &mut self.listed
            } else {
                &mut self.absent
            },
        ] {
            kind.asked += 1;
            kind.first += usize::from(first);
            kind.ten += usize::from(row.is_some_and(|row| rows.iter().take(10).any(|r| *r == row)));
            kind.best += certain;
            kind.best_variance += certain * (1.0 - certain);
            kind.best_first += usize::from(best_first);
            kind.empty += usize::from(rows.is_empty());
            kind.refused += usize::from(answer.is_none());
            kind.none += none;
            kind.best_none += best.none;
        }
        self.first.add(claimed, first, weight);
        self.none.add(none, truth.is_none(), weight);
        if truth.is_some() {
            self.among_listed
                .add(claimed / (1.0 - none).max(claimed).max(1e-300), first, 1.0);
        }
        let top = best.listed.first().copied().unwrap_or((0, 0.0));
        self.best_first.add(top.1, best_first, weight);
        self.best_none.add(best.none, truth.is_none(), weight);
        if let (Some(i), true, false) = (truth, best.best_of_listed() > 0.9, first) {
            let other = rows.first().map_or("nothing", |r| &world.parts[*r].name);
            let name = world.listed[i].row.map_or("", |r| &world.parts[r].name);
            self.misses.push(format!(
                "{}: {written} is {name} ({:?} {:?}), read as {other}, none {none:.3}",
                case.cause, case.clues.package, case.clues.pins
            ));
        }
    }

    /// The table by kind of wear.
    pub fn table(&self) -> String {
        let mut out = String::from(
            "| kind | n | recall@1 | @10 | ceiling | (its hits) | @1 / ceiling | empty | not notation | mean none | best none |\n\
             |---|---|---|---|---|---|---|---|---|---|---|\n",
        );
        let rows = self.kinds.iter().map(|(name, kind)| (*name, kind));
        for (name, k) in rows.chain([("ALL LISTED", &self.listed), ("ALL ABSENT", &self.absent)]) {
            let n = k.asked.max(1) as f64;
            let share = |x: usize| x as f64 / n;
            out.push_str(&format!(
                "| {name} | {} | {:.3} | {:.3} | {:.3} | {:.3} | {:.3} | {} | {} | {:.3} | {:.3} |\n",
                k.asked,
                share(k.first),
                share(k.ten),
                k.best / n,
                share(k.best_first),
                k.first as f64 / k.best.max(1e-300),
                k.empty,
                k.refused,
                k.none / n,
                k.best_none / n,
            ));
        }
        out.push_str(&format!(
            "\ncalibration error, ten bins: first candidate {:.4} (best reader {:.4}), none of these {:.4} \
             (best reader {:.4}), first among the listed {:.4}\n",
            self.first.error(),
            self.best_first.error(),
            self.none.error(),
            self.best_none.error(),
            self.among_listed.error(),
        ));
        out.push_str(&format!(
            "first: {}\nnone:  {}\n",
            self.first.shown(),
            self.none.shown()
        ));
        out
    }
}
