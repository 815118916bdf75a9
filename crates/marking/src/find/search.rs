//! The search for one text: pieces, what may be paid for each, and which names are worth aligning.
//!
//! In: a text, its limit. Out: every name whose price can be within the limit, each aligned once.
//!
//! A text is taken in two halves. What an alignment costs is paid in the first, in the second, or
//! between; so where a name is within the limit, one half costs no more than its part of the limit. Such
//! places are found in the trie (`piece`), and at each the rest of the text is compared along the
//! diagonals that edits can reach, before the name is aligned.
//! Source of the division: pigeonhole principle as in S. Wu, U. Manber, Communications of the ACM 35
//! (1992) 83.
//! Limit: where a half holds no readable spot, or both may be missing altogether, every name is aligned.

use crate::find::bounds::{Bounds, SpotPrices};
use crate::find::gram_trie::{DEPTH, GramTrie, posting};
use crate::find::name_index::{NameIndex, SearchBuffers, Visitor};
use crate::find::piece::{Cells, LONGEST_PIECE, MOST, Piece, Standing, cell};
use crate::model::align;
use crate::model::costs::{Costs, MilliNat, NEVER};
use crate::model::query::{Query, Spot};
use crate::symbol::{LONGEST, PLAIN, Symbol};

/// With more moves than this along the name a text is not compared before it is aligned.
const MOST_MOVES: usize = 4;

/// By so much more may be paid for a half that has a spot more than the other, so that both are found in
/// about as many names.
const SPOT: MilliNat = 2600;

/// Names that are fetched together.
const TOGETHER: usize = 16;

/// One half of a text, or what of it can be looked for.
#[derive(Debug, Clone, Copy)]
struct Half {
    from: usize,
    to: usize,
    /// How many of those that the trie tells apart were read.
    read: usize,
    first: bool,
}

/// What is looked for.
struct Search<'a> {
    index: &'a NameIndex,
    query: &'a Query,
    costs: &'a Costs,
    spots: Vec<&'a SpotPrices>,
}

/// A place in a name where a piece of the text may stand.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    name: u32,
    /// How much further on the piece stands in the name than in the text.
    shift: i8,
}

impl Half {
    /// The spots of one half that can be looked for: none at its ends are unreadable.
    fn of(query: &Query, first: bool) -> Option<Self> {
        let read = |i: &usize| query.spots[*i] != Spot::Any;
        let (low, high) = (query.len() / 2, query.len().div_ceil(2));
        // The half that holds less takes the spot in the middle.
        let middle = match (0..low).filter(read).count() < (high..query.len()).filter(read).count()
        {
            true => high,
            false => low,
        };
        let (from, to) = match first {
            true => (0, middle),
            false => (middle, query.len()),
        };
        // The trie tells apart what stands at the beginning of a piece.
        let told = |from: usize| (from..to.min(from + DEPTH)).filter(read).count();
        let starts = (from..to).filter(read);
        let from = starts.max_by_key(|from| (told(*from), std::cmp::Reverse(*from)))?;
        let last = (from..to.min(from + LONGEST_PIECE)).rev().find(read)?;
        Some(Self {
            from,
            to: last + 1,
            read: told(from),
            first,
        })
    }

    /// Price of characters that the name has not, of which the spots of the half up to one are some.
    fn added(&self, spots: usize, query: &Query, bounds: &Bounds) -> MilliNat {
        let n = match self.first {
            true => self.from + spots,
            false => query.len() - self.to + spots,
        };
        if n > query.most_added() {
            NEVER
        } else {
            bounds.more(n)
        }
    }

    /// What may at most be paid for the half, so that something of it must be there.
    fn most(&self, query: &Query, bounds: &Bounds) -> MilliNat {
        let all = self.to - self.from;
        let extra = bounds.extra * all as MilliNat;
        extra.min(self.added(all, query, bounds)).min(MOST) - 1
    }
}

