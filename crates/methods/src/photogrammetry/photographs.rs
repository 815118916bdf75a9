//! The photographs of a dossier, each fitted at most once and each thing on it measured once.
//!
//! In: a dossier. Out: by photograph its plane and everything measured on it; by item the measures in
//! force. Plain data: any sheet makes its terms from it ([`super::MeasurementSheet`]), so that what one photograph gives
//! shares its doubt there. Not here: which source of a size is preferred (`sizes`).
//!
//! A photograph is fitted when something on it is asked for first; the cost grows with the number of
//! photographs, measures and points.

use super::{MeasuredSize, Measurement, PhotoPlane};
use record::{Dossier, Item, Photo, PhotoMeasure, ReadingSubject, Region};
use std::cell::OnceCell;
use std::collections::{HashMap, HashSet};

/// The photographs of a dossier.
#[derive(Debug)]
pub struct Photographs<'d> {
    all: Vec<OnPhoto<'d>>,
    places: HashMap<&'d str, usize>,
    of_item: HashMap<&'d str, Vec<&'d PhotoMeasure>>,
}

/// A photograph with what is marked on it.
#[derive(Debug)]
pub struct OnPhoto<'d> {
    /// The photograph.
    pub photo: &'d Photo,
    measures: Vec<Marked<'d>>,
    replaced: Vec<(Marked<'d>, &'d PhotoMeasure)>,
    outlines: Vec<Outlined<'d>>,
    is_marked: bool,
    seen: OnceCell<Result<Seen<'d>, String>>,
}

/// A measure of the record with its item.
type Marked<'d> = (&'d PhotoMeasure, Option<&'d Item>);

/// A region that is the outline of an item, and whether that is round.
#[derive(Debug)]
struct Outlined<'d> {
    region: &'d Region,
    item: &'d Item,
    is_round: bool,
}

/// What a photograph gives.
#[derive(Debug)]
pub struct Seen<'d> {
    /// Its plane.
    pub photo_plane: PhotoPlane,
    /// Everything measured on it: first the measures that no later one replaces, then the outlines of items.
    pub taken: Vec<Measurement<'d>>,
    /// What gave no answer, as sentences.
    pub unused: Vec<String>,
    by_measure: HashMap<&'d str, usize>,
}

