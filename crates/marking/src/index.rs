//! A catalogue made ready for markings.
//!
//! In: parts and a cost table. Out: [`Index`], which any number of threads may ask.
//! Not here: weighing hypotheses against each other (`read`).

use crate::answer::EntryKind;
use crate::attributes::PartAttributes;
use crate::find::gram_trie::MOST;
use crate::find::name_index::{Effort, NameIndex, SearchBuffers, Visitor};
use crate::find::sink::{Hit, Sink};
use crate::model::costs::{Costs, MilliNat, milli};
use crate::model::query::Query;
use crate::model::unknown::Unknown;
use crate::shelf::{SHELVES, Shelf};
use crate::stored::{StoredError, ensure, put, take, take_begins, take_exactly};
use crate::symbol::{EncodedName, Symbol};
use catalogue::{Catalogue, Part};
use record::marking::Line;
use std::io::{self, Read, Write};

/// A catalogue made ready for markings.
#[derive(Debug, Clone)]
pub struct Index {
    pub(crate) costs: Costs,
    pub(crate) entries: Vec<Entry>,
    /// First entry of each part.
    first_entry: Vec<u32>,
    texts: String,
    text_begins: Vec<u32>,
    /// The names of each shelf, and the entry of each.
    pub(crate) name_indexes: [(NameIndex, Vec<u32>); SHELVES],
    pub(crate) marks: PartAttributes,
    pub(crate) unknown: Unknown,
    /// Parts by their names.
    by_name: Vec<u32>,
    /// Price of any one part of the catalogue being here.
    pub(crate) part_price: MilliNat,
    /// How many top-marking codes the catalogue has.
    pub(crate) listed_codes: usize,
}

impl Scratch {
    /// What all questions asked with this space took.
    pub fn effort(&self) -> Effort {
        let mut sum = Effort::default();
        for Effort {
            postings,
            compared,
            aligned,
            scans,
        } in self.works.iter().map(|w| w.effort)
        {
            sum.postings += postings;
            sum.compared += compared;
            sum.aligned += aligned;
            sum.scans += scans;
        }
        sum
    }
}

/// Counts the top-marking codes among the names of parts.
fn listed_codes(entries: &[Entry]) -> usize {
    let codes = entries.iter().filter(|e| e.kind == EntryKind::Code);
    codes.count()
}

/// One name of a part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Entry {
    pub(crate) part: u32,
    pub(crate) kind: EntryKind,
    pub(crate) shelf: Shelf,
    /// Number of the name on its shelf.
    slot: u32,
}

/// Space for questions, used again and again; one for each thread.
#[derive(Debug, Clone, Default)]
pub struct Scratch {
    pub(crate) works: [SearchBuffers; SHELVES],
    pub(crate) sink: Sink,
}

impl Index {
    /// Makes a catalogue ready, with the built-in cost table.
    pub fn build(catalogue: &Catalogue) -> Self {
        Self::of_parts(catalogue.parts(), Costs::default())
    }

    /// Makes parts ready, with a cost table. Names beyond 2²⁶ are left out.
    pub fn of_parts(parts: &[Part], costs: Costs) -> Self {
        let mut entries = Vec::with_capacity(parts.len());
        let mut first_entry = Vec::with_capacity(parts.len() + 1);
        let mut texts = String::new();
        let mut text_begins = vec![0];
        let mut spelled: [Vec<EncodedName>; SHELVES] = Default::default();
        let mut entry_of: [Vec<u32>; SHELVES] = Default::default();
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        for (row, part) in parts.iter().enumerate() {
            first_entry.push(number(entries.len()));
            let names = std::iter::once((EntryKind::Name, &part.name))
                .chain(part.aliases.iter().map(|a| (EntryKind::Alias, a)))
                .chain(part.codes.iter().map(|c| (EntryKind::Code, &c.text)));
            for (kind, text) in names {
                let mut name = EncodedName::of(text);
                if name.symbols.is_empty() || entries.len() >= MOST {
                    continue;
                }
                name.chars = Vec::new();
                name.symbols.shrink_to_fit();
                let shelf = Shelf::of(kind, &name);
                let slot = number(spelled[shelf.number()].len());
                entry_of[shelf.number()].push(number(entries.len()));
                spelled[shelf.number()].push(name);
                entries.push(Entry {
                    part: number(row),
                    kind,
                    shelf,
                    slot,
                });
                texts.push_str(text);
                text_begins.push(number(texts.len()));
            }
        }
        first_entry.push(number(entries.len()));
        let symbols: Vec<&[Symbol]> = entries
            .iter()
            .filter(|e| e.kind == EntryKind::Name)
            .map(|e| &spelled[e.shelf.number()][e.slot as usize].symbols[..])
            .collect();
        let unknown = Unknown::new(symbols.into_iter());
        let share = (1.0 - costs.table().prior.unknown_share) / (parts.len().max(1) as f64);
        for (names, entry_of) in spelled.iter_mut().zip(&mut entry_of) {
            let order = in_order(names);
            *names = order
                .iter()
                .map(|slot| std::mem::take(&mut names[*slot]))
                .collect();
            *entry_of = order.iter().map(|slot| entry_of[*slot]).collect();
            for (slot, entry) in entry_of.iter().enumerate() {
                entries[*entry as usize].slot = number(slot);
            }
        }
        let name_indexes = std::array::from_fn(|shelf| {
            let open = Shelf::numbered(shelf).open;
            let names = NameIndex::new(spelled[shelf].iter(), open, &costs);
            (names, std::mem::take(&mut entry_of[shelf]))
        });
        drop(spelled);
        texts.shrink_to_fit();
        let mut out = Self {
            marks: PartAttributes::new(parts),
            part_price: milli(-share.ln()),
            listed_codes: listed_codes(&entries),
            by_name: Vec::new(),
            costs,
            entries,
            first_entry,
            texts,
            text_begins,
            name_indexes,
            unknown,
        };
        out.by_name = out.sorted_by_name(parts.len());
        out
    }

