//! Looking up the windows of a text: which names hold them, and which of those are worth aligning.
//!
//! In: a text, its windows, an index. Out: names for the visitor, the cheapest of each list first, so
//! that the limit falls before the dearer ones are reached.
//! A name passes three sieves, each a lower bound on its price: spots that match nowhere within
//! reach (`unmatched`), the furthest-reaching rule over classes (`filter`), and the window's own swaps.

use crate::find::filter::{Check, DIAGONALS, Differing, LOW, MOST_EDITS, Text, WORD};
use crate::find::name_index::{NameIndex, SearchBuffers, TOGETHER, Visitor};
use crate::find::plan::{Layout, MOST_WINDOWS};
use crate::find::qgram_index::{FAR, LONGEST_RUN, NameRebuilder, Run, length_of, name_of};
use crate::find::unmatched::Unmatched;
use crate::model::align;
use crate::model::costs::{Costs, MilliNat};
use crate::model::query::Query;
use crate::symbol::LONGEST;

/// What is looked for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SearchRequest<'a> {
    pub(crate) query: &'a Query,
    pub(crate) costs: &'a Costs,
    pub(crate) text: &'a Text,
    pub(crate) unmatched: &'a Unmatched,
}

/// A run of the text that a name holds, and where.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WindowMatch {
    pub(crate) from: usize,
    pub(crate) q: usize,
    pub(crate) place: usize,
}

impl WindowMatch {
    fn shift(&self) -> isize {
        self.place as isize - self.from as isize
    }
}

/// The window in a list of a search, the least price of a name in it, and how many lists share it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WindowLookup {
    held: WindowMatch,
    bound: MilliNat,
    /// Least price of what stands before the window.
    spent: MilliNat,
    /// Least price of what stands before the window if that is all that is paid for.
    before: MilliNat,
    /// Least price of what is left of the window, whatever it is.
    left: MilliNat,
    /// Whether only names are meant to which the text can be aligned without an edit, or only others.
    plain: Option<bool>,
}

impl WindowLookup {
    /// Names that hold a window, when what is left of it costs at least `left`.
    pub(crate) fn new(held: WindowMatch, left: MilliNat) -> Self {
        Self {
            held,
            bound: left,
            spent: 0,
            // Spots before the window match nothing, and would be paid for twice.
            before: if held.from == 0 { left } else { 0 },
            left,
            plain: None,
        }
    }
}

/// How the text can go on to the right of a window in names of one length.
#[derive(Debug, Clone, Copy)]
struct Onward {
    /// Whether there is any way within the limit.
    any: bool,
    /// Whether there is one with an edit.
    edits: bool,
    /// Spots to the right of the window on diagonals that are out of reach there.
    out: Differing,
    /// Least price of what is missing at the end.
    end: MilliNat,
}

impl Onward {
    /// Anything may be.
    const UNKNOWN: Self = Self {
        any: true,
        edits: true,
        out: [0; DIAGONALS],
        end: 0,
    };
}

pub(crate) fn run_of(text: &Text, from: usize, q: usize) -> Run {
    Run::new((from..from + q).map(|i| text.class(i)))
}

/// Fewer names of one length than this are compared without asking what can be paid for.
const FEW: usize = 24;

impl NameIndex {
    /// Aligns names that hold a window, given that names without any of an earlier layout cost at
    /// least `damage`.
    pub(crate) fn look_up(
        &self,
        request: &SearchRequest<'_>,
        layout: &Layout,
        damage: MilliNat,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        let mut runs = [Run::default(); MOST_WINDOWS];
        let mut lists = std::mem::take(&mut work.lists);
        lists.clear();
        let limit = visitor.limit();
        let gap = request.query.gap_before;
        for (i, &(from, q)) in layout.windows().iter().enumerate() {
            runs[i] = run_of(request.text, from, q);
            if self.grams.count(runs[i]) == 0 {
                continue;
            }
            let bounds = layout.first_intact(i, damage, gap, &self.bounds);
            for (place, bound) in (0_u8..).zip(bounds) {
                if bound <= limit {
                    lists.push((bound, i as u8, place));
                }
            }
        }
        lists.sort_unstable();
        let mut longer = None;
        for &(bound, window, place) in &lists {
            let limit = visitor.limit();
            if bound > limit {
                break;
            }
            let (window, place) = (usize::from(window), usize::from(place));
            let (from, q) = layout.windows()[window];
            let mut list = WindowLookup {
                held: WindowMatch { from, q, place },
                bound,
                spent: layout.damage_first(window, &self.bounds),
                before: 0,
                left: if damage == 0 { bound } else { 0 },
                plain: None,
            };
            list.left = list.left.max(list.spent);
            if from == 0 && place < FAR {
                list.before = self.bounds.lead(place, gap).min(self.bounds.edit);
                list.left = list.left.max(list.before);
                if damage > 0 && list.before + request.unmatched.one > limit {
                    continue;
                }
                if damage == 0 {
                    // Where no edit can be paid for, all of the text stands in the name, and so does
                    // its rarest run.
                    let (from, q, rarer) =
                        *longer.get_or_insert_with(|| self.rarest(request.text, (from, q)));
                    if from + place < FAR {
                        list.plain = Some(false);
                        self.pass(request, &list, runs[window], work, visitor);
                        let place = from + place;
                        list.held = WindowMatch { from, q, place };
                        list.plain = Some(true);
                        self.pass(request, &list, rarer, work, visitor);
                        continue;
                    }
                }
            }
            self.pass(request, &list, runs[window], work, visitor);
        }
        work.lists = lists;
    }

