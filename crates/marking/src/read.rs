//! Weighing all hypotheses: which line is the part number, which part it names, or none of them.
//!
//! In: a marking, clues, an [`Index`]. Out: an [`Answer`].
//!
//! −ln P(hypothesis) = lines (`ways`) + slip (`model::slips`) + alignment (`model::align`) + kind of name
//! (`codes`) + part prior − clues (`clues`); for "none of these" the alignment and the part give way to
//! a model of unknown part numbers (`model::unknown`), of those that are variants of a candidate
//! (`model::variant`), and of codes that nobody listed.
//! Not here: shares of the hypotheses (`shares`).

use crate::answer::{Answer, Candidate, EntryKind, Refusal};
use crate::attributes::{PartAttributes, WeighedClues};
use crate::clues::Clues;
use crate::codes::KindPrices;
use crate::find::name_index::{SearchBuffers, Visitor};
use crate::find::sink::{Hit, LISTED, Sink};
use crate::index::{Entry, Index, Scratch};
use crate::model::align::{self, Pair};
use crate::model::costs::{MilliNat, NEVER, milli, nats};
use crate::model::query::Query;
use crate::model::slips::Intended;
use crate::model::variant;
use crate::shares::{Masses, UnknownPart, line_readings};
use crate::shelf::{SHELVES, Shelf};
use crate::symbol::EncodedName;
use crate::ways::{Way, Ways};
use record::marking::Seen;

/// Lines beyond are not looked at.
const MOST_LINES: usize = 12;

/// How far is looked in each round, beyond what every name costs, before all that may matter is.
const ROUNDS: [MilliNat; 6] = [3000, 7000, 11_000, 15_000, 19_000, 23_000];

/// The last round takes so much more in at once.
const NEAR_END: MilliNat = 10_000;

/// Share of unknown variants of a part that the clues fit as they fit the part.
const KIN_ALIKE: f64 = 0.8;

/// What one question is about, the same for all ways to read its lines.
struct Question<'a> {
    weighed: &'a WeighedClues,
    /// What every name costs besides its alignment, its kind and the way to read the lines, at least.
    base: MilliNat,
    all: bool,
}

