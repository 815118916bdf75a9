//! The ways to read the lines of a marking: which of them, or which piece of one, holds the part number.
//!
//! In: the lines as seen. Out: [`Ways`]: texts that may be the part number, each with the price of all
//! else being something other, and what each line is otherwise.
//!
//! A line holds the part number whole, or up to a space or from one on; two lines that follow each
//! other may hold it together. A date may stand right behind it, and a lot letter behind a short code.
//! Not here: what else a line may be (`lines`), which part it is (`read`).

use crate::attributes::PartAttributes;
use crate::codes;
use crate::lines::{OtherRoleCosts, four_digit_date, otherwise};
use crate::model::costs::{Costs, MilliNat, milli, nats};
use crate::model::query::Query;
use record::marking::{Glyph, Line};

/// Price of each line or word that the part number stands further down, nats.
const FURTHER_DOWN: f64 = 0.5;
/// Share of markings without any part number.
const NO_NUMBER: f64 = 0.1;
/// A line is taken apart into so many words at most.
const MOST_WORDS: usize = 5;
/// Characters of a date behind a part number, and the fewest before it.
const DATE: usize = 4;
const BEFORE_DATE: usize = 4;
/// Most characters of a lot behind a top-marking code.
const LOT: usize = 2;

/// One way to read the lines: this text is the part number, the rest something else.
#[derive(Debug, Clone)]
pub(crate) struct Way {
    /// First line of the part number.
    pub(crate) line: usize,
    /// Whether the next line belongs to it.
    pub(crate) joined: bool,
    /// Price of all other text and of this choice.
    pub(crate) offset: MilliNat,
    /// The text can only be a top-marking code.
    pub(crate) only_code: bool,
    pub(crate) query: Query,
}

/// All ways to read a marking.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ways {
    pub(crate) ways: Vec<Way>,
    /// What each line is when it is no part number.
    pub(crate) others: Vec<OtherRoleCosts>,
    /// Price of there being no part number.
    pub(crate) no_number: MilliNat,
    /// Whether a line was too long.
    pub(crate) too_long: bool,
}

/// One line, whole and in words.
struct Parted<'a> {
    line: &'a Line,
    whole: Query,
    /// Glyphs of each word.
    words: Vec<std::ops::Range<usize>>,
    /// Price of each word as something else than a part number, nats.
    word_other: Vec<f64>,
    other: OtherRoleCosts,
    /// Price of the whole line as something else, in one or in words, nats.
    all: f64,
}

impl<'a> Parted<'a> {
    fn new(line: &'a Line, costs: &Costs, marks: &PartAttributes) -> Self {
        let mut whole = Query::default();
        whole.set(line.glyphs.iter(), costs);
        let other = otherwise(&whole, marks);
        let words = words(line);
        let mut word_other = Vec::new();
        let mut all = other.all;
        if words.len() > 1 {
            let mut query = Query::default();
            for word in &words {
                query.set(line.glyphs[word.clone()].iter(), costs);
                word_other.push(otherwise(&query, marks).all);
            }
            let apart =
                word_other.iter().sum::<f64>() + (words.len() - 1) as f64 * nats(costs.space);
            all = -((-all).exp() + (-apart).exp()).max(1e-300).ln();
        }
        Self {
            line,
            whole,
            words,
            word_other,
            other,
            all,
        }
    }
}

/// Glyphs of each word of a line; the last one takes the rest.
fn words(line: &Line) -> Vec<std::ops::Range<usize>> {
    let blank = |glyph: &Glyph| matches!(glyph, Glyph::Read(c) if c.is_whitespace());
    let mut out: Vec<std::ops::Range<usize>> = Vec::new();
    let mut inside = false;
    for (i, glyph) in line.glyphs.iter().enumerate() {
        if blank(glyph) {
            inside = false;
            continue;
        }
        let full = out.len() == MOST_WORDS;
        match out.last_mut() {
            Some(last) if inside || full => last.end = i + 1,
            _ => out.push(i..i + 1),
        }
        inside = true;
    }
    out
}

