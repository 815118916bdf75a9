//! Names stored for finding, and the search through them.
//!
//! In: spelled names. Out: every name whose price can be within the limit, each aligned once.
//! The search is exact: it stops when no name it has not looked at can be within the limit (`plan`),
//! and passes over a name only if the filter proves it too dear. Where the text is too short or the
//! limit too high for the index, every name is aligned.

use crate::find::filter::{Check, Name, Text, WORD, packed};
use crate::find::grams::{FAR, Grams, at_place, name_of};
use crate::find::plan::{Bounds, Layout, MOST_WINDOWS};
use crate::model::align::{self, Rows, Target};
use crate::model::costs::{Costs, Milli, NEVER};
use crate::model::fold::Fold;
use crate::model::query::{Query, Spot};
use crate::symbol::{Spelled, Symbol};

/// Names fetched together.
const BATCH: usize = 32;

/// Names that are searched with the same bounds.
#[derive(Debug, Clone)]
pub(crate) struct Shelf {
    symbols: Vec<Symbol>,
    begins: Vec<u32>,
    words: Vec<u64>,
    lengths: Vec<u8>,
    ends: Vec<(u8, u8)>,
    grams: Grams,
    bounds: Bounds,
    fold: Fold,
}

/// Space for a search, used again and again.
#[derive(Debug, Clone, Default)]
pub(crate) struct Work {
    rows: Rows,
    /// For each name the number of the search that last aligned it, counted up to 255.
    seen: Vec<u8>,
    search: u8,
    lists: Vec<(Milli, u8, u8)>,
    pub(crate) effort: Effort,
}

/// What searches took.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Effort {
    /// Places looked at in the index.
    pub postings: usize,
    /// Names aligned.
    pub aligned: usize,
    /// Times that every name was aligned.
    pub scans: usize,
}

/// What a search asks of its caller.
pub(crate) trait Taker {
    /// The greatest price of an alignment that still matters.
    fn limit(&self) -> Milli;
    /// Takes the price of a name.
    fn take(&mut self, name: usize, price: Milli);
}