impl NameIndex {
    /// Finds every name that can be within the limit.
    pub(crate) fn search(
        &self,
        query: &Query,
        costs: &Costs,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        if self.len() == 0 || visitor.limit() < 0 {
            return;
        }
        work.begin(self.len());
        if !self.has_tries() {
            self.scan(query, costs, work, visitor);
            return;
        }
        let halves = [true, false].map(|first| Half::of(query, first));
        let most = halves.map(|half| half.map_or(-1, |h| h.most(query, &self.bounds)));
        // What the first half may cost, the rest being for the second: `None` where that is too little.
        let share = |limit: MilliNat| {
            let [first, second] = most;
            let wanted = match halves {
                [Some(a), Some(b)] => limit / 2 + SPOT * (a.read as MilliNat - b.read as MilliNat),
                _ => limit,
            };
            let least = limit.saturating_sub(second);
            (least <= first).then(|| wanted.clamp(least, first))
        };
        let Some(first) = share(visitor.limit()) else {
            self.scan(query, costs, work, visitor);
            return;
        };
        let one_of: Vec<SpotPrices> = query
            .spots
            .iter()
            .enumerate()
            .filter(|(_, spot)| !matches!(spot, Spot::Any) && plain(spot).is_none())
            .map(|(i, _)| SpotPrices::new(query.prices(i, costs)))
            .collect();
        let mut others = one_of.iter();
        let prices = |spot: &Spot| match (spot, plain(spot)) {
            (Spot::Any, _) => Some(&self.bounds.any),
            (_, Some(s)) => self.bounds.plain.get(s),
            _ => others.next(),
        };
        let spots: Vec<&SpotPrices> = query.spots.iter().filter_map(prices).collect();
        let search = Search {
            index: self,
            query,
            costs,
            spots,
        };
        if let [Some(half), _] = halves
            && first >= 0
        {
            search.half(half, first, work, visitor);
        }
        let second = visitor.limit().saturating_sub(first.max(-1));
        if let [_, Some(half)] = halves
            && second >= 0
        {
            search.half(half, second, work, visitor);
        }
    }
}

/// The number of a plain symbol that was read.
fn plain(spot: &Spot) -> Option<usize> {
    match spot {
        Spot::Read(s) if usize::from(*s) < PLAIN => Some(usize::from(*s)),
        _ => None,
    }
}

