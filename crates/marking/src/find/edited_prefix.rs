//! Names that damage a short text in one place at most.
//!
//! In: a text whose first spots were all read. Out: names for the visitor. Damage is what `plan` takes
//! for it: an edit that the classes show, or characters added at one end.
//!
//! The beginning of the text, up to five classes of it, stands in such a name as it is, or with one
//! edit in it, or the name begins or ends inside of it. All such runs are looked up over all places at
//! once: they are few and long, where the halves of a short text are found in many names. A name with
//! the edit in the run must hold the rest of the text as it is, which is told by one comparison.

use crate::find::edited_window::{Edit, each_edited, fetch_all};
use crate::find::filter::{LOW, WORD, low, packed};
use crate::find::name_index::{NameIndex, SearchBuffers, TOGETHER, Visitor};
use crate::find::qgram_index::{
    FAR, LONGEST_RUN, NameRebuilder, Run, length_of, name_of, place_of,
};
use crate::find::search::{SearchRequest, WindowLookup, WindowMatch, run_of};
use crate::model::costs::MilliNat;

/// Longer texts are found quickly by their halves.
const LONGEST_TEXT: usize = 8;

/// A run that one edit makes of the beginning of the text.
#[derive(Debug, Clone, Copy)]
struct EditedPrefix {
    /// The first class in the lowest four bits.
    classes: u64,
    q: usize,
    price: MilliNat,
    /// The text goes on from this spot, so many places further along the name.
    to: usize,
    moved: isize,
}

impl NameIndex {
    /// Aligns the names that damage the text once at most; returns what the damage of all others costs
    /// at least, 0 where this does not apply.
    pub(crate) fn look_up_edited_prefix(
        &self,
        request: &SearchRequest<'_>,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) -> MilliNat {
        let (text, bounds) = (request.text, &self.bounds);
        let q = LONGEST_RUN;
        let begins = text.wild & LOW[q.min(text.len)] == 0 && !text.gap_before;
        let fits = (q..=LONGEST_TEXT).contains(&text.len);
        if !begins || !fits || 3 * bounds.any <= visitor.limit() {
            return 0;
        }
        let others = 2 * bounds.any;
        let lead = |place: usize| bounds.lead(place, false);
        let run = run_of(text, 0, q);
        let mut places: Vec<(MilliNat, usize)> = (0..=FAR).map(|p| (lead(p), p)).collect();
        places.sort_unstable();
        for (before, place) in places {
            if before <= visitor.limit() {
                let list = WindowLookup::new(WindowMatch { from: 0, q, place }, before);
                self.pass(request, &list, run, work, visitor);
            }
        }
        if bounds.any > visitor.limit() {
            return others;
        }
        for from in 1..=text.most_added {
            let before = bounds.added(from, text.most_added);
            if before > visitor.limit() {
                break;
            }
            let readable = (from..text.len).take_while(|i| text.wild >> (4 * i) & 1 == 0);
            let q = readable.count().min(LONGEST_RUN);
            let place = 0;
            let list = WindowLookup::new(WindowMatch { from, q, place }, before);
            self.pass(request, &list, run_of(text, from, q), work, visitor);
        }
        self.cut_off(request, work, visitor, visitor.limit());
        self.edited(request, work, visitor);
        others
    }

    /// Aligns the names that stand in the text as they are, with characters added at both ends or one.
    /// Names that hold the text have no damage, so they need not be looked for.
    pub(crate) fn look_up_inside(
        &self,
        request: &SearchRequest<'_>,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        let (text, bounds) = (request.text, &self.bounds);
        let most = text.most_added;
        for before in 0..=most {
            for after in 0..=most.min(text.len - before) {
                let added = bounds
                    .added(before, most)
                    .saturating_add(bounds.added(after, most));
                if added > visitor.limit() {
                    break;
                }
                let length = text.len - before - after;
                let q = length.min(LONGEST_RUN).min(WORD.saturating_sub(before));
                if before + after == 0 || q == 0 {
                    continue;
                }
                let run = run_of(text, before, q);
                let inside = text.word >> (4 * before) & LOW[length.min(WORD - before)];
                let rebuild = NameRebuilder::new(inside & LOW[q], q, 0);
                let names = self.grams.at(run, 0, (length, length));
                work.effort.postings += names.len();
                for posting in names {
                    let known = LOW[rebuild.known.min(WORD - before)];
                    if (rebuild.word(*posting) ^ inside) & known == 0 {
                        self.align(request, name_of(*posting), work, visitor);
                    }
                }
            }
        }
    }

