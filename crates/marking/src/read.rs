//! Weighing all hypotheses: which line is the part number, which part it names, or none of them.
//!
//! In: a marking, clues, an [`Index`]. Out: an [`Answer`].
//!
//! −ln P(hypothesis) = lines (`lines`) + alignment (`model::align`) + kind of name + part prior
//! − clues (`clues`); for "none of these" the alignment and the part give way to a model of unknown
//! part numbers (`model::unknown`) and of those that are variants of a candidate (`model::variant`).

use crate::answer::{Answer, Candidate, EntryKind, LineReading, Refusal};
use crate::attributes::{PartAttributes, WeighedClues};
use crate::clues::Clues;
use crate::find::name_index::Visitor;
use crate::find::sink::{BEYOND_TENTH, Hit, LISTED, Sink};
use crate::index::{Entry, Index, Scratch};
use crate::lines::{Hypothesis, OTHERS, OtherRoleCosts, Role, hypotheses, otherwise};
use crate::model::align;
use crate::model::costs::{MilliNat, NEVER, milli, nats};
use crate::model::query::Query;
use crate::model::variant;
use crate::symbol::EncodedName;
use record::marking::Seen;

/// Lines beyond are not looked at.
const MOST_LINES: usize = 12;

/// How much thinner names are spread, in nats, for each nat that they are dearer: the estimate of
/// what lies beyond the limit.
const THINNING: f64 = 0.2;

/// Share of unknown variants of a part that the clues fit as they fit the part.
const KIN_ALIKE: f64 = 0.8;

impl Index {
    /// Answers which part carries a marking.
    pub fn read(&self, seen: &Seen, clues: &Clues, scratch: &mut Scratch) -> Answer {
        self.answer(seen, clues, scratch, false)
    }

    /// The same answer, made by scoring every name: slow, and the measure of [`Index::read`].
    pub fn read_scoring_all(&self, seen: &Seen, clues: &Clues, scratch: &mut Scratch) -> Answer {
        self.answer(seen, clues, scratch, true)
    }

    fn answer(&self, seen: &Seen, clues: &Clues, scratch: &mut Scratch, all: bool) -> Answer {
        let lines = &seen.lines[..seen.lines.len().min(MOST_LINES)];
        let Scratch {
            works,
            sink,
            queries,
            joined,
            others,
        } = scratch;
        queries.resize_with(lines.len(), Query::default);
        others.clear();
        for (query, line) in queries.iter_mut().zip(lines) {
            query.set(line.glyphs.iter(), &self.costs);
            others.push(otherwise(query, &self.marks));
        }
        let (ways, no_number) = hypotheses(queries, others, self.costs.split);
        if ways.is_empty() {
            let long = queries.iter().any(Query::is_too_long);
            return Answer::refused(if long {
                Refusal::TooLong
            } else {
                Refusal::NothingRead
            });
        }
        let logo = seen
            .logos()
            .find(|name| crate::vocabulary::has_symbols(name));
        let odds = &self.costs.table().clues;
        let weighed = self
            .marks
            .weigh(clues, logo, odds, |name| self.parts_named(name));
        let base = self.part_price - PartAttributes::most_of(&weighed);
        let unknown_price = milli(-self.costs.table().prior.unknown_share.ln());
        // The text of each way as an unknown part number.
        let texts: Vec<MilliNat> = ways
            .iter()
            .map(|way| way.offset + self.unknown.price(text(way, lines, queries, joined, self)))
            .collect();
        let none: Vec<MilliNat> = texts.iter().map(|t| t + unknown_price).collect();
        let best_none = none
            .iter()
            .copied()
            .min()
            .unwrap_or(NEVER)
            .min(no_number + unknown_price);
        sink.begin(best_none, self.costs.cut, NEVER, BEYOND_TENTH);
        let mut order: Vec<usize> = (0..ways.len()).collect();
        order.sort_by_key(|h| (texts[*h], *h));
        for h in order {
            let way = &ways[h];
            let query = text(way, lines, queries, joined, self);
            let hypothesis = u16::try_from(h).unwrap_or(u16::MAX);
            let least =
                [EntryKind::Name, EntryKind::Alias, EntryKind::Code].map(|k| self.kind_price(k));
            let floor = least.into_iter().min().unwrap_or(0);
            for ((index, entry_of), work) in self.name_indexes.iter().zip(works.iter_mut()) {
                let mut visitor = Weigher {
                    index: self,
                    sink: &mut *sink,
                    query,
                    weighed: &weighed,
                    entry_of,
                    hypothesis,
                    offset: way.offset + self.part_price,
                    floor: way.offset + base + floor,
                };
                if all {
                    index.score_all(query, &self.costs, work.rows(), &mut visitor);
                } else {
                    index.search(query, &self.costs, work, &mut visitor);
                }
            }
            // Parts seen before may cost less than the floor; there are few, so each is aligned.
            for (part, _) in &weighed.seen_before {
                for entry in self.entries_of(*part) {
                    let rows = works[0].rows();
                    let target = self.target(entry);
                    let found = align::price(query, target, &self.costs, self.costs.farthest, rows);
                    if let Some(price) = found {
                        let offset = way.offset + self.part_price;
                        sink.add(self.hit(entry, price, query, offset, hypothesis, &weighed));
                    }
                }
            }
        }
        let limit = sink.limit();
        let hits = sink.finish();
        let kin_price = unknown_price + milli(-self.costs.table().prior.variant_share.ln());
        let mut candidates = Vec::new();
        let mut variant = Vec::new();
        for hit in hits.iter().take(LISTED) {
            let way = &ways[usize::from(hit.hypothesis)];
            let query = text(way, lines, queries, joined, self);
            let (candidate, aligned) = self.candidate(hit, way, query, &weighed);
            let total = self.variant(hit, &candidate, aligned, query);
            variant.push((hit.hypothesis, total.saturating_add(kin_price)));
            candidates.push(candidate);
        }
        let unknown = UnknownPart {
            variant: &variant,
            by_way: &none,
            no_number: no_number + unknown_price,
        };
        let masses = Masses::new(hits, &unknown, &texts, &ways, base, limit);
        for (candidate, probability) in candidates.iter_mut().zip(&masses.hits) {
            candidate.probability = *probability;
        }
        let listed: f64 = masses.hits.iter().take(LISTED).sum();
        Answer {
            candidates,
            none: masses.none,
            unlisted: (1.0 - masses.none - listed).max(0.0),
            estimated: masses.estimated,
            lines: line_readings(&ways, others, hits, &masses),
            refusal: None,
        }
    }

