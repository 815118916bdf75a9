//! What becomes of a name: a channel that draws a marking, and the probability of one it has drawn.
//!
//! In: a name and the rates of a kind of wear. Out: what is seen of it; P(seen | name), summed over
//! every way the channel can have taken.
//!
//! The prefix or suffix is dropped, or another put on; the ends are rubbed; letters are passed one by
//! one (read, confused, unreadable, one of two, lost, doubled, exchanged with the next, a key beside);
//! a scratch takes a run of them.
//! Limit: markings of which too little is left are drawn again, which the sum does not know.

use super::Random;
use super::glyphs::Confusions;
use super::text::{LETTERS, Letter, OPEN, PLAIN, Seen, Segment, Spelled};

/// Rates of one kind of wear.
#[derive(Debug, Clone, Copy)]
pub struct Rates {
    /// How many times as often as in the pictures a letter is confused.
    pub confused: f64,
    pub unreadable: f64,
    pub either: f64,
    pub lost: f64,
    pub doubled: f64,
    pub exchanged: f64,
    pub beside: f64,
    /// Each end, rubbed by one to four letters.
    pub rubbed: f64,
    pub scratched: bool,
    pub prefix_dropped: f64,
    pub prefix_added: f64,
    pub suffix_dropped: f64,
    pub suffix_added: f64,
}

impl Rates {
    /// Nothing but an exact reading.
    pub const NONE: Self = Self {
        confused: 0.0,
        unreadable: 0.0,
        either: 0.0,
        lost: 0.0,
        doubled: 0.0,
        exchanged: 0.0,
        beside: 0.0,
        rubbed: 0.0,
        scratched: false,
        prefix_dropped: 0.0,
        prefix_added: 0.0,
        suffix_dropped: 0.0,
        suffix_added: 0.0,
    };
}

/// Shares of one to four letters rubbed from an end.
const RUBBED: [f64; 4] = [0.4, 0.3, 0.2, 0.1];
/// Share of rubbed ends that are noted.
const NOTED: f64 = 0.5;
/// A scratch takes one to four letters, equally likely; shares of its being written as a gap, and
/// otherwise counted right, one short, one over.
const SCRATCH: usize = 4;
const SCRATCH_GAP: f64 = 0.25;
const COUNTED: [f64; 3] = [0.7, 0.15, 0.15];

pub const PREFIXES: [&str; 10] = ["X", "S", "MC", "KA", "UA", "NE", "TL", "PZ", "U", "HT"];
pub const SUFFIXES: [&str; 10] = ["TR", "T", "R", "G", "G4", "PBF", "E3", "NOPB", "RL", "7"];

/// Rows of a keyboard, each half a key to the right of the one above; common practice.
const KEYS: [&str; 4] = ["1234567890", "QWERTYUIOP", "ASDFGHJKL", "ZXCVBNM"];

/// A channel made ready: P(read | letter).
#[derive(Debug, Clone)]
pub struct Channel {
    pub rates: Rates,
    /// By the letter of the name and the one read; rows sum to one.
    read: Vec<[f64; LETTERS]>,
    /// The other of "one of two", by the true letter; rows of plain letters sum to one.
    other: Vec<[f64; PLAIN]>,
}

fn neighbours(letter: usize) -> Vec<usize> {
    let of = |c: u8| super::text::letter(c as char).map(usize::from);
    let mut at = None;
    for (r, row) in KEYS.iter().enumerate() {
        for (k, c) in row.bytes().enumerate() {
            if of(c) == Some(letter) {
                at = Some((r as i32, k as i32));
            }
        }
    }
    let Some((r, k)) = at else { return Vec::new() };
    let places = [
        (r, k - 1),
        (r, k + 1),
        (r - 1, k),
        (r - 1, k + 1),
        (r + 1, k - 1),
        (r + 1, k),
    ];
    let key = |(r, k): (i32, i32)| {
        let row = KEYS.get(usize::try_from(r).ok()?)?;
        of(*row.as_bytes().get(usize::try_from(k).ok()?)?)
    };
    places.into_iter().filter_map(key).collect()
}

impl Channel {
    pub fn new(rates: Rates) -> Self {
        let looks = Confusions::seen();
        let mut read = vec![[0.0; LETTERS]; LETTERS];
        let mut other = vec![[0.0; PLAIN]; LETTERS];
        for c in 0..PLAIN {
            let wrong = (rates.confused * looks.wrong(c)).min(0.5);
            let scale = wrong / looks.wrong(c).max(1e-12);
            let keys = neighbours(c);
            for d in 0..PLAIN {
                if d != c {
                    read[c][d] += scale * looks.shares[c][d];
                    other[c][d] = (looks.shares[c][d] + 1e-3) / (looks.wrong(c) + 35e-3);
                }
            }
            keys.iter()
                .for_each(|k| read[c][*k] += rates.beside / keys.len() as f64);
            read[c][c] = 1.0 - read[c].iter().sum::<f64>();
        }
        (PLAIN..LETTERS - 1).for_each(|c| read[c][c] = 1.0);
        // An open place is printed as any letter, which is then read.
        let open = usize::from(OPEN);
        for c in 0..PLAIN {
            for d in 0..PLAIN {
                read[open][d] += read[c][d] / PLAIN as f64;
            }
        }
        Self { rates, read, other }
    }

