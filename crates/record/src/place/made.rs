//! Places made from ids and entries.

use super::{Address, Name, Place, Segment};
use crate::{
    CaptionRuling, Correlation, Dossier, Item, Link, PastRuling, Photo, Product, RepairFact,
};
use std::collections::HashMap;
use std::sync::Arc;

fn key(key: &str) -> Segment {
    Segment::Key(key.to_string())
}

fn entry(id: &str) -> Segment {
    Segment::Entry(Name::first(vec![id.to_string()]))
}

fn in_list(list: &str, id: &str) -> Place {
    Place::of(vec![key(list), entry(id)])
}

/// Returns the entry at `at`, named by `fields`, counted among those before it with the same.
fn counted<T>(entries: &[T], at: usize, fields: impl Fn(&T) -> Vec<String>) -> Option<Segment> {
    let name = fields(entries.get(at)?);
    let number = entries[..=at].iter().filter(|e| fields(e) == name).count();
    Some(Segment::Entry(Name {
        fields: name,
        number,
    }))
}

impl Place {
    /// The whole record.
    pub fn dossier() -> Self {
        Self::of(Vec::new())
    }
    /// `product`
    pub fn product() -> Self {
        Self::of(vec![key("product")])
    }
    /// `items`: the whole list.
    pub fn list_of_items() -> Self {
        Self::of(vec![key("items")])
    }
    /// `readings`: the whole list.
    pub fn list_of_readings() -> Self {
        Self::of(vec![key("readings")])
    }
    /// `steps`: the whole list.
    pub fn list_of_steps() -> Self {
        Self::of(vec![key("steps")])
    }
    /// `links`: the whole list.
    pub fn list_of_links() -> Self {
        Self::of(vec![key("links")])
    }
    /// `items.ID`
    pub fn item(id: &str) -> Self {
        in_list("items", id)
    }
    /// `photo:ID`
    pub fn photo(id: &str) -> Self {
        in_list("photos", id)
    }
    /// `photo:ID#REGION`
    pub fn region(photo: &str, region: &str) -> Self {
        Self::photo(photo).with(key("regions")).with(entry(region))
    }
    /// `reading:ID`
    pub fn reading(id: &str) -> Self {
        in_list("readings", id)
    }
    /// `measure:ID`
    pub fn measure(id: &str) -> Self {
        in_list("measures", id)
    }
    /// `logs.ID`: a charge or discharge of the record; its file alone is [`Place::log`].
    pub fn logged(id: &str) -> Self {
        in_list("logs", id)
    }
    /// `recordings.ID`
    pub fn recording(id: &str) -> Self {
        in_list("recordings", id)
    }
    /// `instruments.ID`
    pub fn instrument(id: &str) -> Self {
        in_list("instruments", id)
    }
    /// `claims.ID`
    pub fn claim(id: &str) -> Self {
        in_list("claims", id)
    }
    /// `steps.ID`
    pub fn step(id: &str) -> Self {
        in_list("steps", id)
    }
    /// `films.ID`
    pub fn film(id: &str) -> Self {
        in_list("films", id)
    }
    /// `modes.NAME`
    pub fn mode(name: &str) -> Self {
        in_list("modes", name)
    }
    /// `label:ID`
    pub fn label(id: &str) -> Self {
        Self::product().with(key("labels")).with(entry(id))
    }
    /// `log:FILE`
    pub fn log(file: &str) -> Self {
        Self(Address::Log(file.to_string()))
    }
    /// The link at `at` in the list of the dossier: `links.FROM,TO,KIND,NET`.
    pub fn link(dossier: &Dossier, at: usize) -> Option<Self> {
        let link = counted(&dossier.links, at, link_fields)?;
        Some(Self::of(vec![key("links"), link]))
    }
    /// All links in the order of the dossier, as [`Place::link`], in one pass.
    pub fn links(dossier: &Dossier) -> Vec<Self> {
        let mut met: HashMap<Vec<String>, usize> = HashMap::new();
        let place = |link| {
            let fields = link_fields(link);
            let number = met.entry(fields.clone()).or_insert(0);
            *number += 1;
            let name = Name {
                fields,
                number: *number,
            };
            Self::of(vec![key("links"), Segment::Entry(name)])
        };
        dossier.links.iter().map(place).collect()
    }
    /// The identifier at `at` in the list of the product: `product.identifiers.KIND`.
    pub fn identifier(product: &Product, at: usize) -> Option<Self> {
        let found = counted(&product.identifiers, at, |i| vec![i.kind.clone()])?;
        Some(Self::product().with(key("identifiers")).with(found))
    }
    /// The correlation at `at` in the list of the dossier: `correlations.FIRST,SECOND`.
    pub fn correlation(dossier: &Dossier, at: usize) -> Option<Self> {
        let fields = |c: &Correlation| c.between.to_vec();
        let found = counted(&dossier.correlations, at, fields)?;
        Some(Self::of(vec![key("correlations"), found]))
    }
    /// The price at `at` in the list of the dossier: `prices.ITEM`.
    pub fn item_price(dossier: &Dossier, at: usize) -> Option<Self> {
        let found = counted(&dossier.prices, at, |p| vec![p.of.clone()])?;
        Some(Self::of(vec![key("prices"), found]))
    }
    /// The rate at `at` in the list of the dossier: `rates.CURRENCY`.
    pub fn rate(dossier: &Dossier, at: usize) -> Option<Self> {
        let found = counted(&dossier.rates, at, |r| vec![r.of.clone()])?;
        Some(Self::of(vec![key("rates"), found]))
    }
    /// The fact about repair at `at` in the list of the dossier: `repair-facts.WHAT,ITEM`.
    pub fn repair_fact(dossier: &Dossier, at: usize) -> Option<Self> {
        let fields = |fact: &RepairFact| {
            let what = serde_json::to_value(fact.what).ok();
            let what = what.and_then(|w| w.as_str().map(str::to_string));
            std::iter::once(what.unwrap_or_default())
                .chain(fact.of.clone())
                .collect()
        };
        let found = counted(&dossier.repair_facts, at, fields)?;
        Some(Self::of(vec![key("repair-facts"), found]))
    }
    /// The decision at `at` in the list of the dossier: `caption-rulings.FILE,BEFORE,AFTER`.
    pub fn caption_ruling(dossier: &Dossier, at: usize) -> Option<Self> {
        let fields = |r: &CaptionRuling| vec![r.file.clone(), r.before.clone(), r.after.clone()];
        let found = counted(&dossier.caption_rulings, at, fields)?;
        Some(Self::of(vec![key("caption-rulings"), found]))
    }
    /// The decision at `at` in the list of the dossier: `past-rulings.FILE,PART`.
    pub fn past_ruling(dossier: &Dossier, at: usize) -> Option<Self> {
        let fields = |r: &PastRuling| vec![r.file.clone(), r.part.clone()];
        let found = counted(&dossier.past_rulings, at, fields)?;
        Some(Self::of(vec![key("past-rulings"), found]))
    }
    /// The load at `at` in the list of the item: `items.ID.loads.MODE`.
    pub fn load(item: &Item, at: usize) -> Option<Self> {
        let load = counted(&item.loads, at, |l| vec![l.mode.clone()])?;
        Some(Self::item(&item.id).with(key("loads")).with(load))
    }
    /// The reference at `at` in the list of the photo: `photos.ID.references.NAME`.
    pub fn reference(photo: &Photo, at: usize) -> Option<Self> {
        let found = counted(&photo.references, at, |r| vec![r.name.clone()])?;
        Some(Self::photo(&photo.id).with(key("references")).with(found))
    }

    /// Goes down to a key, or along several with dots between. Keys that the format does not have
    /// are a mistake in the program; where a number is said to stand there, it shows in every build
    /// with debug assertions.
    #[must_use]
    pub fn at(self, keys: &str) -> Self {
        keys.split('.').fold(self, |place, k| place.at_key(k))
    }

    /// Goes down to a key that may hold dots, such as the name of a rating.
    #[must_use]
    pub fn at_key(self, name: &str) -> Self {
        self.with(key(name))
    }

    /// Goes one step down.
    #[must_use]
    pub(crate) fn with(self, segment: Segment) -> Self {
        match self.0 {
            Address::Record(mut segments) => {
                Arc::make_mut(&mut segments).push(segment);
                Self(Address::Record(segments))
            }
            outside => Self(outside),
        }
    }
}

/// Returns what tells a link apart; the words of its kind are those of the format.
fn link_fields(link: &Link) -> Vec<String> {
    let kind = serde_json::to_value(link.kind)
        .ok()
        .and_then(|k| k.as_str().map(str::to_string));
    let mut fields = vec![link.from.clone(), link.to.clone(), kind.unwrap_or_default()];
    fields.extend(link.net.clone().filter(|net| !net.is_empty()));
    fields
}
