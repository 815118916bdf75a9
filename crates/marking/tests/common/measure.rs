//! How well parts are found, and whether probabilities mean what they say.

use super::similarity::{Similarity, alike, distance, folded};
use super::symbol_set::is_asked_for;
use super::wear::{Wear, marking};
use super::{Dice, similarity};
use catalogue::Part;
use marking::{Clues, Costs, Index, Scratch};
use record::marking::{Glyph, Seen};
use std::fmt::Write as _;

/// One worn marking and what it is of.
pub struct SearchRequest {
    pub text: String,
    pub seen: Seen,
    /// Row of the part; `None` when no part of the catalogue carries it.
    pub truth: Option<usize>,
    pub clues: Clues,
}

/// A catalogue without the names held out, and the markings.
pub struct Task {
    pub parts: Vec<Part>,
    pub asked: Vec<SearchRequest>,
    /// Parts of this half that are asked for.
    pub names: usize,
}

/// The names on which prices are fitted, and those on which they are measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Half {
    Fitted,
    Measured,
}

/// FNV-1a: the half of a name does not depend on its place.
fn half(name: &str) -> Half {
    let hash = name.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3)
    });
    if hash >> 40 & 1 == 0 {
        Half::Fitted
    } else {
        Half::Measured
    }
}

/// Draws markings of one half of the names. A tenth of these names is taken out of the catalogue,
/// and a tenth of the markings is of them.
pub fn task(all: &[Part], of: Half, wear: Wear, count: usize, seed: u64) -> Task {
    let mut dice = Dice(seed);
    let (mut parts, mut inside, mut outside) = (Vec::new(), Vec::new(), Vec::new());
    for part in all {
        let asked = is_asked_for(part) && half(&part.name) == of;
        if asked && dice.chance(10) {
            outside.push(part);
            continue;
        }
        if asked {
            inside.push(parts.len());
        }
        parts.push(part.clone());
    }
    let mut asked = Vec::with_capacity(count);
    while asked.len() < count {
        let truth = (!dice.chance(10)).then(|| dice.pick(&inside));
        let part = match truth {
            Some(row) => &parts[row],
            None => dice.pick(&outside),
        };
        let text = marking(&part.name, wear, &mut dice);
        let Ok(seen) = Seen::parse(&text) else {
            continue;
        };
        let readable = seen.lines[0].glyphs.iter();
        if readable.filter(|g| matches!(g, Glyph::Read(_))).count() < 2 {
            continue;
        }
        // An exposed pad is counted now and then in the second way.
        let pad = u32::from(wear == Wear::Otherwise && dice.chance(5));
        let package = &part.packages[dice.below(part.packages.len())];
        let clues = Clues {
            package: Some(package.clone()),
            pins: part.pins.map(|n| n + pad),
            ..Clues::default()
        };
        asked.push(SearchRequest {
            text,
            seen,
            truth,
            clues,
        });
    }
    Task {
        parts,
        names: inside.len() + outside.len(),
        asked,
    }
}

/// Reliability in ten bins.
#[derive(Debug, Clone, Default)]
pub struct Reliability {
    /// Number, sum of probabilities, number that were right.
    pub bins: [(usize, f64, usize); 10],
}

impl Reliability {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 to 9"
    )]
    fn add(&mut self, probability: f64, right: bool) {
        let bin = &mut self.bins[((probability * 10.0) as usize).min(9)];
        bin.0 += 1;
        bin.1 += probability;
        bin.2 += usize::from(right);
    }

    /// Expected calibration error: the mean over all answers of |said − came true| of their bin.
    pub fn error(&self) -> f64 {
        let all: usize = self.bins.iter().map(|b| b.0).sum();
        let off = self.bins.iter().map(|b| (b.1 - b.2 as f64).abs());
        off.sum::<f64>() / all.max(1) as f64
    }

    pub fn rows(&self) -> String {
        let mut out =
            String::from("| said | answers | mean said | came true |\n| --- | --- | --- | --- |\n");
        for (i, (n, said, right)) in self.bins.iter().enumerate() {
            let _ = write!(
                out,
                "| {:.1} to {:.1} | {n} |",
                i as f64 / 10.0,
                (i + 1) as f64 / 10.0
            );
            let _ = match *n {
                0 => writeln!(out, " - | - |"),
                n => writeln!(
                    out,
                    " {:.3} | {:.3} |",
                    said / n as f64,
                    *right as f64 / n as f64
                ),
            };
        }
        out
    }
}