    /// Draws what is seen of a name.
    pub fn draw(&self, name: &Spelled, random: &mut Random) -> Segment {
        loop {
            let out = self.once(name, random);
            if out.letters_read() >= 3.min(name.len()) {
                return out;
            }
        }
    }

    fn once(&self, name: &Spelled, random: &mut Random) -> Segment {
        let bases = self.bases(name);
        let weights: Vec<f64> = bases.iter().map(|(_, p)| *p).collect();
        let mut base = bases[random.weighted(&weights)].0.clone();
        for l in &mut base.letters {
            if *l == OPEN {
                *l = random.below(PLAIN) as Letter;
            }
        }
        let n = base.len();
        let rub = |random: &mut Random| {
            let k = random
                .happens(self.rates.rubbed)
                .then(|| 1 + random.weighted(&RUBBED));
            k.map_or((0, false), |k| (k, random.happens(NOTED)))
        };
        let (before, after) = (rub(random), rub(random));
        if before.0 + after.0 + 2 > n {
            return Segment::default();
        }
        let scratch = self.rates.scratched.then(|| {
            let long = 1 + random.below(SCRATCH.min(n - 3));
            (random.below(n - long + 1), long)
        });
        let mut out = Segment::default();
        if before.1 {
            out.push(Seen::Gap, false);
        }
        let mut j = before.0;
        let end = n - after.0;
        while j < end {
            if let Some((from, long)) = scratch
                && j == from
            {
                self.scratch(long, &mut out, random);
                j += long;
                continue;
            }
            let whole = scratch.is_none_or(|(from, _)| j + 1 != from) && j + 1 < end;
            j += self.letter(&base, j, whole, &mut out, random);
        }
        if after.1 {
            out.push(Seen::Gap, false);
        }
        out
    }

    fn scratch(&self, long: usize, out: &mut Segment, random: &mut Random) {
        if random.happens(SCRATCH_GAP) {
            out.push(Seen::Gap, false);
            return;
        }
        let counted = [long, long - 1, long + 1][random.weighted(&COUNTED)];
        (0..counted).for_each(|_| out.push(Seen::Unreadable, false));
    }

    /// Passes one letter, or two that are exchanged; returns how many.
    fn letter(
        &self,
        b: &Spelled,
        j: usize,
        pair: bool,
        out: &mut Segment,
        r: &mut Random,
    ) -> usize {
        let rates = &self.rates;
        let (letter, hyphen) = (b.letters[j], b.hyphen[j]);
        let exchanged = if pair { rates.exchanged } else { 0.0 };
        let single = 1.0 - rates.lost - rates.doubled - exchanged;
        let row = |l: Letter| &self.read[usize::from(l)];
        match r.weighted(&[rates.lost, rates.doubled, exchanged, single]) {
            0 => {}
            1 => {
                let seen = Seen::Read(r.weighted(row(letter)) as Letter);
                out.push(seen, hyphen);
                out.push(seen, false);
            }
            2 => {
                let next = b.letters[j + 1];
                out.push(Seen::Read(r.weighted(row(next)) as Letter), hyphen);
                out.push(
                    Seen::Read(r.weighted(row(letter)) as Letter),
                    b.hyphen[j + 1],
                );
                return 2;
            }
            _ if r.happens(rates.unreadable) => out.push(Seen::Unreadable, hyphen),
            _ if usize::from(letter) < PLAIN && r.happens(rates.either) => {
                let other = r.weighted(&self.other[usize::from(letter)]) as Letter;
                let first = r.happens(0.5);
                let (a, b) = if first {
                    (letter, other)
                } else {
                    (other, letter)
                };
                out.push(Seen::Either(a, b), hyphen);
            }
            _ => out.push(Seen::Read(r.weighted(row(letter)) as Letter), hyphen),
        }
        1
    }

    /// What the letters passed on can be, with its probability.
    fn bases(&self, name: &Spelled) -> Vec<(Spelled, f64)> {
        let r = &self.rates;
        let mut out = Vec::new();
        let mut whole = 1.0;
        let mut add = |base: Spelled, p: f64, whole: &mut f64| {
            if p > 0.0 {
                *whole -= p;
                out.push((base, p));
            }
        };
        if let Some(n) = name.prefix() {
            add(name.cut(n, name.len()), r.prefix_dropped, &mut whole);
        }
        if let Some(n) = name.suffix() {
            add(name.cut(0, name.len() - n), r.suffix_dropped, &mut whole);
        }
        for text in PREFIXES {
            add(
                name.with(text, ""),
                r.prefix_added / PREFIXES.len() as f64,
                &mut whole,
            );
        }
        for text in SUFFIXES {
            add(
                name.with("", text),
                r.suffix_added / SUFFIXES.len() as f64,
                &mut whole,
            );
        }
        out.push((name.clone(), whole));
        out
    }