    /// Returns the longest run of the text that the fewest names hold, at least the one given.
    fn rarest(&self, text: &Text, (from, q): (usize, usize)) -> (usize, usize, Run) {
        let run = run_of(text, from, q);
        let mut best = (from, q, run);
        let mut fewest = self.grams.count(run);
        let len = text.len.min(WORD);
        for longer in (q + 1..=LONGEST_RUN.min(len)).rev() {
            for from in 0..=len - longer {
                if (from..from + longer).all(|i| text.wild >> (4 * i) & 1 == 0) {
                    let run = run_of(text, from, longer);
                    let count = self.grams.count(run);
                    if count < fewest {
                        (best, fewest) = ((from, longer, run), count);
                    }
                }
            }
            if best.1 == longer {
                break;
            }
        }
        best
    }

    /// Puts the names of one list through the sieves and aligns what is left.
    pub(crate) fn pass(
        &self,
        request: &SearchRequest<'_>,
        list: &WindowLookup,
        run: Run,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        let limit = visitor.limit();
        let text = request.text;
        let WindowMatch { from, q, place } = list.held;
        let shift = list.held.shift();
        let lengths = match place {
            FAR => (0, FAR),
            _ => self
                .bounds
                .lengths(text, shift, list.bound, list.spent, limit),
        };
        let names = self.grams.at(run, place, lengths);
        let mut found = std::mem::take(&mut work.found);
        found.clear();
        if place >= FAR {
            work.effort.postings += names.len();
            found.extend(names.iter().map(|p| (list.bound, name_of(*p) as u32)));
        } else {
            let classes = text.word >> (4 * from) & ((1 << (4 * q)) - 1);
            let rebuild = NameRebuilder::new(classes, q, place);
            let moves = self.bounds.lost.min(self.bounds.extra).max(1);
            let edits = ((limit - list.before).max(0) / moves) as usize;
            let run_at = (from, from + q);
            let outside = text.compared & !(LOW[(from + q).min(WORD)] & !LOW[from.min(WORD)]);
            let alike = |a: &u64, b: &u64| length_of(*a) == length_of(*b);
            for names in names.chunk_by(alike) {
                let len = names.first().map_or(FAR, |p| length_of(*p));
                let mut onward = Onward::UNKNOWN;
                // For a few names it is quicker not to ask.
                if names.len() >= FEW {
                    onward = self.onward(text, list, len, limit);
                    let elsewhere = list.plain.is_some_and(|plain| plain == onward.edits);
                    if !onward.any || elsewhere {
                        continue;
                    }
                }
                work.effort.postings += names.len();
                let edits = if list.plain == Some(true) { 0 } else { edits };
                let known = rebuild.known;
                // The length of a name that counts as far is not in the posting.
                let length = if len < FAR { len } else { LONGEST };
                let check = Check::new(text, &self.bounds, shift, (length, known), edits);
                let spots = if edits > MOST_EDITS { 0 } else { outside };
                let first = found.len();
                for posting in names {
                    let differing = check.differing(rebuild.word(*posting));
                    let unmatched = check.unmatched(&differing, spots, &onward.out);
                    if list.before + request.unmatched.price(unmatched) + onward.end > limit {
                        continue;
                    }
                    work.effort.compared += 1;
                    let mut least = 0;
                    if len < FAR {
                        least = check.least(&differing, run_at, limit);
                    }
                    if least <= limit {
                        found.push((least.max(list.bound), name_of(*posting) as u32));
                    }
                }
                if len > known || len >= FAR {
                    // Fetched together, so that one need not wait for the other.
                    work.words.clear();
                    let numbers = found[first..].iter().map(|(_, number)| *number as usize);
                    work.words.extend(numbers.map(|number| self.words[number]));
                    let mut check = Check::new(text, &self.bounds, shift, (length, WORD), edits);
                    let mut kept = first;
                    for (k, word) in (first..).zip(&work.words) {
                        let number = found[k].1;
                        if len >= FAR {
                            let length = self.length(number as usize);
                            check = Check::new(text, &self.bounds, shift, (length, WORD), edits);
                        }
                        let least = check.least(&check.differing(*word), run_at, limit);
                        if least <= limit {
                            found[kept] = (least.max(list.bound), number);
                            kept += 1;
                        }
                    }
                    found.truncate(kept);
                }
            }
            found.retain(|(_, number)| !work.has_seen(*number as usize));
            found.sort_unstable();
        }
        for block in found.chunks(TOGETHER) {
            let limit = visitor.limit();
            if block.first().is_none_or(|(least, _)| *least > limit) {
                break;
            }
            self.fetch(block);
            for &(least, number) in block {
                let (limit, number) = (visitor.limit(), number as usize);
                // Where the swaps do not allow it, another window may still find it.
                if least <= limit && self.swaps_allow(request, number, (least, &list.held), limit) {
                    self.align(request, number, work, visitor);
                }
            }
        }
        work.found = found;
    }