/// What came out.
#[derive(Debug, Clone, Default)]
pub struct Measured {
    /// Markings of parts in the catalogue.
    pub inside: usize,
    pub first: usize,
    pub ten: usize,
    pub reciprocal: f64,
    /// The first candidate of each answer; every candidate and "none of these".
    pub top: Reliability,
    pub each: Reliability,
    /// The first candidate, of markings of parts in the catalogue alone.
    pub top_inside: Reliability,
    /// "None of these", over all answers: said, and came true.
    pub absent: Reliability,
    /// Mean probability of "none of these" where that is so and where it is not.
    pub none_outside: f64,
    pub none_inside: f64,
    /// Mean of −ln P(truth), of all markings, of those of parts in the catalogue, and of the others.
    pub loss: f64,
    pub loss_inside: f64,
    pub loss_outside: f64,
    /// Misses at rank 1, by how the part named first resembles the true one, and those among them
    /// whose first candidate is no further from what was read, by plain distance.
    pub misses: [usize; 4],
    pub as_near: usize,
    /// What is lost by guessing among parts that explain the marking exactly as well as the true one,
    /// summed over the markings.
    pub tied: f64,
    pub examples: Vec<String>,
    /// Markings of parts that are not in the catalogue, taken for others.
    pub taken: Vec<String>,
}

impl Measured {
    pub fn recall(&self, hits: usize) -> f64 {
        hits as f64 / self.inside.max(1) as f64
    }

    pub fn mean_reciprocal_rank(&self) -> f64 {
        self.reciprocal / self.inside.max(1) as f64
    }
}

/// What was read of the first line and of those joined to it, as one plain text.
pub fn plain(seen: &Seen) -> Vec<char> {
    let mut text = String::new();
    for glyph in seen.lines.iter().flat_map(|l| &l.glyphs) {
        match glyph {
            Glyph::Read(c) => text.push(*c),
            Glyph::Unreadable => text.push('?'),
            Glyph::OneOf(all) => text.extend(all.first()),
            Glyph::Gap | Glyph::Logo(_) => {}
        }
    }
    similarity::folded(&text)
}

/// Asks for every marking.
pub fn measure(task: &Task, costs: Costs, with_clues: bool) -> Measured {
    let index = Index::of_parts(&task.parts, costs);
    let mut scratch = Scratch::default();
    let mut out = Measured::default();
    let (mut outside, mut row) = (0_usize, Vec::new());
    for asked in &task.asked {
        let clues = if with_clues {
            asked.clues.clone()
        } else {
            Clues::default()
        };
        let answer = index.read(&asked.seen, &clues, &mut scratch);
        for candidate in &answer.candidates {
            out.each
                .add(candidate.probability, Some(candidate.part) == asked.truth);
        }
        out.each.add(answer.none, asked.truth.is_none());
        out.absent.add(answer.none, asked.truth.is_none());
        if let Some(first) = answer.candidates.first() {
            let right = Some(first.part) == asked.truth;
            out.top.add(first.probability, right);
            if asked.truth.is_some() {
                out.top_inside.add(first.probability, right);
            }
        }
        let rank = answer
            .candidates
            .iter()
            .position(|c| Some(c.part) == asked.truth);
        let Some(truth) = asked.truth else {
            outside += 1;
            out.none_outside += answer.none;
            out.loss_outside -= answer.none.max(1e-6).ln();
            if let Some(first) = answer.candidates.first().filter(|_| answer.none < 0.5) {
                out.taken.push(format!(
                    "{} is none, but {} {:.2} (none {:.2})",
                    asked.text, first.name, first.probability, answer.none
                ));
            }
            continue;
        };
        out.inside += 1;
        let price = rank.map(|rank| answer.candidates[rank].total_milli);
        let same = answer
            .candidates
            .iter()
            .filter(|c| Some(c.total_milli) == price);
        let same = same.count().max(1);
        out.tied += 1.0 - 1.0 / same as f64;
        out.none_inside += answer.none;
        let said = rank.map_or(0.0, |rank| answer.candidates[rank].probability);
        out.loss_inside -= said.max(1e-6).ln();
        out.first += usize::from(rank == Some(0));
        out.ten += usize::from(rank.is_some());
        out.reciprocal += rank.map_or(0.0, |rank| 1.0 / (rank as f64 + 1.0));
        if rank == Some(0) {
            continue;
        }
        let name = &task.parts[truth].name;
        let taken = answer.candidates.first().map_or("", |c| &c.name);
        let alike = alike(name, taken);
        out.misses[match alike {
            Similarity::Same => 0,
            Similarity::LookAlike => 1,
            Similarity::Beginning => 2,
            Similarity::No => 3,
        }] += 1;
        let read = plain(&asked.seen);
        let own = distance(&read, &folded(name), &mut row);
        let near = distance(&read, &folded(taken), &mut row) <= own;
        out.as_near += usize::from(near && alike == Similarity::No);
        out.examples.push(format!(
            "{} {name} -> {taken} ({rank:?}, none {:.2})",
            asked.text, answer.none
        ));
    }
    out.loss = out.loss_inside + out.loss_outside;
    out.loss_outside /= outside.max(1) as f64;
    out.loss_inside /= out.inside.max(1) as f64;
    out.loss /= task.asked.len().max(1) as f64;
    out.none_outside /= outside.max(1) as f64;
    out.none_inside /= out.inside.max(1) as f64;
    out
}