impl Ways {
    /// Finds the ways to read lines; `small` tells whether the package is a tiny one, where known.
    pub(crate) fn new(
        lines: &[Line],
        costs: &Costs,
        marks: &PartAttributes,
        small: Option<bool>,
    ) -> Self {
        let parted: Vec<Parted<'_>> = lines
            .iter()
            .map(|line| Parted::new(line, costs, marks))
            .collect();
        let all: f64 = parted.iter().map(|p| p.all).sum();
        let mut out = Self {
            no_number: milli(all - NO_NUMBER.ln()),
            too_long: parted.iter().any(|p| p.whole.is_too_long()),
            ..Self::default()
        };
        let number = -(1.0 - NO_NUMBER).ln();
        for (line, own) in parted.iter().enumerate() {
            let place = all - own.all + line as f64 * FURTHER_DOWN + number;
            out.add(line, own.whole.clone(), place);
            out.add_words(line, own, place, costs);
            if own.words.len() == 1 {
                out.add_beginnings(line, own, place, small, costs);
            }
            let Some(next) = parted.get(line + 1) else {
                continue;
            };
            let open = own.whole.gap_after || next.whole.gap_before;
            if !open && own.whole.len() > 0 && next.whole.len() > 0 {
                let mut query = Query::default();
                query.set(own.line.glyphs.iter().chain(&next.line.glyphs), costs);
                out.add(line, query, place - next.all + nats(costs.split));
                if let Some(way) = out.ways.last_mut().filter(|way| way.line == line) {
                    way.joined = true;
                }
            }
        }
        out.others = parted.into_iter().map(|p| p.other).collect();
        out
    }

    fn add(&mut self, line: usize, query: Query, price: f64) {
        if query.len() > 0 && !query.is_too_long() {
            self.ways.push(Way {
                line,
                joined: false,
                offset: milli(price),
                only_code: false,
                query,
            });
        }
    }

    /// Some of the words of a line are the part number, the others something else.
    fn add_words(&mut self, line: usize, own: &Parted<'_>, place: f64, costs: &Costs) {
        let words = &own.words;
        let space = nats(costs.space);
        for from in 0..words.len() {
            for to in from + 1..=words.len() {
                if to - from == words.len() {
                    continue;
                }
                let others = own.word_other[..from].iter().chain(&own.word_other[to..]);
                let apart = words.len() - (to - from);
                let price = others.sum::<f64>() + apart as f64 * space;
                let glyphs = &own.line.glyphs[words[from].start..words[to - 1].end];
                let mut query = Query::default();
                query.set(glyphs.iter(), costs);
                self.add(line, query, place + price + from as f64 * FURTHER_DOWN);
            }
        }
    }

    /// A date or a lot letter stands right behind the part number or code.
    fn add_beginnings(
        &mut self,
        line: usize,
        own: &Parted<'_>,
        place: f64,
        small: Option<bool>,
        costs: &Costs,
    ) {
        let glyphs = &own.line.glyphs;
        let Some((before, date)) = glyphs.split_last_chunk::<DATE>() else {
            return self.add_lot_letter(line, own, place, small, costs);
        };
        let mut end = Query::default();
        end.set(date.iter(), costs);
        let mut query = Query::default();
        query.set(before.iter(), costs);
        if let Some(price) = four_digit_date(&end)
            && query.len() >= BEFORE_DATE
            && own.whole.len() == query.len() + DATE
        {
            self.add(line, query, place + price + nats(costs.glued));
        }
        self.add_lot_letter(line, own, place, small, costs);
    }

    fn add_lot_letter(
        &mut self,
        line: usize,
        own: &Parted<'_>,
        place: f64,
        small: Option<bool>,
        costs: &Costs,
    ) {
        // A letter alone, or with a digit or letter behind it.
        for more in 1..=LOT {
            let Some(at) = own.line.glyphs.len().checked_sub(more) else {
                return;
            };
            let (before, lot) = own.line.glyphs.split_at(at);
            let mut query = Query::default();
            query.set(before.iter(), costs);
            let read = lot.iter().all(|glyph| matches!(glyph, Glyph::Read(_)));
            let whole = read && own.whole.len() == query.len() + more;
            if whole && query.len() > 1 && codes::share(&query, small, costs).is_some() {
                let price = costs.table().codes.lot_letter * more as f64;
                self.add(line, query, place + price);
                if let Some(way) = self.ways.last_mut() {
                    way.only_code = true;
                }
            }
        }
    }
}