    /// P(seen | name).
    pub fn probability(&self, seen: &[Seen], name: &Spelled, space: &mut Vec<f64>) -> f64 {
        let bases = self.bases(name);
        let each = bases
            .iter()
            .map(|(base, p)| p * self.sum(seen, &base.letters, space));
        each.sum()
    }

    fn emits(&self, letter: Letter, seen: Seen) -> f64 {
        let r = &self.rates;
        let l = usize::from(letter);
        let either = if l < PLAIN || letter == OPEN {
            r.either
        } else {
            0.0
        };
        match seen {
            Seen::Unreadable => r.unreadable,
            Seen::Read(s) => (1.0 - r.unreadable) * (1.0 - either) * self.read[l][usize::from(s)],
            Seen::Gap => 0.0,
            Seen::Either(a, b) => {
                let (a, b) = (usize::from(a), usize::from(b));
                let pair = self.other[a][b] + self.other[b][a];
                let share = match l {
                    _ if letter == OPEN => pair / PLAIN as f64,
                    _ if l == a => self.other[a][b],
                    _ if l == b => self.other[b][a],
                    _ => 0.0,
                };
                (1.0 - r.unreadable) * either * share / 2.0
            }
        }
    }

    /// P(seen | letter) of one letter by itself.
    pub fn reads(&self, letter: Letter, seen: Seen) -> f64 {
        self.emits(letter, seen)
    }

    fn plainly(&self, letter: Letter, seen: Seen) -> f64 {
        match seen {
            Seen::Read(s) => self.read[usize::from(letter)][usize::from(s)],
            _ => 0.0,
        }
    }

    /// Sum over every way from a row of letters to what is seen. Two layers: before and after the
    /// scratch; without one the first is all.
    fn sum(&self, seen: &[Seen], base: &[Letter], space: &mut Vec<f64>) -> f64 {
        let r = &self.rates;
        let (t, n) = (seen.len(), base.len());
        let width = n + 1;
        let layer = (t + 1) * width;
        space.clear();
        space.resize(2 * layer, 0.0);
        let rub = |k: usize, noted: bool| match k {
            0 if noted => 0.0,
            0 => 1.0 - r.rubbed,
            1..=4 => r.rubbed * RUBBED[k - 1] * if noted { NOTED } else { 1.0 - NOTED },
            _ => 0.0,
        };
        for k in 0..=4.min(n) {
            space[k] = rub(k, false);
            if seen.first() == Some(&Seen::Gap) {
                space[width + k] = rub(k, true);
            }
        }
        let layers = if r.scratched { 2 } else { 1 };
        for l in 0..layers {
            for i in 0..=t {
                for j in 0..n {
                    let here = space[l * layer + i * width + j];
                    if here > 0.0 {
                        let at = l * layer + i * width + j;
                        self.onward(seen, base, (i, j), here, &mut space[at..], width);
                        if r.scratched && l == 0 {
                            scratches(&seen[i..], n, j, here, &mut space[layer + at..], width);
                        }
                    }
                }
            }
        }
        let last = (layers - 1) * layer;
        let ends = |i: usize, noted: bool, space: &[f64]| -> f64 {
            (0..=4.min(n))
                .map(|k| space[last + i * width + n - k] * rub(k, noted))
                .sum()
        };
        let mut sum = ends(t, false, space);
        if seen.last() == Some(&Seen::Gap) {
            sum += ends(t - 1, true, space);
        }
        sum
    }

    /// Passes on what one letter can become; `to` begins at the place come from.
    fn onward(
        &self,
        seen: &[Seen],
        base: &[Letter],
        (i, j): (usize, usize),
        here: f64,
        to: &mut [f64],
        width: usize,
    ) {
        let r = &self.rates;
        let letter = base[j];
        let pair = if j + 1 < base.len() { r.exchanged } else { 0.0 };
        let single = 1.0 - r.lost - r.doubled - pair;
        to[1] += here * r.lost;
        let Some(first) = seen.get(i) else { return };
        to[width + 1] += here * single * self.emits(letter, *first);
        let Some(second) = seen.get(i + 1) else {
            return;
        };
        if r.doubled > 0.0 && first == second {
            to[2 * width + 1] += here * r.doubled * self.plainly(letter, *first);
        }
        if pair > 0.0 {
            let both = self.plainly(base[j + 1], *first) * self.plainly(letter, *second);
            to[2 * width + 2] += here * pair * both;
        }
    }
}

fn scratches(rest: &[Seen], n: usize, j: usize, here: f64, to: &mut [f64], width: usize) {
    let most = SCRATCH.min(n.saturating_sub(3)).max(1);
    let unreadable = rest.iter().take_while(|s| **s == Seen::Unreadable).count();
    for long in 1..=most.min(n - j) {
        let p = here / (most as f64 * (n - long + 1) as f64);
        if rest.first() == Some(&Seen::Gap) {
            to[width + long] += p * SCRATCH_GAP;
        }
        for (counted, share) in [long, long - 1, long + 1].into_iter().zip(COUNTED) {
            if counted <= unreadable {
                to[counted * width + long] += p * (1.0 - SCRATCH_GAP) * share;
            }
        }
    }
}