    /// Weighs one name. The price of the alignment is that of two channels: an unworn one, in which
    /// every character is read right, and a worn one. A text with something unreadable went through
    /// the worn one. The cheaper of the two stands for both.
    fn hit(
        &self,
        entry: u32,
        aligned: MilliNat,
        query: &Query,
        offset: MilliNat,
        hypothesis: u16,
        w: &WeighedClues,
    ) -> Hit {
        let price = if query.sharp && aligned > 0 {
            let unworn = align::unworn(query, self.target(entry), &self.costs);
            unworn.min(aligned.saturating_add(self.costs.worn))
        } else {
            aligned
        };
        let Entry { part, kind, .. } = self.entries[entry as usize];
        let odds = &self.costs.table().clues;
        let code = kind == EntryKind::Code;
        let clues = self
            .marks
            .log_odds(part, code, self.symbols(entry).len(), w, odds);
        let total = offset
            .saturating_add(price)
            .saturating_add(self.kind_price(kind) - clues);
        Hit {
            total,
            part,
            entry,
            hypothesis,
            channel: price,
        }
    }

    fn candidate(
        &self,
        hit: &Hit,
        way: &Hypothesis,
        query: &Query,
        weighed: &WeighedClues,
    ) -> (Candidate, MilliNat) {
        let kind = self.entries[hit.entry as usize].kind;
        let name = self.text(hit.entry);
        let target = self.target(hit.entry);
        let odds = &self.costs.table().clues;
        let code = kind == EntryKind::Code;
        let (aligned, alignment) =
            align::trace(query, target, &EncodedName::of(name).chars, &self.costs);
        let candidate = Candidate {
            part: hit.part as usize,
            kind,
            name: name.to_string(),
            probability: 0.0,
            cost: nats(hit.channel),
            total_milli: hit.total,
            alignment,
            factors: self
                .marks
                .factors(hit.part, code, target.symbols.len(), weighed, odds),
            line: way.line,
            joined: way.joined,
        };
        (candidate, aligned)
    }
}

impl Index {
    /// Price of an unknown part that is variant of a candidate, besides the share of such parts. Most
    /// of them share its package and the like, the others are like any part.
    fn variant(
        &self,
        hit: &Hit,
        candidate: &Candidate,
        aligned: MilliNat,
        query: &Query,
    ) -> MilliNat {
        let target = self.target(hit.entry);
        let pairs = &candidate.alignment;
        let changed = variant::price(query, target, pairs, aligned, &self.costs, &self.unknown);
        let clues: f64 = candidate.factors.iter().map(|f| f.log_odds).sum();
        let alike = (KIN_ALIKE * clues.exp() + 1.0 - KIN_ALIKE).ln();
        hit.total
            .saturating_sub(hit.channel)
            .saturating_add(changed)
            .saturating_add(milli(clues - alike))
    }
}

/// Returns the text that a way to read the lines takes for the part number.
fn text<'a>(
    way: &Hypothesis,
    lines: &[record::marking::Line],
    queries: &'a [Query],
    joined: &'a mut Query,
    index: &Index,
) -> &'a Query {
    if !way.joined {
        return &queries[way.line];
    }
    let both = lines[way.line]
        .glyphs
        .iter()
        .chain(&lines[way.line + 1].glyphs);
    joined.set(both, &index.costs);
    joined
}

