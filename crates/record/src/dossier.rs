//! The whole record.

use crate::*;
use serde::{Deserialize, Serialize};

/// Everything recorded about one opened product. Keys are those of `dossier.toml`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Dossier {
    /// Version of the text format: 1.
    pub format: u32,
    /// `[product]`
    pub product: Product,
    /// `[[instruments]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub instruments: Vec<Instrument>,
    /// `[[photos]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<Photo>,
    /// `[[claims]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub claims: Vec<Claim>,
    /// `[[items]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub items: Vec<Item>,
    /// `[[links]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub links: Vec<Link>,
    /// `[[modes]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub modes: Vec<Mode>,
    /// `[[steps]]`, in the order done.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<Step>,
    /// `[[readings]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<Reading>,
    /// `[[logs]]`: what meters recorded.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub logs: Vec<Log>,
    /// `[[recordings]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub recordings: Vec<Recording>,
    /// `[[measures]]` taken on photographs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub measures: Vec<PhotoMeasure>,
    /// `[[correlations]]` between readings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub correlations: Vec<Correlation>,
    /// `[cost]`
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost: Option<CostAsked>,
    /// `[[prices]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub prices: Vec<ItemPrice>,
    /// `[[rates]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rates: Vec<ExchangeRate>,
    /// `[repair]`
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repair: Option<RepairAsked>,
    /// `[[repair-facts]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub repair_facts: Vec<RepairFact>,
    /// `[[films]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub films: Vec<Film>,
    /// `[[pronunciations]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pronunciations: Vec<Pronunciation>,
    /// `[[caption-rulings]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub caption_rulings: Vec<CaptionRuling>,
    /// `[[past-rulings]]`
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub past_rulings: Vec<PastRuling>,
}

impl Dossier {
    /// Looks an item up by id.
    pub fn item(&self, id: &str) -> Option<&Item> {
        self.items.iter().find(|i| i.id == id)
    }
    /// Looks a reading up by id.
    pub fn reading(&self, id: &str) -> Option<&Reading> {
        self.readings.iter().find(|r| r.id == id)
    }
    /// Looks a sound recording up by id.
    pub fn recording(&self, id: &str) -> Option<&Recording> {
        self.recordings.iter().find(|r| r.id == id)
    }
    /// Looks a measure up by id.
    pub fn measure(&self, id: &str) -> Option<&PhotoMeasure> {
        self.measures.iter().find(|m| m.id == id)
    }
    /// Returns the measures that no later one replaces, in the order of the record.
    pub fn current_measures(&self) -> impl Iterator<Item = &PhotoMeasure> {
        let replaced = |id: &str| {
            self.measures
                .iter()
                .any(|m| m.replaces.as_deref() == Some(id))
        };
        self.measures.iter().filter(move |m| !replaced(&m.id))
    }
    /// Looks an instrument up by id.
    pub fn instrument(&self, id: &str) -> Option<&Instrument> {
        self.instruments.iter().find(|i| i.id == id)
    }
    /// Looks a photo up by id.
    pub fn photo(&self, id: &str) -> Option<&Photo> {
        self.photos.iter().find(|p| p.id == id)
    }
    /// Looks a claim up by id.
    pub fn claim(&self, id: &str) -> Option<&Claim> {
        self.claims.iter().find(|c| c.id == id)
    }
    /// Looks a log up by id.
    pub fn log(&self, id: &str) -> Option<&Log> {
        self.logs.iter().find(|l| l.id == id)
    }
    /// Looks a step up by id.
    pub fn step(&self, id: &str) -> Option<&Step> {
        self.steps.iter().find(|s| s.id == id)
    }
    /// Returns the items directly inside `id`.
    pub fn children<'a>(&'a self, id: &'a str) -> impl Iterator<Item = &'a Item> {
        self.items
            .iter()
            .filter(move |i| i.parent.as_deref() == Some(id))
    }
}
