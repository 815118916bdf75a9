//! Names stored for finding, and the search through them.
//!
//! In: spelled names. Out: every name whose price can be within the limit, each aligned once.
//! The search (`search`) is exact: it passes over a name only if its bounds prove it too dear. Where the text
//! is too short or the limit too high for the index, every name is aligned.

use crate::find::bounds::Bounds;
use crate::find::gram_trie::GramTrie;
use crate::find::search::Place;
use crate::model::align::{self, Rows, Target};
use crate::model::costs::{Costs, MilliNat};
use crate::model::query::{Query, Spot};
use crate::stored::{StoredError, ensure, put, take, take_begins, take_exactly};
use crate::symbol::{EncodedName, LONGEST, Symbol};
use std::io::{self, Read, Write};

/// Symbols that a row holds.
const HEAD: usize = 13;

/// Symbols that names are ordered by.
pub(crate) const ORDERED: usize = 8;

/// Fewer names than this are aligned one by one: a trie of them would take more space and time than it saves.
const FEW_NAMES: usize = 256;

/// Most names of one beginning that are weighed before a search.
const BEGINNINGS: usize = 64;

/// A name as far as it fits, so that most are fetched from one place.
#[derive(Debug, Clone, Copy)]
#[repr(align(16))]
pub(crate) struct Row {
    head: [Symbol; HEAD],
    len: u8,
    prefix: u8,
    suffix: u8,
}

/// Names that are searched with the same bounds.
#[derive(Debug, Clone)]
pub(crate) struct NameIndex {
    rows: Vec<Row>,
    symbols: Vec<Symbol>,
    begins: Vec<u32>,
    /// The length of each name.
    lengths: Vec<u8>,
    /// Runs at the beginning of names, and all others.
    pub(crate) tries: [GramTrie; 2],
    pub(crate) bounds: Bounds,
    /// Names have placeholders, which differ from what was read without any wear.
    pub(crate) open: bool,
}

/// Names one after the other, and where each begins.
#[derive(Default)]
struct Spelled {
    symbols: Vec<Symbol>,
    begins: Vec<u32>,
    prefixes: Vec<u8>,
    suffixes: Vec<u8>,
}

/// Space for a search, used again and again.
#[derive(Debug, Clone, Default)]
pub(crate) struct SearchBuffers {
    rows: Rows,
    /// For each name the number of the search that last aligned it, counted up to 255.
    seen: Vec<u8>,
    search: u8,
    /// Places to be compared.
    pub(crate) found: Vec<Place>,
    pub(crate) effort: Effort,
}

/// What searches took.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Effort {
    /// Places looked at in the index.
    pub postings: usize,
    /// Names compared class by class.
    pub compared: usize,
    /// Names aligned.
    pub aligned: usize,
    /// Times that every name was aligned.
    pub scans: usize,
}

/// What a search asks of its caller.
pub(crate) trait Visitor {
    /// The greatest price of an alignment that still matters.
    fn limit(&self) -> MilliNat;
    /// Takes the price of a name.
    fn take(&mut self, name: usize, price: MilliNat);
}