impl Shelf {
    /// Stores names; with `open`, swaps may be as cheap as a placeholder.
    pub(crate) fn new<'a>(
        names: impl Iterator<Item = &'a Spelled>,
        open: bool,
        costs: &Costs,
    ) -> Self {
        let fold = Fold::new(costs);
        let mut classes = Vec::new();
        let (mut symbols, mut begins) = (Vec::new(), vec![0]);
        let (mut words, mut lengths, mut ends) = (Vec::new(), Vec::new(), Vec::new());
        for name in names {
            symbols.extend_from_slice(&name.symbols);
            begins.push(u32::try_from(symbols.len()).unwrap_or(u32::MAX));
            let folded = || name.symbols.iter().map(|s| fold.class(*s));
            classes.extend(folded());
            words.push(packed(folded()));
            lengths.push(u8::try_from(name.symbols.len()).unwrap_or(u8::MAX));
            ends.push((name.prefix, name.suffix));
        }
        symbols.shrink_to_fit();
        let placeholder = costs.swap[0][usize::from(crate::symbol::PLACEHOLDER)];
        let swap = if open {
            fold.least_swap.min(placeholder)
        } else {
            fold.least_swap
        };
        Self {
            grams: Grams::new(&classes, &begins),
            bounds: Bounds::new(costs, swap),
            symbols,
            begins,
            words,
            lengths,
            ends,
            fold,
        }
    }

    /// Number of names.
    pub(crate) fn len(&self) -> usize {
        self.words.len()
    }

    /// Bytes held.
    pub(crate) fn bytes(&self) -> usize {
        self.grams.bytes() + self.symbols.len() + self.len() * (4 + 8 + 1 + 2)
    }

    /// Returns a name as the alignment takes it.
    pub(crate) fn target(&self, name: usize) -> Target<'_> {
        let (prefix, suffix) = self.ends[name];
        Target {
            symbols: &self.symbols[self.begins[name] as usize..self.begins[name + 1] as usize],
            prefix,
            suffix,
        }
    }

    fn text(&self, query: &Query) -> Text {
        let mut wild = 0;
        let mut word = 0;
        for (i, spot) in query.spots.iter().enumerate().take(WORD) {
            match spot {
                Spot::Read(s) => word |= u64::from(self.fold.class(*s)) << (4 * i),
                Spot::OneOf(choices) => {
                    let mut classes = choices.iter().map(|s| self.fold.class(*s));
                    let first = classes.next().unwrap_or(0);
                    if classes.all(|c| c == first) {
                        word |= u64::from(first) << (4 * i);
                    } else {
                        wild |= 1 << (4 * i);
                    }
                }
                Spot::Any => wild |= 1 << (4 * i),
            }
        }
        Text {
            word,
            wild,
            len: query.len(),
            most_added: query.most_added(),
            gap_before: query.gap_before,
            gap_after: query.gap_after,
            compared: 0,
        }
        .ready()
    }

    /// Finds every name that can be within the limit.
    pub(crate) fn search(
        &self,
        query: &Query,
        costs: &Costs,
        work: &mut Work,
        taker: &mut impl Taker,
    ) {
        if self.len() == 0 {
            return;
        }
        work.begin(self.len());
        let text = self.text(query);
        let mut damage = 0;
        let mut wanted = (text.len.min(WORD) + 1).div_euclid(5).clamp(2, 3);
        loop {
            let layout = Layout::new(&text, wanted);
            let found = layout.windows().len();
            let all = layout.damage_all(&text, &self.bounds);
            if found > 0 {
                self.look_up(query, &text, &layout, damage, costs, work, taker);
            }
            if all > taker.limit() {
                return;
            }
            damage = damage.max(all);
            // One window more: shorter ones are found in more names, but the limit falls as soon as
            // something is found.
            wanted = found + 1;
            if Layout::new(&text, wanted).windows().len() == found {
                self.scan(query, costs, work, taker);
                return;
            }
        }
    }

    #[allow(clippy::too_many_arguments, reason = "the state of one search")]
    fn look_up(
        &self,
        query: &Query,
        text: &Text,
        layout: &Layout,
        damage: Milli,
        costs: &Costs,
        work: &mut Work,
        taker: &mut impl Taker,
    ) {
        let mut postings: [&[u32]; MOST_WINDOWS] = [&[]; MOST_WINDOWS];
        let mut lists = std::mem::take(&mut work.lists);
        lists.clear();
        let limit = taker.limit();
        for (i, &(from, q)) in layout.windows().iter().enumerate() {
            let mut run = [0; 5];
            for (k, class) in run.iter_mut().enumerate().take(q) {
                *class = (text.word >> (4 * (from + k)) & 15) as u8;
            }
            postings[i] = self.grams.of(&run[..q]);
            if postings[i].is_empty() {
                continue;
            }
            let bounds = layout.first_intact(i, damage, query.gap_before, &self.bounds);
            for (place, bound) in (0_u8..).zip(bounds) {
                if bound <= limit {
                    lists.push((bound, i as u8, place));
                }
            }
        }
        lists.sort_unstable();
        for &(bound, window, place) in &lists {
            if bound > taker.limit() {
                break;
            }
            let (window, place) = (usize::from(window), usize::from(place));
            let (from, q) = layout.windows()[window];
            // Places are below 16.
            let shift = place as isize - from as isize;
            let lengths = match place {
                FAR => (0, FAR),
                _ => {
                    let spent = layout.damage_first(window, &self.bounds);
                    self.bounds
                        .lengths(text, shift, bound, spent, taker.limit())
                }
            };
            let list = at_place(postings[window], place, lengths);
            work.effort.postings += list.len();
            let mut batch = [Name { word: 0, len: 0 }; BATCH];
            for some in list.chunks(BATCH) {
                // All names of a batch are fetched before the first is looked at, so that the
                // processor waits for memory once.
                for (name, posting) in batch.iter_mut().zip(some) {
                    let number = name_of(*posting);
                    *name = Name {
                        word: self.words[number],
                        len: usize::from(self.lengths[number]),
                    };
                }
                for (name, posting) in batch.iter().zip(some) {
                    let limit = taker.limit();
                    if place < FAR && self.least(text, *name, (from, q), shift, limit) > limit {
                        continue;
                    }
                    self.align(name_of(*posting), query, costs, limit, work, taker);
                }
            }
        }
        work.lists = lists;
    }

    /// Least price of a name that has a window of the text so many places further on.
    fn least(
        &self,
        text: &Text,
        name: Name,
        (from, q): (usize, usize),
        shift: isize,
        room: Milli,
    ) -> Milli {
        let check = Check {
            text,
            name,
            bounds: &self.bounds,
        };
        let left = check.left(from, shift, room);
        if left > room {
            return left;
        }
        left + check.right(from + q, shift, room - left)
    }

    fn align(
        &self,
        name: usize,
        query: &Query,
        costs: &Costs,
        limit: Milli,
        work: &mut Work,
        taker: &mut impl Taker,
    ) {
        if std::mem::replace(&mut work.seen[name], work.search) == work.search {
            return;
        }
        work.effort.aligned += 1;
        let price = align::price(query, self.target(name), costs, limit, &mut work.rows);
        if let Some(price) = price {
            taker.take(name, price);
        }
    }

    /// Aligns every name.
    pub(crate) fn scan(
        &self,
        query: &Query,
        costs: &Costs,
        work: &mut Work,
        taker: &mut impl Taker,
    ) {
        work.effort.scans += 1;
        for name in 0..self.len() {
            let limit = taker.limit();
            self.align(name, query, costs, limit, work, taker);
        }
    }

    /// Aligns every name with no limit but the taker's own rule at the end.
    pub(crate) fn score_all(
        &self,
        query: &Query,
        costs: &Costs,
        rows: &mut Rows,
        taker: &mut impl Taker,
    ) {
        for name in 0..self.len() {
            if let Some(price) = align::price(query, self.target(name), costs, NEVER, rows) {
                taker.take(name, price);
            }
        }
    }
}

impl Work {
    /// Space for one alignment.
    pub(crate) fn rows(&mut self) -> &mut Rows {
        &mut self.rows
    }

    fn begin(&mut self, names: usize) {
        if self.seen.len() < names {
            self.seen.resize(names, 0);
        }
        self.search = match self.search.checked_add(1) {
            Some(next) => next,
            None => {
                self.seen.fill(0);
                1
            }
        };
    }
}
