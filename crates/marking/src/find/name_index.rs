//! Names stored for finding, and the search through them.
//!
//! In: spelled names. Out: every name whose price can be within the limit, each aligned once.
//! The search is exact: it stops when no name it has not looked at can be within the limit (`plan`),
//! and passes over a name only if the filter proves it too dear. Where the text is too short or the
//! limit too high for the index, every name is aligned.

use crate::find::edited_window::WindowHit;
use crate::find::filter::{Text, WORD, packed};
use crate::find::plan::{Bounds, Layout};
use crate::find::prefix_index::PrefixIndex;
use crate::find::qgram_index::QGramIndex;
use crate::find::search::SearchRequest;
use crate::find::unmatched::Unmatched;
use crate::model::align::{self, Rows, Target};
use crate::model::costs::{Costs, MilliNat};
use crate::model::query::{Query, Spot};
use crate::model::symbol_class::SymbolClasses;
use crate::stored::{StoredError, ensure, put, take, take_begins, take_exactly};
use crate::symbol::{EncodedName, LONGEST, Symbol};
use std::io::{self, Read, Write};

/// Symbols that a row holds.
const HEAD: usize = 13;

/// A name as far as it fits, so that most are fetched from one place.
#[derive(Debug, Clone, Copy)]
#[repr(align(16))]
struct Row {
    head: [Symbol; HEAD],
    len: u8,
    prefix: u8,
    suffix: u8,
}

/// Names that are fetched together.
pub(crate) const TOGETHER: usize = 16;

/// Names that are searched with the same bounds.
#[derive(Debug, Clone)]
pub(crate) struct NameIndex {
    rows: Vec<Row>,
    symbols: Vec<Symbol>,
    begins: Vec<u32>,
    /// The first classes of each name.
    pub(crate) words: Vec<u64>,
    /// The length of each name.
    pub(crate) lengths: Vec<u8>,
    pub(crate) prefixes: PrefixIndex,
    pub(crate) grams: QGramIndex,
    pub(crate) bounds: Bounds,
    /// Names have placeholders, which differ from what was read without any wear.
    pub(crate) open: bool,
    classes_of: SymbolClasses,
}

/// Names one after the other, and where each begins.
#[derive(Default)]
struct Spelled {
    symbols: Vec<Symbol>,
    begins: Vec<u32>,
    prefixes: Vec<u8>,
    suffixes: Vec<u8>,
}

/// The same in classes.
struct Folded {
    classes: Vec<u8>,
    words: Vec<u64>,
    classes_of: SymbolClasses,
}

impl Folded {
    fn of(spelled: &Spelled, costs: &Costs) -> Self {
        let classes_of = SymbolClasses::new(costs);
        let folded = spelled.symbols.iter().map(|s| classes_of.class(*s));
        let classes: Vec<u8> = folded.collect();
        let names = spelled.begins.windows(2);
        let word = |w: &[u32]| packed(classes[w[0] as usize..w[1] as usize].iter().copied());
        Self {
            words: names.map(word).collect(),
            classes,
            classes_of,
        }
    }
}