    /// How the text can go on to the right of a window in names of this length.
    fn onward(&self, text: &Text, list: &WindowLookup, len: usize, limit: MilliNat) -> Onward {
        let mut out = Onward::UNKNOWN;
        let moves = self.bounds.lost.min(self.bounds.extra).max(1);
        let room = limit.saturating_sub(list.left);
        if len >= FAR || room / moves > MOST_EDITS as MilliNat {
            return out;
        }
        let reach = MOST_EDITS as isize;
        let net = len as isize - text.len as isize - list.held.shift();
        let missing = |diagonal: isize| match usize::try_from(net - diagonal) {
            Ok(n) => self.bounds.tail(n, text.gap_after).min(self.bounds.edit),
            Err(_) => 0,
        };
        let over = |diagonal: isize| match usize::try_from(diagonal - net) {
            Ok(n) => self.bounds.more(n),
            Err(_) => 0,
        };
        let far = |n: isize| n.unsigned_abs() as MilliNat * moves;
        out.end = MilliNat::MAX;
        out.edits = self.bounds.edit + missing(0) + over(0) <= room || net < 0 && over(0) <= room;
        out.any = missing(0) + over(0) <= room;
        let after = !LOW[(list.held.from).min(WORD)];
        for (through, out_of_reach) in (-reach..=reach).zip(&mut out.out) {
            // Ends further off than edits can be paid for need not be looked at.
            let onward =
                (-reach..=reach).map(|last| far(last - through) + missing(last) + over(last));
            if far(through) + onward.min().unwrap_or(0) > room {
                *out_of_reach = after;
            }
            if far(through) + missing(through) + over(through) <= room {
                out.any = true;
                out.edits |= through != 0;
                out.end = out.end.min(missing(through));
            }
        }
        if !out.any {
            out.end = 0;
        }
        out
    }

    /// Whether the swaps within a run of the text that a name holds leave it within the limit, when all
    /// else costs at least so much.
    fn swaps_allow(
        &self,
        request: &SearchRequest<'_>,
        name: usize,
        (least, held): (MilliNat, &WindowMatch),
        limit: MilliNat,
    ) -> bool {
        if held.place >= FAR {
            return true;
        }
        let target = self.target(name);
        let run = target.symbols.iter().skip(held.place).take(held.q);
        let swaps = run
            .zip(held.from..)
            .map(|(s, i)| request.query.prices(i, request.costs)[usize::from(*s)]);
        least.saturating_add(swaps.sum()) <= limit
    }

    /// Aligns a name that this search has not aligned before.
    pub(crate) fn align(
        &self,
        request: &SearchRequest<'_>,
        name: usize,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        if work.has_seen(name) {
            return;
        }
        work.see(name);
        work.effort.aligned += 1;
        let target = self.target(name);
        if let Some(price) = align::price(
            request.query,
            target,
            request.costs,
            visitor.limit(),
            work.rows(),
        ) {
            visitor.take(name, price);
        }
    }
}
