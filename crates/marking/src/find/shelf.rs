//! Names stored for finding, and the search through them.
//!
//! In: spelled names. Out: every name whose price can be within the limit, each aligned once.
//! The search is exact: it stops when no name it has not looked at can be within the limit (`plan`),
//! and passes over a name only if the filter proves it too dear. Where the text is too short or the
//! limit too high for the index, every name is aligned.

use crate::find::filter::{self, Name, Text, WORD, packed};
use crate::find::grams::{FAR, Grams, at_place, name_of};
use crate::find::plan::{Bounds, Layout, MOST_WINDOWS};
use crate::model::align::{self, Rows, Target};
use crate::model::costs::{Costs, Milli, NEVER};
use crate::model::fold::Fold;
use crate::model::query::{Query, Spot};
use crate::symbol::{Spelled, Symbol};

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
    /// For each name the number of the search that last aligned it.
    seen: Vec<u32>,
    search: u32,
    lists: Vec<(Milli, u8, u8)>,
    pub(crate) counts: Counts,
}

/// What a search did.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Counts {
    pub(crate) postings: usize,
    pub(crate) aligned: usize,
    pub(crate) scans: usize,
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
            ends: self.bounds.ends,
        }
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
            // The fewest windows that settle it; more of them are shorter and found in more names.
            let enough = (found + 1..=MOST_WINDOWS).find(|n| {
                let next = Layout::new(&text, *n);
                next.windows().len() < *n || next.damage_all(&text, &self.bounds) > taker.limit()
            });
            match enough.map(|n| (n, Layout::new(&text, n).windows().len())) {
                Some((n, possible)) if possible > found && possible == n => wanted = n,
                Some((_, possible)) if possible > found => wanted = possible,
                _ => return self.scan(query, costs, work, taker),
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
                    // There are at most eight windows.
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
            for posting in at_place(postings[window], place) {
                work.counts.postings += 1;
                let name = name_of(*posting);
                let limit = taker.limit();
                if place < FAR && !self.can_be(text, name, from, q, place, query, damage, limit) {
                    continue;
                }
                self.align(name, query, costs, limit, work, taker);
            }
        }
        work.lists = lists;
    }

    /// Whether the filter leaves a name that has a window of the text at a place.
    #[allow(clippy::too_many_arguments, reason = "the state of one search")]
    fn can_be(
        &self,
        text: &Text,
        name: usize,
        from: usize,
        q: usize,
        place: usize,
        query: &Query,
        damage: Milli,
        limit: Milli,
    ) -> bool {
        let folded = Name {
            word: self.words[name],
            len: usize::from(self.lengths[name]),
        };
        // Places are below 16.
        let shift = place as isize - from as isize;
        let edit = self.bounds.counted_edit();
        let budget = (limit / edit.max(1)).clamp(0, 4) as usize;
        let Some(left) = filter::left(text, folded, from, shift, budget) else {
            return false;
        };
        let Some(right) = filter::right(text, folded, from + q, shift, budget - left) else {
            return false;
        };
        let rest = folded.len as isize - text.len as isize - shift;
        // What is missing at an end is paid for, or explained by one more edit on that side.
        let before = match shift {
            s if left == 0 && s >= 0 => self.bounds.lead(s as usize, query.gap_before),
            _ => 0,
        };
        let after = match rest {
            r if right == 0 && r >= 0 => self.bounds.tail(r as usize, query.gap_after),
            _ => 0,
        };
        let price = |more: Milli, ends: Milli| {
            ((left + right) as Milli + more)
                .saturating_mul(edit)
                .max(damage)
                + ends
        };
        let least = price(0, before + after)
            .min(price(1, before.min(after)))
            .min(price(2, 0));
        least <= limit
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
        work.counts.aligned += 1;
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
        work.counts.scans += 1;
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
