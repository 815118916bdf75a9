//! Entries of a dossier by id and by what they are about, looked up without a search.
//!
//! In: a dossier. Out: its entries. Not here: the item tree (`tree`).

use record::{
    Claim, ClaimKind, Dossier, Instrument, Item, ItemKind, Photo, Reading, ReadingSubject,
};
use std::collections::{HashMap, HashSet};

/// Entries of a dossier by their ids. The first of equal ids counts.
#[derive(Debug)]
pub struct Lookup<'d> {
    readings: HashMap<&'d str, usize>,
    read: &'d [Reading],
    product: Option<&'d Item>,
    of: HashMap<&'d str, HashMap<ReadingSubject, Vec<&'d Reading>>>,
    about: HashMap<ReadingSubject, Vec<&'d Reading>>,
    photos: HashMap<&'d str, &'d Photo>,
    instruments: HashMap<&'d str, &'d Instrument>,
    claims: HashMap<&'d str, &'d Claim>,
    steps: HashMap<&'d str, usize>,
    inputs: HashMap<&'d str, Vec<&'d Claim>>,
    modes: HashSet<&'d str>,
    stored: HashMap<Option<&'d str>, usize>,
    claimed: &'d [Claim],
}

fn by_id<'d, T>(entries: &'d [T], id: impl Fn(&'d T) -> &'d str) -> HashMap<&'d str, &'d T> {
    let mut found = HashMap::with_capacity(entries.len());
    for entry in entries {
        found.entry(id(entry)).or_insert(entry);
    }
    found
}

/// Returns the first root that is a product, or else the first root.
fn product(dossier: &Dossier) -> Option<&Item> {
    let roots = || dossier.items.iter().filter(|i| i.parent.is_none());
    let product = roots().find(|i| i.kind == ItemKind::Product);
    product.or_else(|| roots().next())
}

impl<'d> Lookup<'d> {
    /// Makes the maps of a dossier.
    pub fn of(dossier: &'d Dossier) -> Self {
        let mut found = Self {
            readings: HashMap::new(),
            read: &dossier.readings,
            product: product(dossier),
            of: HashMap::new(),
            about: HashMap::new(),
            photos: by_id(&dossier.photos, |p| &p.id),
            instruments: by_id(&dossier.instruments, |i| &i.id),
            claims: by_id(&dossier.claims, |c| &c.id),
            steps: HashMap::new(),
            inputs: HashMap::new(),
            modes: HashSet::new(),
            stored: HashMap::new(),
            claimed: &dossier.claims,
        };
        for (at, reading) in dossier.readings.iter().enumerate() {
            found.readings.entry(reading.id.as_str()).or_insert(at);
            let of = found.of.entry(reading.item.as_str()).or_default();
            of.entry(reading.what).or_default().push(reading);
            found.about.entry(reading.what).or_default().push(reading);
        }
        for (at, step) in dossier.steps.iter().enumerate() {
            found.steps.entry(step.id.as_str()).or_insert(at);
        }
        for claim in dossier.claims.iter().filter(|c| c.kind == ClaimKind::Input) {
            if let Some(item) = claim.says.item.as_deref() {
                found.inputs.entry(item).or_default().push(claim);
            }
        }
        for (at, claim) in dossier.claims.iter().enumerate() {
            if claim.kind == ClaimKind::Recharges && claim.after.is_some() {
                found.stored.entry(claim.says.item.as_deref()).or_insert(at);
            }
        }
        let loads = dossier.items.iter().flat_map(|i| &i.loads);
        found.modes = loads.map(|l| l.mode.as_str()).collect();
        found
    }

    /// Returns the reading with an id.
    pub fn reading(&self, id: &str) -> Option<&'d Reading> {
        self.place_of_reading(id).map(|at| &self.read[at])
    }

    /// Returns the place of a reading in the list of readings.
    pub fn place_of_reading(&self, id: &str) -> Option<usize> {
        self.readings.get(id).copied()
    }

    /// Returns the item that stands for the whole product.
    pub fn product(&self) -> Option<&'d Item> {
        self.product
    }

    /// Returns the readings of one property of one item, in the order of the record.
    pub fn readings_of(&self, item: &str, what: ReadingSubject) -> &[&'d Reading] {
        let of = self.of.get(item).and_then(|of| of.get(&what));
        of.map_or(&[], Vec::as_slice)
    }

    /// Returns the readings of one property of any item, in the order of the record.
    pub fn readings_about(&self, what: ReadingSubject) -> &[&'d Reading] {
        self.about.get(&what).map_or(&[], Vec::as_slice)
    }

    /// Returns the photograph with an id.
    pub fn photo(&self, id: &str) -> Option<&'d Photo> {
        self.photos.get(id).copied()
    }

    /// Returns the instrument with an id.
    pub fn instrument(&self, id: &str) -> Option<&'d Instrument> {
        self.instruments.get(id).copied()
    }

    /// Returns the claim with an id.
    pub fn claim(&self, id: &str) -> Option<&'d Claim> {
        self.claims.get(id).copied()
    }

    /// Returns the place of a step in the list of steps.
    pub fn step(&self, id: &str) -> Option<usize> {
        self.steps.get(id).copied()
    }

    /// Returns the claims on what may be plugged into an item, in the order of the record.
    pub fn input_claims(&self, item: &str) -> &[&'d Claim] {
        self.inputs.get(item).map_or(&[], Vec::as_slice)
    }

    /// Returns the first claim on recharges that states a time in storage and is about one of some items
    /// or about the whole.
    pub fn storage_claim<'a>(&self, items: impl Iterator<Item = &'a str>) -> Option<&'d Claim> {
        let about = items.map(Some).chain([None]);
        let first = about.filter_map(|item| self.stored.get(&item)).min()?;
        Some(&self.claimed[*first])
    }

    /// Returns whether some item has a load in a mode of use.
    pub fn has_mode(&self, mode: &str) -> bool {
        self.modes.contains(mode)
    }
}