    /// Aligns the names that end inside the beginning of the text.
    fn cut_off(
        &self,
        request: &SearchRequest<'_>,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
        limit: MilliNat,
    ) {
        let (text, bounds) = (request.text, &self.bounds);
        for q in 1..LONGEST_RUN {
            let added = bounds.added(text.len - q, text.most_added);
            for place in 0..=FAR {
                if added.saturating_add(bounds.lead(place, false)) > limit {
                    break;
                }
                let length = place + q;
                let names = self.grams.at(run_of(text, 0, q), place, (length, length));
                work.effort.postings += names.len();
                for posting in names {
                    self.align(request, name_of(*posting), work, visitor);
                }
            }
        }
    }

    /// Aligns the names that hold the beginning of the text with one edit in it, and the rest as it
    /// is.
    fn edited(
        &self,
        request: &SearchRequest<'_>,
        work: &mut SearchBuffers,
        visitor: &mut impl Visitor,
    ) {
        let limit = self.worn_limit(visitor);
        let (text, bounds) = (request.text, &self.bounds);
        let lead = |place: usize| bounds.lead(place, false);
        let room = limit - bounds.any;
        let last = (0..=FAR).take_while(|place| lead(*place) <= room).count();
        let Some(last) = last.checked_sub(1) else {
            return;
        };
        let q = LONGEST_RUN;
        let window: [u8; LONGEST_RUN] = std::array::from_fn(|spot| text.class(spot));
        let mut runs = Vec::with_capacity(160);
        let next = q < text.len && text.wild >> (4 * q) & 1 == 0;
        each_edited(&window, 0, |run, edit| {
            let (price, to, moved) = match edit {
                Edit::Swap | Edit::Cut(_) => (bounds.swap, q, 0),
                Edit::Lost => (bounds.lost, run.len() - 1, 1),
                Edit::Extra => (bounds.extra, q, -1),
            };
            let mut edited = EditedPrefix {
                classes: packed(run.iter().copied()),
                q: run.len(),
                price,
                to,
                moved,
            };
            // The rest stands in the name as it is, so a short run goes on with it.
            if edited.q < q && next {
                edited.classes |= u64::from(text.class(q)) << (4 * edited.q);
                (edited.q, edited.to) = (edited.q + 1, q + 1);
            }
            runs.push(edited);
        });
        let list = |run: &EditedPrefix| {
            let run = Run::of_word(run.classes, run.q);
            self.grams.across(run, (0, last))
        };
        let lists: Vec<&[u64]> = runs.iter().map(list).collect();
        fetch_all(&lists);
        let mut found = std::mem::take(&mut work.found);
        found.clear();
        for (run, list) in runs.iter().zip(lists) {
            work.effort.postings += list.len();
            for posting in list {
                let (place, length) = (place_of(*posting), length_of(*posting));
                if place > last {
                    continue;
                }
                let mut least = run.price + lead(place);
                if place == FAR {
                    if least <= limit {
                        found.push((least, name_of(*posting) as u32));
                    }
                    continue;
                }
                let shift = place as isize + run.moved;
                let rebuild = NameRebuilder::new(run.classes, run.q, place);
                let name = rebuild.word(*posting);
                let along = match usize::try_from(shift) {
                    Ok(places) => name >> (4 * places),
                    Err(_) => name << 4,
                };
                let known = if length > rebuild.known {
                    rebuild.known
                } else {
                    WORD
                };
                let x = along ^ text.word;
                let x = x | x >> 2;
                let compared = text.compared & !LOW[run.to] & low(known as isize - shift);
                if (x | x >> 1) & compared != 0 {
                    continue;
                }
                if length < FAR {
                    let missing = length as isize - text.len as isize - shift;
                    match usize::try_from(missing) {
                        Ok(n) => least += bounds.tail(n, text.gap_after),
                        Err(_) => continue,
                    }
                }
                if least <= limit {
                    found.push((least, name_of(*posting) as u32));
                }
            }
        }
        work.effort.compared += found.len();
        found.sort_unstable();
        for block in found.chunks(TOGETHER) {
            if block
                .first()
                .is_none_or(|(least, _)| *least > self.worn_limit(visitor))
            {
                break;
            }
            self.fetch(block);
            for &(least, number) in block {
                if least <= self.worn_limit(visitor) {
                    self.align(request, number as usize, work, visitor);
                }
            }
        }
        work.found = found;
    }
}