/// Space for a search, used again and again.
#[derive(Debug, Clone, Default)]
pub(crate) struct SearchBuffers {
    rows: Rows,
    /// For each name the number of the search that last aligned it, counted up to 255.
    seen: Vec<u8>,
    search: u8,
    pub(crate) lists: Vec<(MilliNat, u8, u8)>,
    /// Names to be aligned, with the least they cost.
    pub(crate) found: Vec<(MilliNat, u32)>,
    pub(crate) words: Vec<u64>,
    /// Names that hold a damaged window.
    pub(crate) hits: Vec<WindowHit>,
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
    /// The same for a name that only wear explains: of which the text is no piece, nor the reverse.
    fn worn_limit(&self) -> MilliNat {
        self.limit()
    }
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
        let folded = Folded::of(&spelled, costs);
        let grams = QGramIndex::new(&folded.classes, &spelled.begins, &folded.words);
        Self::of(spelled, folded, grams, open, costs)
    }

    fn of(spelled: Spelled, folded: Folded, grams: QGramIndex, open: bool, costs: &Costs) -> Self {
        let Folded {
            words, classes_of, ..
        } = folded;
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
        let placeholder = costs.swap[0][usize::from(crate::symbol::PLACEHOLDER)];
        let swap = if open {
            classes_of.least_swap.min(placeholder)
        } else {
            classes_of.least_swap
        };
        Self {
            grams,
            prefixes: PrefixIndex::new(&words),
            lengths: rows.iter().map(|row| row.len).collect(),
            bounds: Bounds::new(costs, swap),
            open,
            symbols: spelled.symbols,
            begins: spelled.begins,
            words,
            rows,
            classes_of,
        }
    }

    /// Writes the names and their postings.
    pub(crate) fn put(&self, to: &mut dyn Write) -> io::Result<()> {
        put(to, &self.symbols)?;
        put(to, &self.begins)?;
        put(to, &self.rows.iter().map(|r| r.prefix).collect::<Vec<u8>>())?;
        put(to, &self.rows.iter().map(|r| r.suffix).collect::<Vec<u8>>())?;
        self.grams.put(to)
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
        let folded = Folded::of(&spelled, costs);
        ensure(PrefixIndex::fits(&folded.words), what)?;
        let grams = QGramIndex::take(from, names)?;
        Ok(Self::of(spelled, folded, grams, open, costs))
    }

    /// Number of names.
    pub(crate) fn len(&self) -> usize {
        self.words.len()
    }

    /// Bytes held.
    pub(crate) fn bytes(&self) -> usize {
        let each = 4 + 8 + 1 + size_of::<Row>();
        self.grams.bytes() + self.prefixes.bytes() + self.symbols.len() + self.len() * each
    }

    /// Returns a name as the alignment takes it.
    pub(crate) fn target(&self, name: usize) -> Target<'_> {
        let row = &self.rows[name];
        Target {
            symbols: match row.head.get(..usize::from(row.len)) {
                Some(symbols) => symbols,
                None => &self.symbols[self.begins[name] as usize..self.begins[name + 1] as usize],
            },
            prefix: row.prefix,
            suffix: row.suffix,
        }
    }

    /// Has names fetched from memory together, so that one need not wait for the other.
    pub(crate) fn fetch(&self, names: &[(MilliNat, u32)]) {
        let lengths = names.iter().map(|(_, name)| self.rows[*name as usize].len);
        std::hint::black_box(lengths.fold(0, |all, len| all ^ len));
    }

    /// Returns the length of a name.
    pub(crate) fn length(&self, name: usize) -> usize {
        usize::from(self.lengths[name])
    }

    fn text(&self, query: &Query) -> Text {
        let mut wild = 0;
        let mut word = 0;
        for (i, spot) in query.spots.iter().enumerate().take(WORD) {
            match spot {
                Spot::Read(s) => word |= u64::from(self.classes_of.class(*s)) << (4 * i),
                Spot::OneOf(choices) => {
                    let mut classes = choices.iter().map(|s| self.classes_of.class(*s));
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
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        if self.len() == 0 {
            return;
        }
        work.begin(self.len());
        let text = self.text(query);
        let request = SearchRequest {
            query,
            costs,
            text: &text,
            unmatched: &Unmatched::new(&text, &self.bounds),
        };
        let mut damage = self.look_up_edited_prefix(&request, work, visitor);
        if self.is_beyond(damage, &request, work, visitor) {
            return;
        }
        let mut wanted = (text.len.min(WORD) + 1).div_euclid(5).clamp(2, 3);
        loop {
            let layout = Layout::new(&text, wanted);
            let found = layout.windows().len();
            let all = layout.damage_all(&text, &self.bounds);
            if found > 0 {
                self.look_up(&request, &layout, damage, work, visitor);
            }
            if self.is_beyond(all, &request, work, visitor) {
                return;
            }
            if self.look_up_edited_window(&request, &layout, work, visitor) {
                return;
            }
            damage = damage.max(all);
            // One window more: shorter ones are found in more names, but the limit falls as soon as
            // something is found.
            wanted = found + 1;
            if Layout::new(&text, wanted).windows().len() == found {
                self.scan(query, costs, work, visitor);
                return;
            }
        }
    }

    /// The greatest price of a name with an edit. On an open index what looks like one may be a
    /// placeholder.
    pub(crate) fn worn_limit(&self, visitor: &impl Visitor) -> MilliNat {
        if self.open {
            visitor.limit()
        } else {
            visitor.worn_limit()
        }
    }

    /// Whether names whose damage costs at least so much need not be looked at. Those that hold the
    /// text or are held by it are not worn and may cost a little more: when it depends on them, they
    /// are looked up.
    fn is_beyond(
        &self,
        damage: MilliNat,
        request: &SearchRequest<'_>,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) -> bool {
        if damage > visitor.limit() {
            return true;
        }
        if damage <= self.worn_limit(visitor) {
            return false;
        }
        self.look_up_inside(request, work, visitor);
        true
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
        for name in 0..self.len() {
            if !work.has_seen(name) {
                work.effort.aligned += 1;
                let (target, limit) = (self.target(name), visitor.limit());
                if let Some(price) = align::price(query, target, costs, limit, &mut work.rows) {
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
        for name in 0..self.len() {
            if let Some(price) = align::price(query, self.target(name), costs, farthest, rows) {
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
