//! Names that hold neither half of a text: one of the halves is looked up with one edit in it.
//!
//! In: a text and its two windows, when no name within the limit can be damaged more than once in
//! each. Out: names for the visitor.
//!
//! A window of four or five classes with one edit is still found in few names: with one class
//! exchanged, with one more, or with one less, or cut off at the end of the text. Where the first
//! window is long enough it is taken, since nothing before it can move it; else the second, at the
//! places to which the damage of the first can move it.

use crate::find::filter::{Check, WORD, packed};
use crate::find::name_index::{NameIndex, SearchBuffers, TOGETHER, Visitor};
use crate::find::plan::Layout;
use crate::find::qgram_index::{FAR, LONGEST_RUN, NameRebuilder, Run, length_of, name_of, stands};
use crate::find::search::SearchRequest;
use crate::model::costs::MilliNat;
use crate::symbol::LONGEST;
use std::ops::Range;

/// A shorter window with an edit in it is found in too many names.
const SHORTEST_EDITED: usize = 4;

/// A window to be looked up with one edit.
#[derive(Debug, Clone, Copy)]
struct EditedWindow {
    window: (usize, usize),
    place: usize,
    /// So many of its spots may be cut off with the end of the text.
    cut: usize,
    /// Least price of what stands before it.
    before: MilliNat,
}

impl NameIndex {
    /// Aligns the names that damage both windows; returns whether this was possible.
    pub(crate) fn look_up_edited_window(
        &self,
        request: &SearchRequest<'_>,
        layout: &Layout,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) -> bool {
        let &[first, second] = layout.windows() else {
            return false;
        };
        let limit = visitor.limit();
        let (text, bounds) = (request.text, &self.bounds);
        let added = |n: usize| bounds.added(n, text.most_added);
        let once = bounds.any;
        let leads = (1..=LONGEST).map(|n| bounds.lead(n, text.gap_before));
        let twice_both = second.1 >= SHORTEST_EDITED
            && 3 * once > limit
            && leads.min().unwrap_or(0) + 2 * once > limit
            && added(second.0 + 1) > limit
            && added(text.len + 1 - first.0 - first.1) > limit;
        if !twice_both {
            return false;
        }
        let behind = text.len - second.0 - second.1;
        let cut = (0..second.1).take_while(|k| *k == 0 || added(behind + k) + once <= limit);
        let cut = cut.last().unwrap_or(0);
        let moved = |place: usize| EditedWindow {
            window: second,
            place,
            cut,
            before: once,
        };
        if first.1 >= SHORTEST_EDITED {
            let whole = EditedWindow {
                window: first,
                place: first.0,
                cut: 0,
                before: 0,
            };
            self.look_up_edited(request, &whole, work, visitor);
        } else {
            for place in second.0.saturating_sub(1)..=second.0 + 1 {
                self.look_up_edited(request, &moved(place), work, visitor);
            }
        }
        // One more character at the front is an extra one in the first window.
        let extra = first.0 == 0 && bounds.extra <= added(1);
        for ahead in 1 + usize::from(extra)..=second.0 {
            if added(ahead) + once <= visitor.limit() {
                self.look_up_edited(request, &moved(second.0 - ahead), work, visitor);
            }
        }
        true
    }

    /// Aligns the names that hold a window with one edit at one place.
    fn look_up_edited(
        &self,
        request: &SearchRequest<'_>,
        edited: &EditedWindow,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        let (text, limit) = (request.text, visitor.limit());
        let &EditedWindow {
            window: (from, q),
            place,
            cut,
            before,
        } = edited;
        let bounds = &self.bounds;
        let shift = place as isize - from as isize;
        let lengths = bounds.lengths(text, shift, 2 * bounds.any, before, limit);
        let lengths = (lengths.0.min(FAR), lengths.1.min(FAR));
        let edits = (limit / bounds.lost.min(bounds.extra).max(1)) as usize;
        let check = |len: usize, known: usize| Check::new(text, bounds, shift, (len, known), edits);
        // All but the shortest of the runs looked up make more than this known.
        let known = match place {
            0 => WORD,
            _ => NameRebuilder::new(0, q - cut.max(1), place).known,
        };
        let checks: [Check<'_>; FAR] = std::array::from_fn(|len| check(len, known));
        let mut window = [0; LONGEST_RUN];
        for (k, class) in window.iter_mut().enumerate().take(q) {
            *class = text.class(from + k);
        }
        let mut found = std::mem::take(&mut work.found);
        found.clear();
        let mut runs = Vec::with_capacity(160);
        let behind = text.len - from - q;
        each_edited(&window[..q], cut, |run, edit| {
            let length = run.len();
            let (price, to, moved) = match edit {
                Edit::Swap => (bounds.swap, from + q, 0),
                // What the run does not hold of the window is compared with what follows.
                Edit::Lost => (bounds.lost, from + length - 1, 1),
                Edit::Extra => (bounds.extra, from + q, -1),
                Edit::Cut(n) => (bounds.added(behind + n, text.most_added), text.len, 0),
            };
            runs.push(EditedRun {
                classes: packed(run.iter().copied()),
                q: length,
                price,
                to,
                moved,
            });
        });
        let mut hits = std::mem::take(&mut work.hits);
        let count = if place == 0 {
            self.beginning_with(&runs, lengths, &mut hits)
        } else {
            self.holding_at(&runs, place, lengths, &mut hits)
        };
        work.effort.postings += count;
        for name in &hits[..count] {
            let run = &runs[usize::from(name.run)];
            let len = usize::from(name.len);
            let mut least = 0;
            if len < FAR {
                let check = &checks[len];
                let differing = check.differing(name.word);
                let around = (from, run.to, run.moved);
                least = run.price + check.around(&differing, around, limit - run.price);
            }
            if least <= limit {
                found.push((least, name.number));
            }
        }
        work.hits = hits;
        work.effort.compared += found.len();
        found.sort_unstable();
        for block in found.chunks(TOGETHER) {
            self.fetch(block);
            for &(least, number) in block {
                if least <= visitor.limit() {
                    self.align(request, number as usize, work, visitor);
                }
            }
        }
        work.found = found;
    }
}

impl NameIndex {
    /// Collects names of some lengths that begin with runs; returns how many.
    fn beginning_with(
        &self,
        runs: &[EditedRun],
        lengths: (usize, usize),
        out: &mut Vec<WindowHit>,
    ) -> usize {
        let ranges = runs.iter().map(|run| self.prefixes.of(run.classes, run.q));
        let ranges: Vec<Range<usize>> = ranges.collect();
        let names = || ranges.iter().flat_map(|range| range.clone().step_by(8));
        fetch(names().map(|name| self.words[name]));
        fetch(names().map(|name| u64::from(self.lengths[name])));
        room_for(out, ranges.iter().map(ExactSizeIterator::len).sum());
        let mut count = 0;
        for (k, (run, range)) in (0..).zip(runs.iter().zip(ranges)) {
            let (low, high) = (lengths.0.max(run.q), lengths.1);
            for number in range {
                let len = self.lengths[number];
                out[count] = WindowHit {
                    word: self.words[number],
                    number: number as u32,
                    len,
                    run: k,
                };
                count += usize::from((low..=high).contains(&usize::from(len).min(FAR)));
            }
        }
        count
    }