    /// Writes all but the cost table.
    pub(crate) fn put(&self, to: &mut dyn Write) -> io::Result<()> {
        let numbers = |of: fn(&Entry) -> u32| self.entries.iter().map(of).collect::<Vec<u32>>();
        put(to, &numbers(|e| e.part))?;
        put(to, &numbers(|e| e.kind as u32))?;
        put(to, &numbers(|e| e.shelf.number() as u32))?;
        put(to, &numbers(|e| e.slot))?;
        put(to, &self.first_entry)?;
        put(to, self.texts.as_bytes())?;
        put(to, &self.text_begins)?;
        for (names, entry_of) in &self.name_indexes {
            names.put(to)?;
            put(to, entry_of)?;
        }
        self.marks.put(to)?;
        self.unknown.put(to)?;
        put(to, &self.by_name)?;
        put(to, &[self.part_price])
    }

    /// Reads all but the cost table.
    pub(crate) fn take(from: &mut dyn Read, costs: Costs) -> Result<Self, StoredError> {
        let what = "entries";
        let part: Vec<u32> = take(from)?;
        let count = part.len();
        let [kind, shelf, slot] = {
            let mut next = || take_exactly::<u32>(from, count, what);
            [next()?, next()?, next()?]
        };
        let kinds = [EntryKind::Name, EntryKind::Alias, EntryKind::Code];
        ensure(kind.iter().all(|k| (*k as usize) < kinds.len()), what)?;
        let entry = |at: usize| Entry {
            part: part[at],
            kind: kinds[kind[at] as usize],
            shelf: Shelf::numbered(shelf[at] as usize),
            slot: slot[at],
        };
        let entries: Vec<Entry> = (0..count).map(entry).collect();
        let first_entry = take_begins(from, count, what)?;
        let parts = first_entry.len() - 1;
        let texts = String::from_utf8(take(from)?).map_err(|_| StoredError::Contents(what))?;
        let text_begins = take_begins(from, texts.len(), what)?;
        ensure(text_begins.len() == count + 1, what)?;
        let mut shelf = |number: usize| {
            let open = Shelf::numbered(number).open;
            let names = NameIndex::take(from, open, &costs)?;
            let entry_of: Vec<u32> = take_exactly(from, names.len(), what)?;
            ensure(entry_of.iter().all(|e| (*e as usize) < count), what)?;
            Ok::<_, StoredError>((names, entry_of))
        };
        let name_indexes = [shelf(0)?, shelf(1)?, shelf(2)?, shelf(3)?];
        let stands = |e: &Entry| {
            let (names, _) = &name_indexes[e.shelf.number()];
            (e.part as usize) < parts && (e.slot as usize) < names.len()
        };
        ensure(entries.iter().all(stands), what)?;
        let marks = PartAttributes::take(from, parts)?;
        let unknown = Unknown::take(from)?;
        let by_name: Vec<u32> = take(from)?;
        let named = |row: &u32| {
            let row = *row as usize;
            row < parts && first_entry[row] < first_entry[row + 1]
        };
        ensure(by_name.iter().all(named), what)?;
        let price: Vec<MilliNat> = take_exactly(from, 1, what)?;
        Ok(Self {
            marks,
            part_price: price[0],
            listed_codes: listed_codes(&entries),
            by_name,
            costs,
            entries,
            first_entry,
            texts,
            text_begins,
            name_indexes,
            unknown,
        })
    }