/// One text that is looked for.
struct LookedFor<'a> {
    way: &'a Way,
    /// Number of the way.
    hypothesis: u16,
    kinds: KindPrices,
    /// The text as searched, what is paid before, and the dearest alignment.
    query: &'a Query,
    spent: MilliNat,
    farthest: MilliNat,
    /// Totals up to which has been looked for before, and is looked for now.
    round: (MilliNat, MilliNat),
}

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
        let Scratch { works, sink } = scratch;
        let logo = seen
            .logos()
            .find(|name| crate::vocabulary::has_symbols(name));
        let odds = &self.costs.table().clues;
        let weighed = self
            .marks
            .weigh(clues, logo, odds, |name| self.parts_named(name));
        let found = Ways::new(lines, &self.costs, &self.marks, weighed.small);
        let ways = &found.ways;
        if ways.is_empty() {
            return Answer::refused(if found.too_long {
                Refusal::TooLong
            } else {
                Refusal::NothingRead
            });
        }
        let question = Question {
            weighed: &weighed,
            base: self.part_price - PartAttributes::most_of(&weighed),
            all,
        };
        let kinds: Vec<KindPrices> = ways.iter().map(|way| self.kinds(way, &weighed)).collect();
        let unknown_price = milli(-self.costs.table().prior.unknown_share.ln());
        // The text of each way as an unknown part number, and as that or an unknown code.
        let texts: Vec<MilliNat> = ways
            .iter()
            .zip(&kinds)
            .map(|(way, kinds)| {
                let text = way.offset + self.unknown.price(&way.query);
                text.saturating_add(kinds.unlisted_name())
            })
            .collect();
        let none: Vec<MilliNat> = ways
            .iter()
            .zip(kinds.iter().zip(&texts))
            .map(|(way, (kinds, text))| {
                let name = text.saturating_add(unknown_price);
                match kinds.unlisted {
                    Some(code) => either(name, way.offset + code),
                    None => name,
                }
            })
            .collect();
        let best_none = none.iter().copied().min().unwrap_or(NEVER);
        let no_number = found.no_number + unknown_price;
        sink.begin(best_none.min(no_number), self.costs.cut);
        let mut order: Vec<usize> = (0..ways.len()).collect();
        order.sort_by_key(|h| (texts[*h], *h));
        self.look_through(&order, ways, &kinds, &question, works, sink);
        let limit = sink.limit();
        let hits = sink.finish();
        let kin_price = unknown_price + milli(-self.costs.table().prior.variant_share.ln());
        let mut candidates = Vec::new();
        let mut variant = Vec::new();
        for hit in hits.iter().take(LISTED) {
            let way = &ways[usize::from(hit.hypothesis)];
            let (candidate, aligned) = self.candidate(hit, way, &weighed);
            if candidate.kind != EntryKind::Code {
                let total = self.variant(hit, &candidate, aligned, &way.query);
                variant.push((hit.hypothesis, total.saturating_add(kin_price)));
            }
            candidates.push(candidate);
        }
        let unknown = UnknownPart {
            variant: &variant,
            by_way: &none,
            no_number,
        };
        // How badly a marking is worn is one thing about it, told by the best candidate.
        let relief = hits.first().map_or(0, |hit| self.costs.relief(hit.channel));
        let masses = Masses::new((hits, relief), &unknown, &texts, ways, question.base, limit);
        for (candidate, probability) in candidates.iter_mut().zip(&masses.hits) {
            candidate.probability = *probability;
        }
        let listed: f64 = masses.hits.iter().take(LISTED).sum();
        Answer {
            candidates,
            none: masses.none,
            unlisted: (1.0 - masses.none - listed).max(0.0),
            estimated: masses.estimated,
            lines: line_readings(ways, &found.others, hits, &masses),
            refusal: None,
        }
    }

    fn kinds(&self, way: &Way, weighed: &WeighedClues) -> KindPrices {
        let listed = (self.listed_codes, self.part_price);
        KindPrices::new(
            &way.query,
            weighed.small,
            way.only_code,
            listed,
            &self.costs,
        )
    }

    /// Has every text looked for that the ways allow, as written and as it may be meant. What costs
    /// little is looked for first, over all of them, so that few names are near enough for the rest.
    fn look_through(
        &self,
        order: &[usize],
        ways: &[Way],
        kinds: &[KindPrices],
        question: &Question<'_>,
        works: &mut [SearchBuffers; SHELVES],
        sink: &mut Sink,
    ) {
        let mut meant: Vec<Option<Vec<Intended>>> = vec![None; ways.len()];
        let floor = |h: usize| self.floor(question, &ways[h], kinds[h]);
        let least = order.iter().map(|h| floor(*h)).min().unwrap_or(0);
        let as_written = |h: usize, round| LookedFor {
            way: &ways[h],
            hypothesis: u16::try_from(h).unwrap_or(u16::MAX),
            kinds: kinds[h],
            query: &ways[h].query,
            spent: 0,
            farthest: ways[h].query.farthest(&self.costs),
            round,
        };
        let mut before = MilliNat::MIN;
        if !question.all {
            for &h in order.iter().filter(|h| ways[**h].query.is_whole()) {
                let looked_for = as_written(h, (before, NEVER));
                self.look_at_beginnings(&looked_for, question, works, sink);
            }
        }
        let rounds = ROUNDS.iter().map(|more| least.saturating_add(*more));
        for round in rounds
            .chain([NEVER])
            .skip(if question.all { ROUNDS.len() } else { 0 })
        {
            // What is almost all of it is looked through at once.
            let round = match sink.limit() <= round.saturating_add(NEAR_END) {
                true => NEVER,
                false => round,
            };
            for &h in order {
                let query = &ways[h].query;
                let mut looked_for = as_written(h, (before, round));
                if query.is_whole() {
                    self.look_for(&looked_for, question, works, sink);
                }
                let slip = match query.is_whole() {
                    true => Query::least_slip(&self.costs),
                    false => 0,
                };
                if floor(h).saturating_add(slip) > sink.limit().min(round) {
                    continue;
                }
                let intended = meant[h].get_or_insert_with(|| query.intended(&self.costs));
                for meant in intended.iter() {
                    looked_for.query = &meant.query;
                    looked_for.spent = meant.price;
                    looked_for.farthest = meant.farthest;
                    self.look_for(&looked_for, question, works, sink);
                }
            }
            if sink.limit() <= round {
                break;
            }
            before = round;
        }
    }

    /// What every name costs besides its alignment with one text, at least.
    fn floor(&self, question: &Question<'_>, way: &Way, kinds: KindPrices) -> MilliNat {
        let shelves = self.name_indexes.iter().enumerate();
        let least = shelves
            .filter(|(_, (names, _))| names.len() > 0)
            .map(|(shelf, _)| kinds.least(Shelf::numbered(shelf).brief));
        (question.base + way.offset).saturating_add(least.min().unwrap_or(NEVER))
    }

    /// Has some names weighed that begin with the text.
    fn look_at_beginnings(
        &self,
        looked_for: &LookedFor<'_>,
        question: &Question<'_>,
        works: &mut [SearchBuffers; SHELVES],
        sink: &mut Sink,
    ) {
        for (at, work) in works.iter_mut().enumerate() {
            let mut visitor = self.weigher(at, looked_for, question, sink);
            let index = &self.name_indexes[at].0;
            index.look_at_beginnings(looked_for.query, &self.costs, work, &mut visitor);
        }
    }

    fn weigher<'a>(
        &'a self,
        at: usize,
        looked_for: &'a LookedFor<'a>,
        question: &Question<'a>,
        sink: &'a mut Sink,
    ) -> Weigher<'a> {
        let (index, entry_of) = &self.name_indexes[at];
        Weigher {
            index: self,
            sink,
            looked_for,
            farthest: self.costs.farthest_of(looked_for.farthest, index.open),
            weighed: question.weighed,
            entry_of,
            floor: (question.base + looked_for.way.offset + looked_for.spent)
                .saturating_add(looked_for.kinds.least(Shelf::numbered(at).brief)),
            round: looked_for.round.1,
        }
    }

    /// Has every name that matters for one text weighed.
    fn look_for(
        &self,
        looked_for: &LookedFor<'_>,
        question: &Question<'_>,
        works: &mut [SearchBuffers; SHELVES],
        sink: &mut Sink,
    ) {
        for (at, work) in works.iter_mut().enumerate() {
            let mut visitor = self.weigher(at, looked_for, question, sink);
            let (index, farthest) = (&self.name_indexes[at].0, visitor.farthest);
            // What the round before has looked through as far as it may is done with.
            let done = looked_for.round.0.saturating_sub(visitor.floor);
            if visitor.limit() < 0 || done >= farthest {
                continue;
            }
            if question.all {
                let query = looked_for.query;
                index.score_all(query, &self.costs, farthest, work.rows(), &mut visitor);
            } else {
                index.search(looked_for.query, &self.costs, work, &mut visitor);
            }
        }
        // Parts seen before may cost less than the floor; there are few, so each is aligned.
        for (part, _) in &question.weighed.seen_before {
            for entry in self.entries_of(*part) {
                let (rows, target) = (works[0].rows(), self.target(entry));
                let query = looked_for.query;
                let open = self.entries[entry as usize].shelf.open;
                let farthest = self.costs.farthest_of(looked_for.farthest, open);
                let behind = self.name_indexes[0].0.bounds.behind(query.gap_after);
                if let Some(price) =
                    align::price(query, target, &self.costs, farthest, behind, rows)
                {
                    sink.add(self.hit(entry, price, looked_for, question.weighed));
                }
            }
        }
    }

    /// Weighs one name. The price of the alignment is that of two channels: an unworn one, in which
    /// every character is read right, and a worn one. A text with something unreadable went through
    /// the worn one. The cheaper of the two stands for both.
    fn hit(
        &self,
        entry: u32,
        aligned: MilliNat,
        looked_for: &LookedFor<'_>,
        w: &WeighedClues,
    ) -> Hit {
        let query = &looked_for.way.query;
        let aligned = aligned.saturating_add(looked_for.spent);
        let price = if query.sharp && aligned > 0 {
            let unworn = align::unworn(query, self.target(entry), &self.costs);
            unworn.min(aligned.saturating_add(self.costs.worn))
        } else {
            aligned
        };
        let Entry { part, kind, .. } = self.entries[entry as usize];
        let odds = &self.costs.table().clues;
        let code = kind == EntryKind::Code;
        let symbols = self.symbols(entry).len();
        let clues = self.marks.log_odds(part, code, symbols, w, odds);
        let kind = looked_for.kinds.price(kind, symbols == query.len());
        let total = (looked_for.way.offset + self.part_price)
            .saturating_add(price)
            .saturating_add(kind - clues);
        Hit {
            total,
            part,
            entry,
            hypothesis: looked_for.hypothesis,
            channel: price,
        }
    }

    fn candidate(&self, hit: &Hit, way: &Way, weighed: &WeighedClues) -> (Candidate, MilliNat) {
        let kind = self.entries[hit.entry as usize].kind;
        let name = self.text(hit.entry);
        let odds = &self.costs.table().clues;
        let code = kind == EntryKind::Code;
        let (aligned, alignment) = self.cheapest(&way.query, hit.entry);
        let symbols = self.symbols(hit.entry).len();
        let candidate = Candidate {
            part: hit.part as usize,
            kind,
            name: name.to_string(),
            probability: 0.0,
            cost: nats(hit.channel),
            total_milli: hit.total,
            alignment,
            factors: self.marks.factors(hit.part, code, symbols, weighed, odds),
            package: self.marks.agreeing_package(hit.part, weighed),
            line: way.line,
            joined: way.joined,
        };
        (candidate, aligned)
    }

    /// Returns the cheapest alignment of a text, or of what it may stand for, with a name.
    fn cheapest(&self, query: &Query, entry: u32) -> (MilliNat, Vec<Pair>) {
        let (target, chars) = (self.target(entry), EncodedName::of(self.text(entry)).chars);
        let mut best = match query.is_whole() {
            true => align::trace(query, target, &chars, &self.costs),
            false => (NEVER, Vec::new()),
        };
        if best.0 <= Query::least_slip(&self.costs) {
            return best;
        }
        for meant in query.intended(&self.costs) {
            let (price, pairs) = align::trace(&meant.query, target, &chars, &self.costs);
            let open = self.entries[entry as usize].shelf.open;
            let farthest = self.costs.farthest_of(meant.farthest, open);
            if price <= farthest && price + meant.price < best.0 {
                best = (price + meant.price, meant.as_written(pairs));
            }
        }
        best
    }

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

/// Price of one of two things being so.
fn either(a: MilliNat, b: MilliNat) -> MilliNat {
    let (less, more) = (a.min(b), a.max(b));
    less - milli((-nats(more.saturating_sub(less))).exp().ln_1p())
}

struct Weigher<'a> {
    index: &'a Index,
    sink: &'a mut Sink,
    looked_for: &'a LookedFor<'a>,
    farthest: MilliNat,
    weighed: &'a WeighedClues,
    entry_of: &'a [u32],
    /// What every name costs besides its alignment, at least.
    floor: MilliNat,
    /// The greatest total that is looked for now.
    round: MilliNat,
}

impl Visitor for Weigher<'_> {
    fn limit(&self) -> MilliNat {
        let limit = self.sink.limit().min(self.round);
        limit.saturating_sub(self.floor).min(self.farthest)
    }

    fn take(&mut self, name: usize, price: MilliNat) {
        if price > self.farthest {
            return;
        }
        let entry = self.entry_of[name];
        let hit = self.index.hit(entry, price, self.looked_for, self.weighed);
        self.sink.add(hit);
    }
}