    /// Collects names of some lengths that hold runs at a place; returns how many.
    fn holding_at(
        &self,
        runs: &[EditedRun],
        place: usize,
        lengths: (usize, usize),
        out: &mut Vec<WindowHit>,
    ) -> usize {
        let list = |run: &EditedRun| {
            let run = Run::of_word(run.classes, run.q);
            self.grams.near(run, place, lengths)
        };
        let lists: Vec<&[u64]> = runs.iter().map(list).collect();
        fetch_all(&lists);
        room_for(out, lists.iter().map(|list| list.len()).sum());
        let stand = |length: usize| (place << 4 | length) as u8;
        let (low, high) = (stand(lengths.0), stand(lengths.1));
        let mut count = 0;
        for (k, (run, list)) in (0..).zip(runs.iter().zip(lists)) {
            let rebuild = NameRebuilder::new(run.classes, run.q, place);
            for posting in list {
                out[count] = WindowHit {
                    word: rebuild.word(*posting),
                    number: name_of(*posting) as u32,
                    len: length_of(*posting) as u8,
                    run: k,
                };
                count += usize::from((low..=high).contains(&stands(*posting)));
            }
        }
        count
    }
}

/// Has lists fetched together, so that none need wait for the one before.
pub(crate) fn fetch_all(lists: &[&[u64]]) {
    let lines = lists.iter().flat_map(|list| list.iter().step_by(8));
    fetch(lines.copied());
}

/// Has memory fetched together.
fn fetch(values: impl Iterator<Item = u64>) {
    std::hint::black_box(values.fold(0, |all, value| all ^ value));
}

fn room_for(names: &mut Vec<WindowHit>, most: usize) {
    if names.len() < most {
        names.resize(most, WindowHit::default());
    }
}

/// What one edit makes of a window.
#[derive(Debug, Clone, Copy)]
struct EditedRun {
    /// The first class in the lowest four bits.
    classes: u64,
    q: usize,
    price: MilliNat,
    /// The text goes on from this spot, so many places further along the name.
    to: usize,
    moved: isize,
}

/// A name that holds an edited window.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct WindowHit {
    word: u64,
    number: u32,
    len: u8,
    run: u16,
}

/// What was done to a window.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Edit {
    Swap,
    Lost,
    Extra,
    /// So many spots cut off with the end of the text.
    Cut(usize),
}

/// Every run that a window with one edit in it leaves in a name, at the place of the window.
pub(crate) fn each_edited(window: &[u8], cut: usize, mut take: impl FnMut(&[u8], Edit)) {
    let q = window.len();
    let mut run = [0; LONGEST_RUN + 1];
    for i in 0..q {
        run[..q].copy_from_slice(window);
        for class in (0..16).filter(|class| *class != window[i]) {
            run[i] = class;
            take(&run[..q], Edit::Swap);
        }
    }
    // Lost in the text, so more in the name.
    for i in 1..q {
        run[..i].copy_from_slice(&window[..i]);
        run[i + 1..=q].copy_from_slice(&window[i..]);
        for class in 0..16 {
            run[i] = class;
            take(&run[..(q + 1).min(LONGEST_RUN)], Edit::Lost);
        }
    }
    // Extra in the text; of equal neighbours either may be.
    for i in (0..q).filter(|i| window.get(i + 1) != Some(&window[*i])) {
        run[..i].copy_from_slice(&window[..i]);
        run[i..q - 1].copy_from_slice(&window[i + 1..]);
        take(&run[..q - 1], Edit::Extra);
    }
    for cut in 1..=cut {
        take(&window[..q - cut], Edit::Cut(cut));
    }
}