impl Search<'_> {
    /// Finds the names that hold one half for no more than a budget.
    fn half(
        &self,
        half: Half,
        budget: MilliNat,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        let index = self.index;
        let bounds = &index.bounds;
        if !half.first {
            let mut added = [i16::MAX; LONGEST_PIECE];
            let spots = half.to - half.from;
            for (i, price) in (1..spots).zip(&mut added) {
                *price = cell(half.added(spots - i, self.query, bounds));
            }
            for trie in &index.tries {
                self.piece(half, half.from, 0, budget, Some(added), trie, work, visitor);
            }
            return;
        }
        let [first, inner] = &index.tries;
        self.piece(half, half.from, 0, budget, None, inner, work, visitor);
        // At the beginning of names some spots may be none of the name.
        for from in half.from..half.to {
            let spent = match from - half.from {
                0 => 0,
                spots => half.added(spots, self.query, bounds),
            };
            if spent <= budget {
                self.piece(half, from, spent, budget, None, first, work, visitor);
            }
        }
    }

    #[allow(clippy::too_many_arguments, reason = "one step of a search")]
    fn piece(
        &self,
        half: Half,
        from: usize,
        spent: MilliNat,
        budget: MilliNat,
        added_after: Option<Cells>,
        trie: &GramTrie,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        let (index, query) = (self.index, self.query);
        let bounds = &index.bounds;
        let limit = visitor.limit();
        let piece = Piece {
            spots: &self.spots[from..half.to],
            spent,
            budget: cell(budget),
            added_after,
        };
        let mut found = std::mem::take(&mut work.found);
        found.clear();
        let len = query.len();
        // What is cut off before is in `spent`.
        let before = match spent {
            0 => bounds.before(from, query.gap_before),
            _ => &[0; LONGEST],
        };
        let behind = bounds.behind(query.gap_after);
        piece.find(trie, bounds, &mut |at: Standing<'_>| {
            let least = at.cells.iter().copied().min().map_or(NEVER, MilliNat::from);
            let room = if half.first { budget } else { limit } - least;
            // Prices rise with the distance from where the piece stands in the text.
            let near = from.min(LONGEST - 1);
            let to = (near..LONGEST).take_while(|p| before[*p] <= room).last();
            let low = (0..near).rev().take_while(|p| before[*p] <= room).last();
            let (Some(low), Some(to)) = (low.or(to.map(|_| near)), to.or(low.map(|_| near))) else {
                return;
            };
            let postings = trie.within(at.node, (low, to));
            work.effort.postings += postings.len();
            for of in postings {
                let (name, place) = posting(*of);
                let before = before[place];
                if before > room {
                    continue;
                }
                if !at.ended {
                    let rest = (LONGEST + index.length(name)) - (place + at.letters);
                    let cells = at.cells.iter().zip(at.from..);
                    let price = cells
                        .map(|(cell, i)| MilliNat::from(*cell) + behind[(rest + from + i) - len]);
                    let price = price.min().unwrap_or(NEVER);
                    let own = if half.first { 0 } else { price };
                    if before + price > limit || own > budget {
                        continue;
                    }
                }
                found.push(Place {
                    name: name as u32,
                    shift: (place as isize - from as isize) as i8,
                });
            }
        });
        let mut targets = Vec::with_capacity(TOGETHER);
        for places in found.chunks(TOGETHER) {
            // Fetched together, so that one need not wait for the other.
            targets.clear();
            targets.extend(places.iter().map(|place| index.row(place.name)));
            for (place, row) in places.iter().zip(&targets) {
                let name = place.name as usize;
                let limit = visitor.limit();
                if work.has_seen(name) {
                    continue;
                }
                work.effort.compared += 1;
                let target = index.target_of(name, row);
                if self.allows(target.symbols, isize::from(place.shift), limit) {
                    work.see(name);
                    work.effort.aligned += 1;
                    let price = align::price(query, target, self.costs, limit, behind, work.rows());
                    if let Some(price) = price {
                        visitor.take(name, price);
                    }
                }
            }
        }
        work.found = found;
    }

    /// Whether a name may be within the limit when some of the text stands `shift` places further on in it.
    ///
    /// Either all of the text does, or something is lost or extra, and each spot stands no further off
    /// than there are such moves. A spot that is extra costs what it is compared for, or the price of one.
    fn allows(&self, name: &[Symbol], shift: isize, limit: MilliNat) -> bool {
        let (query, bounds) = (self.query, &self.index.bounds);
        let len = query.len();
        let behind = name.len() as isize - len as isize - shift;
        let by_shift = |shift: isize| LONGEST.wrapping_add_signed(shift);
        let mut straight = bounds.before(LONGEST, query.gap_before)[by_shift(shift)]
            + bounds.behind(query.gap_after)[by_shift(behind)];
        let ahead = usize::try_from(-shift).unwrap_or(0).min(len);
        let to = usize::try_from(name.len() as isize - shift)
            .unwrap_or(0)
            .min(len);
        for i in ahead..to {
            let at = name[i.wrapping_add_signed(shift)];
            straight += query.prices(i, self.costs)[usize::from(at)];
        }
        if straight <= limit {
            return true;
        }
        let moves = (limit / bounds.moved) as usize;
        if moves == 0 {
            return false;
        }
        if moves > MOST_MOVES {
            return true;
        }
        let (mut near, mut near_most, mut far, mut far_most) = (0, 0, 0, 0);
        for i in 0..len {
            let prices = query.prices(i, self.costs);
            let at = |d: isize| {
                let j = usize::try_from(i as isize + shift + d).ok();
                match j.and_then(|j| name.get(j)) {
                    Some(s) => prices[usize::from(*s)],
                    None => bounds.outside,
                }
            };
            let mut least = at(0).min(at(1)).min(at(-1)).min(bounds.extra);
            near += least;
            near_most = near_most.max(least);
            for d in 2..=moves as isize {
                least = least.min(at(d)).min(at(-d));
            }
            far += least;
            far_most = far_most.max(least);
        }
        let once = (bounds.lost + near).min(bounds.extra + near - near_most);
        let twice = (2 * bounds.lost + far)
            .min(bounds.lost + bounds.extra + far - far_most)
            .min(2 * (bounds.extra - far_most) + far);
        once <= limit || moves > 1 && twice <= limit
    }
}