    fn sorted_by_name(&self, parts: usize) -> Vec<u32> {
        let mut rows: Vec<u32> = (0..parts)
            .filter(|row| self.first_entry[*row] < self.first_entry[*row + 1])
            .filter_map(|row| u32::try_from(row).ok())
            .collect();
        rows.sort_by_cached_key(|row| (first_eight(self.first_name(*row)), *row));
        rows
    }

    fn first_name(&self, part: u32) -> &[Symbol] {
        self.symbols(self.first_entry[part as usize])
    }

    /// Returns the parts whose first name is spelled like this.
    pub(crate) fn parts_named(&self, name: &EncodedName) -> Vec<u32> {
        let key = first_eight(&name.symbols);
        let from = self
            .by_name
            .partition_point(|row| first_eight(self.first_name(*row)) < key);
        let near = self.by_name[from..].iter();
        near.take_while(|row| first_eight(self.first_name(**row)) == key)
            .filter(|row| self.first_name(**row) == name.symbols)
            .copied()
            .collect()
    }

    pub(crate) fn symbols(&self, entry: u32) -> &[Symbol] {
        self.target(entry).symbols
    }

    pub(crate) fn target(&self, entry: u32) -> crate::model::align::Target<'_> {
        let Entry { shelf, slot, .. } = self.entries[entry as usize];
        let (names, _) = &self.name_indexes[shelf.number()];
        names.target(slot as usize)
    }

    pub(crate) fn text(&self, entry: u32) -> &str {
        let range = self.text_begins[entry as usize]..self.text_begins[entry as usize + 1];
        self.texts
            .get(range.start as usize..range.end as usize)
            .unwrap_or("")
    }

    pub(crate) fn entries_of(&self, part: u32) -> std::ops::Range<u32> {
        self.first_entry[part as usize]..self.first_entry[part as usize + 1]
    }

    /// Returns the number of parts.
    pub fn parts(&self) -> usize {
        self.first_entry.len() - 1
    }

    /// Returns the cost table in use.
    pub fn costs(&self) -> &Costs {
        &self.costs
    }

    /// Bytes held by the names and their index, words of packages and makers not counted.
    pub fn bytes(&self) -> usize {
        let name_indexes = self
            .name_indexes
            .iter()
            .map(|(s, e)| s.bytes() + e.len() * 4)
            .sum::<usize>();
        let lists = self.first_entry.len() + self.text_begins.len() + self.by_name.len();
        let entries = self.entries.len() * size_of::<Entry>();
        name_indexes + lists * 4 + entries + self.texts.len() + self.marks.bytes()
    }

    /// Returns the parts whose names are nearest to one line, by the price of the alignment alone:
    /// up to ten within `limit` (thousandths of a nat), ties in the order of the catalogue.
    pub fn nearest(
        &self,
        line: &Line,
        limit: MilliNat,
        scratch: &mut Scratch,
    ) -> Vec<(usize, MilliNat)> {
        let Scratch { works, sink } = scratch;
        let mut query = Query::default();
        query.set(line.glyphs.iter(), &self.costs);
        if query.is_too_long() {
            return Vec::new();
        }
        sink.begin_nearest(limit);
        for (shelf, work) in self.name_indexes.iter().zip(works.iter_mut()) {
            let mut visitor = Nearest {
                sink: &mut *sink,
                entry_of: &shelf.1,
                entries: &self.entries,
            };
            shelf.0.search(&query, &self.costs, work, &mut visitor);
        }
        let hits = sink.finish().iter().take(crate::LISTED);
        hits.map(|hit| (hit.part as usize, hit.total)).collect()
    }
}

/// Order of names by their symbols: those that a search looks at together lie together in memory.
fn in_order(names: &[EncodedName]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..names.len()).collect();
    order.sort_by_cached_key(|slot| (first_eight(&names[*slot].symbols), *slot));
    order
}

/// The first eight symbols as a number that sorts like them.
fn first_eight(symbols: &[Symbol]) -> u64 {
    (0..8).fold(0, |key, i| {
        key << 8 | symbols.get(i).map_or(0, |s| u64::from(*s) + 1).min(255)
    })
}

struct Nearest<'a> {
    sink: &'a mut Sink,
    entry_of: &'a [u32],
    entries: &'a [Entry],
}

impl Visitor for Nearest<'_> {
    fn limit(&self) -> MilliNat {
        self.sink.limit()
    }

    fn take(&mut self, name: usize, price: MilliNat) {
        let entry = self.entry_of[name];
        let part = self.entries[entry as usize].part;
        self.sink.add(Hit {
            total: price,
            part,
            entry,
            hypothesis: 0,
            channel: price,
        });
    }
}