/// The same by plain edit distance, ties in the order of the catalogue; with clues, only parts
/// that do not contradict the package and the number of pins: recall at 1 and at 10.
pub fn by_distance(task: &Task, count: usize, with_clues: bool) -> (f64, f64) {
    let names: Vec<Vec<char>> = task.parts.iter().map(|p| folded(&p.name)).collect();
    let (mut inside, mut first, mut ten, mut row) = (0, 0, 0, Vec::new());
    for asked in task.asked.iter().filter(|a| a.truth.is_some()).take(count) {
        let read = plain(&asked.seen);
        let fits = |part: &Part| {
            let package = asked.clues.package.as_ref();
            !with_clues
                || part.pins == asked.clues.pins && part.packages.iter().any(|p| Some(p) == package)
        };
        let kept = (0..names.len()).filter(|i| fits(&task.parts[*i]));
        let mut all: Vec<(usize, usize)> = kept
            .map(|i| (distance(&read, &names[i], &mut row), i))
            .collect();
        let most = all.len().min(10);
        if most > 0 {
            all.select_nth_unstable(most - 1);
        }
        all.truncate(most);
        all.sort_unstable();
        inside += 1;
        first += usize::from(all.first().map(|x| x.1) == asked.truth);
        ten += usize::from(all.iter().any(|x| Some(x.1) == asked.truth));
    }
    let share = |n: usize| n as f64 / f64::from(inside.max(1));
    (share(first), share(ten))
}

/// How many of the parts asked for have a rival that is the same when folded, looks the same, or is
/// the beginning of it or the other way round; with `clues`, only rivals with the same package and
/// number of pins.
pub fn rivals(task: &Task, clues: bool) -> [usize; 3] {
    let mut names: Vec<(Vec<char>, usize)> = task
        .parts
        .iter()
        .enumerate()
        .map(|(i, p)| (similarity::skeleton(&p.name), i))
        .collect();
    names.sort_unstable();
    let mut truths: Vec<usize> = task.asked.iter().filter_map(|a| a.truth).collect();
    truths.sort_unstable();
    truths.dedup();
    let mut out = [0; 3];
    for truth in truths {
        let part = &task.parts[truth];
        let own = similarity::skeleton(&part.name);
        // PrefixIndex of at least five characters, and whatever begins with the whole.
        let mut near = Vec::new();
        for n in 5..=own.len() {
            let key = &own[..n];
            let from = names.partition_point(|(name, _)| &name[..] < key);
            let here = names[from..].iter();
            near.extend(
                here.take_while(|(name, _)| {
                    if n == own.len() {
                        name.starts_with(key)
                    } else {
                        name == key
                    }
                })
                .map(|(_, i)| *i),
            );
        }
        let same = |i: usize| {
            let other = &task.parts[i];
            !clues
                || other.pins == part.pins
                    && other.packages.iter().any(|p| part.packages.contains(p))
        };
        let closest = near
            .into_iter()
            .filter(|i| *i != truth && same(*i))
            .map(|i| alike(&part.name, &task.parts[i].name))
            .min();
        match closest {
            Some(Similarity::Same) => out[0] += 1,
            Some(Similarity::LookAlike) => out[1] += 1,
            Some(Similarity::Beginning) => out[2] += 1,
            _ => {}
        }
    }
    out
}