impl<'d> Photographs<'d> {
    /// Sorts what a dossier records by photograph and item; nothing is fitted yet.
    pub fn of(dossier: &'d Dossier) -> Self {
        let mut items: HashMap<&str, &Item> = HashMap::new();
        for item in &dossier.items {
            items.entry(&item.id).or_insert(item);
        }
        let round: HashSet<&str> = dossier
            .readings
            .iter()
            .filter(|r| r.what == ReadingSubject::Diameter)
            .map(|r| r.item.as_str())
            .collect();
        let mut found = Self {
            all: Vec::with_capacity(dossier.photos.len()),
            places: HashMap::new(),
            of_item: HashMap::new(),
        };
        for photo in &dossier.photos {
            let outline = |region: &'d Region| {
                let item = *items.get(region.item.as_deref()?)?;
                let is_round = item.size.contains_key("diameter") || round.contains(&*item.id);
                Some(Outlined {
                    region,
                    item,
                    is_round,
                })
            };
            let outlined = || photo.regions.iter().filter(|r| r.outline);
            found.places.entry(&photo.id).or_insert(found.all.len());
            found.all.push(OnPhoto {
                photo,
                measures: Vec::new(),
                replaced: Vec::new(),
                outlines: outlined().filter_map(outline).collect(),
                is_marked: outlined().any(|r| r.item.is_some()),
                seen: OnceCell::new(),
            });
        }
        let mut newer: HashMap<&str, &PhotoMeasure> = HashMap::new();
        for measure in &dossier.measures {
            if let Some(old) = measure.replaces.as_deref() {
                newer.entry(old).or_insert(measure);
            }
        }
        for measure in &dossier.measures {
            let replaced_by = newer.get(measure.id.as_str()).copied();
            let id = measure.item.as_deref();
            if let (Some(item), None) = (id, replaced_by) {
                found.of_item.entry(item).or_default().push(measure);
            }
            let marked = (measure, id.and_then(|id| items.get(id).copied()));
            let place = found.places.get(measure.photo.as_str());
            if let Some(on) = place.and_then(|&at| found.all.get_mut(at)) {
                on.is_marked = true;
                match replaced_by {
                    Some(newer) => on.replaced.push((marked, newer)),
                    None => on.measures.push(marked),
                }
            }
        }
        found
    }

    /// Returns the photographs in the order of the record.
    pub fn all(&self) -> &[OnPhoto<'d>] {
        &self.all
    }

    /// Returns the photograph with an id.
    pub fn get(&self, id: &str) -> Option<&OnPhoto<'d>> {
        self.all.get(*self.places.get(id)?)
    }

    /// Returns the measures in force of an item, in the order of the record.
    pub fn of_item(&self, item: &str) -> &[&'d PhotoMeasure] {
        self.of_item.get(item).map_or(&[], Vec::as_slice)
    }

    /// Returns the side with a name of a measure in force; `None` where it gives no answer.
    pub fn measured(
        &self,
        measure: &PhotoMeasure,
        name: &str,
    ) -> Option<(&Seen<'d>, &Measurement<'d>, &MeasuredSize)> {
        let seen = self.get(&measure.photo)?.seen().as_ref().ok()?;
        let taken = seen.taken.get(*seen.by_measure.get(measure.id.as_str())?)?;
        let side = taken.sides.iter().find(|s| s.name == name)?;
        Some((seen, taken, side))
    }
}

impl<'d> OnPhoto<'d> {
    /// Whether a measure or the outline of an item is marked on it.
    pub fn is_marked(&self) -> bool {
        self.is_marked
    }

    /// Returns the measures on it that no later one replaces.
    pub fn measures(&self) -> impl Iterator<Item = &'d PhotoMeasure> {
        self.measures.iter().map(|(measure, _)| *measure)
    }

    /// Returns what the photograph gives, worked out when it is asked for first.
    ///
    /// # Errors
    /// Why there is no plane, with the place in the record and the remedy, as one sentence.
    pub fn seen(&self) -> &Result<Seen<'d>, String> {
        self.seen.get_or_init(|| self.fitted())
    }

    fn fitted(&self) -> Result<Seen<'d>, String> {
        let photo_plane = PhotoPlane::of(self.photo)?;
        let measures = self.measures.iter();
        let measured =
            measures.map(|&(measure, item)| Measurement::of(measure, item, &photo_plane));
        let outlines = self.outlines.iter();
        let outlined = outlines
            .map(|o| Measurement::outline(self.photo, o.region, o.item, o.is_round, &photo_plane));
        let (mut taken, mut unused) = (Vec::new(), Vec::new());
        let mut by_measure = HashMap::new();
        for result in measured.chain(outlined) {
            match result {
                Ok(one) => {
                    if let Some(id) = one.id {
                        by_measure.insert(id, taken.len());
                    }
                    taken.push(one);
                }
                Err(why) => unused.push(why),
            }
        }
        Ok(Seen {
            photo_plane,
            taken,
            unused,
            by_measure,
        })
    }

    /// Returns every measure on it that a later one replaces, with what it gave or why it gave nothing, and
    /// the later one.
    pub fn replaced(
        &self,
        photo_plane: &PhotoPlane,
    ) -> impl Iterator<
        Item = (
            &'d PhotoMeasure,
            Result<Measurement<'d>, String>,
            &'d PhotoMeasure,
        ),
    > {
        self.replaced
            .iter()
            .map(|&((old, item), newer)| (old, Measurement::of(old, item, photo_plane), newer))
    }
}