impl NameIndex {
    /// Stores names; with `open`, swaps may be as cheap as a placeholder.
    pub(crate) fn new<'a>(
        names: impl Iterator<Item = &'a EncodedName>,
        open: bool,
        costs: &Costs,
    ) -> Self {
        let mut spelled = Spelled {
            begins: vec![0],
            ..Spelled::default()
        };
        for name in names {
            spelled.symbols.extend_from_slice(&name.symbols);
            let end = u32::try_from(spelled.symbols.len()).unwrap_or(u32::MAX);
            spelled.begins.push(end);
            spelled.prefixes.push(name.prefix);
            spelled.suffixes.push(name.suffix);
        }
        spelled.symbols.shrink_to_fit();
        Self::of(spelled, open, costs)
    }

    fn of(spelled: Spelled, open: bool, costs: &Costs) -> Self {
        let names = spelled.begins.windows(2).enumerate();
        let row = |(name, range): (usize, &[u32])| {
            let symbols = &spelled.symbols[range[0] as usize..range[1] as usize];
            let mut head = [0; HEAD];
            let stored = head.iter_mut().zip(symbols);
            stored.for_each(|(place, s)| *place = *s);
            Row {
                head,
                len: u8::try_from(symbols.len()).unwrap_or(u8::MAX),
                prefix: spelled.prefixes[name],
                suffix: spelled.suffixes[name],
            }
        };
        let rows: Vec<Row> = names.map(row).collect();
        let runs = |first| match rows.len() {
            0..FEW_NAMES => GramTrie::default(),
            _ => GramTrie::new(&spelled.symbols, &spelled.begins, first),
        };
        Self {
            tries: [true, false].map(runs),
            lengths: rows.iter().map(|row| row.len).collect(),
            bounds: Bounds::new(costs),
            open,
            symbols: spelled.symbols,
            begins: spelled.begins,
            rows,
        }
    }

    /// Writes the names; what is looked up in follows from them.
    pub(crate) fn put(&self, to: &mut dyn Write) -> io::Result<()> {
        put(to, &self.symbols)?;
        put(to, &self.begins)?;
        put(to, &self.rows.iter().map(|r| r.prefix).collect::<Vec<u8>>())?;
        put(to, &self.rows.iter().map(|r| r.suffix).collect::<Vec<u8>>())
    }

    /// Reads names that were written with the same cost table.
    pub(crate) fn take(
        from: &mut dyn Read,
        open: bool,
        costs: &Costs,
    ) -> Result<Self, StoredError> {
        let what = "names";
        let symbols: Vec<Symbol> = take(from)?;
        let begins = take_begins(from, symbols.len(), what)?;
        let names = begins.len() - 1;
        let longest = begins.windows(2).map(|w| w[1] - w[0]).max();
        ensure(longest.unwrap_or(0) as usize <= LONGEST, what)?;
        let spelled = Spelled {
            prefixes: take_exactly(from, names, what)?,
            suffixes: take_exactly(from, names, what)?,
            symbols,
            begins,
        };
        Ok(Self::of(spelled, open, costs))
    }

    /// Number of names.
    pub(crate) fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether names are looked for in the tries, not one by one.
    pub(crate) fn has_tries(&self) -> bool {
        self.len() >= FEW_NAMES
    }

    /// Bytes held.
    pub(crate) fn bytes(&self) -> usize {
        let each = 4 + 1 + size_of::<Row>();
        let tries: usize = self.tries.iter().map(GramTrie::bytes).sum();
        tries + self.symbols.len() + self.len() * each
    }

    /// Returns what is stored of a name in one place.
    pub(crate) fn row(&self, name: u32) -> Row {
        self.rows[name as usize]
    }

    /// Returns a name as the alignment takes it.
    pub(crate) fn target(&self, name: usize) -> Target<'_> {
        self.target_of(name, &self.rows[name])
    }

    /// The same, for a name whose row is at hand.
    pub(crate) fn target_of<'a>(&'a self, name: usize, row: &'a Row) -> Target<'a> {
        Target {
            symbols: match row.head.get(..usize::from(row.len)) {
                Some(symbols) => symbols,
                None => &self.symbols[self.begins[name] as usize..self.begins[name + 1] as usize],
            },
            prefix: row.prefix,
            suffix: row.suffix,
        }
    }

    /// Returns the length of a name.
    pub(crate) fn length(&self, name: usize) -> usize {
        usize::from(self.lengths[name])
    }

    /// Weighs names that begin with what was read, a few where there are many, so that the limit of a search is
    /// near its end from the start. Names stand in the order of their first [`ORDERED`] symbols.
    pub(crate) fn look_at_beginnings(
        &self,
        query: &Query,
        costs: &Costs,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        let read = query.spots.iter().map_while(|spot| match spot {
            Spot::Read(symbol) => Some(*symbol),
            _ => None,
        });
        let text: Vec<Symbol> = read.take(ORDERED).collect();
        let head = |row: &Row| row.head[..text.len().min(row.len.into())].cmp(&text);
        let from = self.rows.partition_point(|row| head(row).is_lt());
        let begun = self.rows[from..].iter().take_while(|row| head(row).is_eq());
        let behind = self.bounds.behind(query.gap_after);
        for name in (from..).take(begun.take(BEGINNINGS).count()) {
            let (target, limit) = (self.target(name), visitor.limit());
            if let Some(price) = align::price(query, target, costs, limit, behind, work.rows()) {
                visitor.take(name, price);
            }
        }
    }

    /// Aligns every name.
    pub(crate) fn scan(
        &self,
        query: &Query,
        costs: &Costs,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        work.effort.scans += 1;
        let behind = self.bounds.behind(query.gap_after);
        for name in 0..self.len() {
            if !work.has_seen(name) {
                work.effort.aligned += 1;
                let (target, limit) = (self.target(name), visitor.limit());
                if let Some(price) =
                    align::price(query, target, costs, limit, behind, &mut work.rows)
                {
                    visitor.take(name, price);
                }
            }
        }
    }

    /// Aligns every name, with no limit but that of the model.
    pub(crate) fn score_all(
        &self,
        query: &Query,
        costs: &Costs,
        farthest: MilliNat,
        rows: &mut Rows,
        visitor: &mut impl Visitor,
    ) {
        let behind = self.bounds.behind(query.gap_after);
        for name in 0..self.len() {
            if let Some(price) =
                align::price(query, self.target(name), costs, farthest, behind, rows)
            {
                visitor.take(name, price);
            }
        }
    }
}

impl SearchBuffers {
    /// Space for one alignment.
    pub(crate) fn rows(&mut self) -> &mut Rows {
        &mut self.rows
    }

    /// Whether this search has aligned a name.
    pub(crate) fn has_seen(&self, name: usize) -> bool {
        self.seen[name] == self.search
    }

    /// Notes that this search has aligned a name.
    pub(crate) fn see(&mut self, name: usize) {
        self.seen[name] = self.search;
    }

    pub(crate) fn begin(&mut self, names: usize) {
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
