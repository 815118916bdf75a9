//! Where the document shows what findings and rows rest on.
//!
//! In: places, and the document with its anchors. Out: anchor and words for every place that the
//! document shows, itself or with what it lies in.
//! Not here: what stands outside the record (publications, addresses, log files), which stays text.

use crate::words::Words as _;
use crate::{Block, Document, Target, anchor};
use methods::inputs;
use record::{Dossier, Item, Link, Place, Thing};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Finds where the document shows each place that it mentions.
pub(super) fn index(dossier: &Dossier, document: &Document) -> BTreeMap<Place, Target> {
    let anchors: BTreeSet<String> = document.anchors().into_iter().collect();
    let record = Record::of(dossier);
    mentioned(document)
        .into_iter()
        .filter_map(|place| {
            let mut targets = record.targets(&place).into_iter();
            let target = targets.find(|target| anchors.contains(&target.anchor))?;
            Some((place, target))
        })
        .collect()
}

/// Returns what an entry of the record is called for readers: `reading: mass of Lamp`; `None` for a kind that has no
/// words of its own.
pub fn entry_words(dossier: &Dossier, entry: &Place) -> Option<String> {
    Record::of(dossier).words(entry)
}

/// Collects the places that blocks mention.
fn mentioned(document: &Document) -> BTreeSet<Place> {
    let mut all = BTreeSet::new();
    for block in document.sections.iter().flat_map(|s| s.all()) {
        match block {
            Block::Finding(finding) => {
                all.extend(finding.evidence.iter().cloned());
                all.extend(finding.about.iter().cloned());
                all.extend(finding.missing.iter().filter_map(|m| m.before_step.clone()));
                for input in finding.figures.iter().flat_map(|f| &f.inputs) {
                    all.extend(inputs::places(&input.source.evidence));
                }
            }
            Block::Table(table) => {
                all.extend(table.marks.iter().flat_map(|m| m.evidence.iter().cloned()));
            }
            Block::Claims(claims) => {
                let rows = claims.groups.iter().flat_map(|g| &g.rows);
                all.extend(rows.flat_map(|row| row.evidence.iter().cloned()));
            }
            Block::Chips(_)
            | Block::Strip(_)
            | Block::Heading(_)
            | Block::Paragraph(_)
            | Block::List(_)
            | Block::Answers(_)
            | Block::Caution(_)
            | Block::Drawing { .. }
            | Block::Photo { .. } => {}
        }
    }
    all
}

/// Returns the anchor of an entry of the record where the document shows it.
pub(super) fn anchor_of(entry: &Place) -> String {
    let id = entry.entry_id().unwrap_or_default();
    let word = match entry.thing() {
        Thing::Item => "item",
        Thing::Photo => "photo",
        Thing::Reading => "reading",
        Thing::Measure => "measure",
        Thing::Instrument => "instrument",
        Thing::Claim => "claim",
        Thing::Step => "step",
        Thing::Label => "label",
        Thing::Region => {
            let photo = entry.photo_id().unwrap_or_default();
            return format!("{}.{}", anchor("photo", photo), anchor("region", id));
        }
        // Told apart by more than an id of their own.
        _ => return anchor("place", &entry.to_string()),
    };
    anchor(word, id)
}

/// The record, with its links by place.
struct Record<'d> {
    dossier: &'d Dossier,
    links: HashMap<Place, &'d Link>,
}

impl<'d> Record<'d> {
    fn of(dossier: &'d Dossier) -> Self {
        let links = Place::links(dossier).into_iter().zip(&dossier.links);
        Self {
            dossier,
            links: links.collect(),
        }
    }

    /// Returns where a place may be shown, best first: the entry it is or lies in, what that lies in.
    fn targets(&self, place: &Place) -> Vec<Target> {
        let mut targets = Vec::new();
        let mut at = place.entry();
        while let Some(entry) = at {
            at = entry.parent().and_then(|above| above.entry());
            targets.extend(self.target(place, &entry));
        }
        if place.is_within(&Place::product()) {
            let names = place.names_below(&Place::product());
            targets.push(Target {
                anchor: "table-product".into(),
                words: match names.is_empty() {
                    true => "product".to_string(),
                    false => format!("product: {}", names.join(", ")),
                },
            });
        }
        targets
    }

    fn target(&self, place: &Place, entry: &Place) -> Option<Target> {
        let mut words = self.words(entry)?;
        let inside = place.names_below(entry).join(" ").replace('-', " ");
        // What is seen in a region is seen in its photograph.
        if !inside.is_empty() && place.thing() != Thing::Region {
            words = format!("{words}, {inside}");
        }
        Some(Target {
            anchor: anchor_of(entry),
            words,
        })
    }

    /// Returns the words for an entry; `None` where the document has none for its kind.
    fn words(&self, entry: &Place) -> Option<String> {
        let (dossier, id) = (self.dossier, entry.entry_id()?);
        let name = |id: &str| dossier.item(id).map_or(id.to_string(), |i| i.name.clone());
        Some(match entry.thing() {
            Thing::Item => dossier.item(id)?.name.clone(),
            Thing::Load => {
                let item = dossier.item(entry.item_id()?)?;
                format!("{} on {}", item.name, mode(item, entry)?)
            }
            Thing::Reading => {
                let reading = dossier.reading(id)?;
                format!(
                    "reading: {} of {}",
                    reading.what.words(),
                    name(&reading.item)
                )
            }
            Thing::Measure => {
                let measure = dossier.measure(id)?;
                let of = measure.item.as_deref().map_or(id.to_string(), name);
                format!("measured on a photograph: {} of {of}", measure.what.word())
            }
            Thing::Instrument => format!("instrument: {}", dossier.instrument(id)?.name),
            Thing::Claim => format!("claim: “{}”", dossier.claim(id)?.text),
            Thing::Step => {
                let number = dossier.steps.iter().position(|s| s.id == id)? + 1;
                let text = dossier.step(id)?.text.trim_end_matches('.');
                format!("step {number}: {text}")
            }
            Thing::Label => {
                let label = dossier.product.labels.iter().find(|l| l.id == id)?;
                format!("label: {}", label.place)
            }
            Thing::Photo => format!("photograph: {}", dossier.photo(id)?.caption),
            Thing::Region => {
                let photo = dossier.photo(entry.photo_id()?)?;
                let region = photo.regions.iter().find(|r| r.id == id);
                let caption = region.and_then(|r| {
                    let item = || Some(dossier.item(r.item.as_deref()?)?.name.clone());
                    r.caption.clone().or_else(item)
                });
                let caption = caption.unwrap_or_else(|| photo.caption.clone());
                format!("photograph: {caption}")
            }
            Thing::Link => {
                let link = self.links.get(entry)?;
                format!("link from {} to {}", name(&link.from), name(&link.to))
            }
            _ => return None,
        })
    }
}

/// Returns the mode of the load at a place.
fn mode<'d>(item: &'d Item, place: &Place) -> Option<&'d str> {
    let loads = item.loads.iter().enumerate();
    let mut here = loads.filter(|(n, _)| Place::load(item, *n).as_ref() == Some(place));
    here.next().map(|(_, load)| load.mode.as_str())
}
