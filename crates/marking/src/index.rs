//! A catalogue made ready for markings.
//!
//! In: parts and a cost table. Out: [`Index`], which any number of threads may ask.
//! Not here: weighing hypotheses against each other (`read`).

use crate::answer::EntryKind;
use crate::attributes::PartAttributes;
use crate::find::name_index::{Effort, NameIndex, SearchBuffers, Visitor};
use crate::find::qgram_index::MOST;
use crate::find::sink::{Hit, Sink};
use crate::lines::OtherRoleCosts;
use crate::model::costs::{Costs, MilliNat, NEVER, milli};
use crate::model::query::Query;
use crate::model::symbol_class::SymbolClasses;
use crate::model::unknown::Unknown;
use crate::symbol::{EncodedName, Symbol};
use catalogue::{Catalogue, Part};
use record::marking::Line;

/// A catalogue made ready for markings.
#[derive(Debug, Clone)]
pub struct Index {
    pub(crate) costs: Costs,
    pub(crate) entries: Vec<Entry>,
    /// First entry of each part.
    first_entry: Vec<u32>,
    texts: String,
    text_begins: Vec<u32>,
    /// Names without and with placeholders, and the entry of each.
    pub(crate) name_indexes: [(NameIndex, Vec<u32>); 2],
    pub(crate) marks: PartAttributes,
    pub(crate) unknown: Unknown,
    /// Parts by their names.
    by_name: Vec<u32>,
    /// Price of any one part of the catalogue being here.
    pub(crate) part_price: MilliNat,
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

/// One name of a part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Entry {
    pub(crate) part: u32,
    pub(crate) kind: EntryKind,
    /// Which shelf.
    open: bool,
    /// Number of the name on its shelf.
    slot: u32,
}

/// Space for questions, used again and again; one for each thread.
#[derive(Debug, Clone, Default)]
pub struct Scratch {
    pub(crate) works: [SearchBuffers; 2],
    pub(crate) sink: Sink,
    pub(crate) queries: Vec<Query>,
    pub(crate) joined: Query,
    pub(crate) others: Vec<OtherRoleCosts>,
}

impl Index {
    /// Makes a catalogue ready, with the built-in cost table.
    pub fn build(catalogue: &Catalogue) -> Self {
        Self::of_parts(catalogue.parts(), Costs::default())
    }

    /// Makes parts ready, with a cost table. Names beyond 2²⁸ are left out.
    pub fn of_parts(parts: &[Part], costs: Costs) -> Self {
        let mut entries = Vec::with_capacity(parts.len());
        let mut first_entry = Vec::with_capacity(parts.len() + 1);
        let mut texts = String::new();
        let mut text_begins = vec![0];
        let mut spelled: [Vec<EncodedName>; 2] = [Vec::new(), Vec::new()];
        let mut entry_of: [Vec<u32>; 2] = [Vec::new(), Vec::new()];
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
                let open = name.is_open();
                let shelf = usize::from(open);
                let slot = number(spelled[shelf].len());
                entry_of[shelf].push(number(entries.len()));
                spelled[shelf].push(name);
                entries.push(Entry {
                    part: number(row),
                    kind,
                    open,
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
            .map(|e| &spelled[usize::from(e.open)][e.slot as usize].symbols[..])
            .collect();
        let unknown = Unknown::new(symbols.into_iter());
        let share = (1.0 - costs.table().prior.unknown_share) / (parts.len().max(1) as f64);
        for (names, entry_of) in spelled.iter_mut().zip(&mut entry_of) {
            let order = alike_together(names, &costs);
            *names = order
                .iter()
                .map(|slot| std::mem::take(&mut names[*slot]))
                .collect();
            *entry_of = order.iter().map(|slot| entry_of[*slot]).collect();
            for (slot, entry) in entry_of.iter().enumerate() {
                entries[*entry as usize].slot = number(slot);
            }
        }
        let [plain, open] = &spelled;
        let name_indexes = [
            (
                NameIndex::new(plain.iter(), false, &costs),
                std::mem::take(&mut entry_of[0]),
            ),
            (
                NameIndex::new(open.iter(), true, &costs),
                std::mem::take(&mut entry_of[1]),
            ),
        ];
        drop(spelled);
        texts.shrink_to_fit();
        let mut out = Self {
            marks: PartAttributes::new(parts),
            part_price: milli(-share.ln()),
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
        let Entry { open, slot, .. } = self.entries[entry as usize];
        self.name_indexes[usize::from(open)]
            .0
            .target(slot as usize)
            .symbols
    }

    pub(crate) fn target(&self, entry: u32) -> crate::model::align::Target<'_> {
        let Entry { open, slot, .. } = self.entries[entry as usize];
        self.name_indexes[usize::from(open)].0.target(slot as usize)
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

    /// Price of a part being marked with this kind of name.
    pub(crate) fn kind_price(&self, kind: EntryKind) -> MilliNat {
        let names = self.costs.table().names;
        milli(match kind {
            EntryKind::Name => names.name,
            EntryKind::Alias => names.alias,
            EntryKind::Code => names.code,
        })
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
        let Scratch {
            works,
            sink,
            joined,
            ..
        } = scratch;
        joined.set(line.glyphs.iter(), &self.costs);
        if joined.is_too_long() {
            return Vec::new();
        }
        sink.begin(NEVER, NEVER, limit, 0);
        for (shelf, work) in self.name_indexes.iter().zip(works.iter_mut()) {
            let mut visitor = Nearest {
                sink: &mut *sink,
                entry_of: &shelf.1,
                entries: &self.entries,
            };
            shelf.0.search(joined, &self.costs, work, &mut visitor);
        }
        let hits = sink.finish().iter().take(crate::LISTED);
        hits.map(|hit| (hit.part as usize, hit.total)).collect()
    }
}

/// Order of names by their classes: those that a search looks at together lie together in memory.
fn alike_together(names: &[EncodedName], costs: &Costs) -> Vec<usize> {
    let classes_of = SymbolClasses::new(costs);
    let word = |name: &EncodedName| {
        let classes = name.symbols.iter().take(16);
        let word = classes.fold(0_u64, |w, s| w << 4 | u64::from(classes_of.class(*s)));
        word.checked_shl(4 * (16 - name.symbols.len().min(16)) as u32)
            .unwrap_or(0)
    };
    let mut order: Vec<(u64, usize)> = names.iter().map(word).zip(0..).collect();
    order.sort_unstable();
    order.into_iter().map(|(_, slot)| slot).collect()
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