struct Weigher<'a> {
    index: &'a Index,
    sink: &'a mut Sink,
    query: &'a Query,
    weighed: &'a WeighedClues,
    entry_of: &'a [u32],
    hypothesis: u16,
    offset: MilliNat,
    /// What every name costs besides its alignment, at least.
    floor: MilliNat,
}

impl Visitor for Weigher<'_> {
    fn limit(&self) -> MilliNat {
        let limit = self.sink.limit().saturating_sub(self.floor);
        limit.min(self.index.costs.farthest)
    }

    fn worn_limit(&self) -> MilliNat {
        let worn = if self.query.sharp {
            self.index.costs.worn
        } else {
            0
        };
        let limit = self.sink.limit().saturating_sub(self.floor);
        limit.saturating_sub(worn).min(self.index.costs.farthest)
    }

    fn take(&mut self, name: usize, price: MilliNat) {
        if price > self.index.costs.farthest {
            return;
        }
        let entry = self.entry_of[name];
        let hit = self.index.hit(
            entry,
            price,
            self.query,
            self.offset,
            self.hypothesis,
            self.weighed,
        );
        self.sink.add(hit);
    }
}

/// Shares of all hypotheses.
struct Masses {
    hits: Vec<f64>,
    /// Share of the unknown part, over all ways to read the lines.
    none: f64,
    /// Share of the unknown part for each way to read the lines.
    none_by_way: Vec<f64>,
    estimated: f64,
}

/// Prices of the hypotheses that no part of the catalogue is here.
struct UnknownPart<'a> {
    /// A relative of a known part: way to read the lines, and price.
    variant: &'a [(u16, MilliNat)],
    /// Any other part, for each way to read the lines.
    by_way: &'a [MilliNat],
    /// No line is a part number.
    no_number: MilliNat,
}

impl Masses {
    fn new(
        hits: &[Hit],
        unknown: &UnknownPart<'_>,
        texts: &[MilliNat],
        ways: &[Hypothesis],
        base: MilliNat,
        limit: MilliNat,
    ) -> Self {
        let UnknownPart {
            variant,
            by_way: none,
            no_number,
        } = *unknown;
        let best = hits
            .iter()
            .map(|h| h.total)
            .chain(none.iter().copied())
            .chain(variant.iter().map(|k| k.1))
            .min();
        let best = best.unwrap_or(0).min(no_number);
        let weight = |total: MilliNat| (-nats(total - best)).exp();
        let mut hit_shares: Vec<f64> = hits.iter().map(|h| weight(h.total)).collect();
        let mut none_by_way: Vec<f64> = none.iter().map(|t| weight(*t)).collect();
        for (hypothesis, total) in variant {
            none_by_way[usize::from(*hypothesis)] += weight(*total);
        }
        let none_else = weight(no_number);
        let mut estimated: f64 = texts
            .iter()
            .zip(ways)
            .map(|(text, way)| {
                let room = nats(limit - way.offset - base).max(0.0);
                weight(*text) * (-THINNING * room).exp()
            })
            .sum();
        let all_none = none_by_way.iter().sum::<f64>() + none_else;
        let sum = hit_shares.iter().sum::<f64>() + all_none + estimated;
        hit_shares.iter_mut().for_each(|x| *x /= sum);
        none_by_way.iter_mut().for_each(|x| *x /= sum);
        estimated /= sum;
        Self {
            hits: hit_shares,
            none: all_none / sum,
            none_by_way,
            estimated,
        }
    }
}

fn line_readings(
    ways: &[Hypothesis],
    others: &[OtherRoleCosts],
    hits: &[Hit],
    masses: &Masses,
) -> Vec<LineReading> {
    let mut by_way = masses.none_by_way.clone();
    for (hit, share) in hits.iter().zip(&masses.hits) {
        by_way[usize::from(hit.hypothesis)] += share;
    }
    let without = (masses.none - masses.none_by_way.iter().sum::<f64>()).max(0.0);
    let all = by_way.iter().sum::<f64>() + without;
    let readings = others.iter().enumerate().map(|(line, other)| {
        let holding = ways
            .iter()
            .zip(&by_way)
            .filter(|(way, _)| way.line == line || way.joined && way.line + 1 == line);
        let number: f64 = holding.map(|(_, share)| *share).sum();
        let number = if all > 0.0 {
            (number / all).min(1.0)
        } else {
            0.0
        };
        let mut roles = vec![(Role::PartNumber, number)];
        for (role, price) in OTHERS.into_iter().zip(other.each) {
            roles.push((role, (1.0 - number) * (other.all - price).exp()));
        }
        roles.sort_by(|a, b| b.1.total_cmp(&a.1));
        LineReading { roles }
    });
    readings.collect()
}
