//! Where the document shows a piece of evidence.
//!
//! In: evidence as written (`photo:ID#REGION`, `label:ID`, `items.cell.capacity`, `claim:ID`) and
//! the document with its anchors. Out: anchor and words for every piece that the document shows.
//! Not here: evidence outside the record (publications, addresses, log files), which stays text.

use crate::{Block, Document, Place, anchor};
use record::Dossier;
use std::collections::{BTreeMap, BTreeSet};

/// Finds the places of all evidence that the document mentions.
pub(super) fn index(dossier: &Dossier, document: &Document) -> BTreeMap<String, Place> {
    let anchors: BTreeSet<String> = document.anchors().into_iter().collect();
    mentioned(document)
        .into_iter()
        .filter_map(|evidence| {
            let place = candidates(dossier, &evidence)
                .into_iter()
                .find(|place| anchors.contains(&place.anchor))?;
            Some((evidence, place))
        })
        .collect()
}

/// Collects the evidence that blocks mention.
fn mentioned(document: &Document) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for block in document.sections.iter().flat_map(|s| &s.blocks) {
        match block {
            Block::Finding(finding) => {
                all.extend(finding.evidence.iter().cloned());
                all.extend(finding.about.iter().map(ToString::to_string));
                all.extend(
                    finding
                        .missing
                        .iter()
                        .filter_map(|m| m.before_step.clone())
                        .map(step),
                );
                for input in finding.figures.iter().flat_map(|f| &f.inputs) {
                    all.extend(input.source.evidence.iter().cloned());
                }
            }
            Block::Table(table) => {
                all.extend(table.marks.iter().flat_map(|m| m.evidence.iter().cloned()));
            }
            Block::Heading(_)
            | Block::Paragraph(_)
            | Block::List(_)
            | Block::Caution(_)
            | Block::Drawing { .. }
            | Block::Photo { .. } => {}
        }
    }
    all
}

fn step(id: String) -> String {
    format!("step:{id}")
}

/// Returns where a piece of evidence may be shown, best first.
fn candidates(dossier: &Dossier, evidence: &str) -> Vec<Place> {
    if let Some(item) = whole_item(dossier, evidence) {
        return entry(dossier, "item", item).into_iter().collect();
    }
    if let Some((scheme, rest)) = evidence.split_once(':') {
        return match scheme {
            "photo" => photo(dossier, rest),
            "url" | "text" | "log" => Vec::new(),
            kind => entry(dossier, kind, rest).into_iter().collect(),
        };
    }
    match evidence.split_once('.') {
        Some((table, path)) => in_table(dossier, table, path),
        // A bare id does not say of what.
        None => Vec::new(),
    }
}

/// Returns the id where the place is an item as a whole.
fn whole_item<'d>(dossier: &'d Dossier, evidence: &str) -> Option<&'d str> {
    let place: record::Place = evidence.parse().ok()?;
    let id = &dossier.item(place.item_id()?)?.id;
    (record::Place::item(id) == place).then_some(id)
}

/// Resolves `items.cell.capacity`: ids may hold dots, so the longest id that exists wins.
fn in_table(dossier: &Dossier, table: &str, path: &str) -> Vec<Place> {
    if table == "product" {
        let words = format!("product: {}", path.replace('.', ", "));
        let label = path
            .strip_prefix("labels.")
            .and_then(|rest| longest(dossier, "label", rest));
        return label
            .into_iter()
            .chain([Place {
                anchor: "section-intake".into(),
                words,
            }])
            .collect();
    }
    longest(dossier, table, path).into_iter().collect()
}

fn longest(dossier: &Dossier, kind: &str, path: &str) -> Option<Place> {
    let ends = path
        .match_indices('.')
        .map(|(at, _)| at)
        .chain([path.len()]);
    let mut ends: Vec<usize> = ends.collect();
    ends.reverse();
    ends.into_iter().find_map(|end| {
        let mut place = entry(dossier, kind, &path[..end])?;
        let field = path[end..].trim_start_matches('.').replace(['.', '-'], " ");
        if !field.is_empty() {
            place.words = format!("{}, {field}", place.words);
        }
        Some(place)
    })
}

/// Resolves an entry of the record by kind (singular or plural) and id.
fn entry(dossier: &Dossier, kind: &str, id: &str) -> Option<Place> {
    let singular = kind.strip_suffix('s').unwrap_or(kind);
    let words = match singular {
        "item" => dossier.item(id)?.name.clone(),
        "reading" => {
            let reading = dossier.reading(id)?;
            let name = dossier
                .item(&reading.item)
                .map_or(reading.item.as_str(), |i| &i.name);
            format!(
                "reading: {} of {name}",
                crate::words::Words::words(reading.what)
            )
        }
        "measure" => {
            let measure = dossier.measure(id)?;
            let name = measure
                .item
                .as_deref()
                .and_then(|item| dossier.item(item))
                .map_or(id, |item| item.name.as_str());
            format!(
                "measured on a photograph: {} of {name}",
                measure.what.word()
            )
        }
        "instrument" => format!("instrument: {}", dossier.instrument(id)?.name),
        "claim" => format!("claim: “{}”", dossier.claim(id)?.text),
        "step" => {
            let number = dossier.steps.iter().position(|s| s.id == id)? + 1;
            format!("step {number}: {}", dossier.step(id)?.text)
        }
        "label" => {
            let label = dossier.product.labels.iter().find(|l| l.id == id)?;
            format!("label: {}", label.place)
        }
        "photo" => format!("photograph: {}", dossier.photo(id)?.caption),
        "link" => {
            let link = dossier
                .links
                .iter()
                .find(|l| super::power::link_id(l) == id)?;
            let name = |id: &str| dossier.item(id).map_or(id.to_string(), |i| i.name.clone());
            format!("link from {} to {}", name(&link.from), name(&link.to))
        }
        "finding" => format!("finding: {id}"),
        _ => return None,
    };
    Some(Place {
        anchor: anchor(singular, id),
        words,
    })
}

/// Returns the anchor of a region or a measure where its photograph shows it.
pub(super) fn shown(evidence: &str) -> String {
    match evidence.split_once(':') {
        Some(("photo", place)) => match place.split_once('#') {
            Some((id, region)) => region_anchor(id, region),
            None => anchor("photo", place),
        },
        Some((kind, id)) => anchor(kind, id),
        None => anchor("place", evidence),
    }
}

fn region_anchor(photo: &str, region: &str) -> String {
    format!("{}.{}", anchor("photo", photo), anchor("region", region))
}

fn photo(dossier: &Dossier, rest: &str) -> Vec<Place> {
    let (id, region) = match rest.split_once('#') {
        Some((id, region)) => (id, Some(region)),
        None => (rest, None),
    };
    let Some(photo) = dossier.photo(id) else {
        return Vec::new();
    };
    let mut places = Vec::new();
    if let Some(region) = region {
        let found = photo.regions.iter().find(|r| r.id == region);
        let caption = found.and_then(|r| {
            r.caption
                .clone()
                .or_else(|| Some(dossier.item(r.item.as_deref()?)?.name.clone()))
        });
        places.push(Place {
            anchor: region_anchor(id, region),
            words: format!(
                "photograph: {}",
                caption.unwrap_or_else(|| photo.caption.clone())
            ),
        });
    }
    places.push(Place {
        anchor: anchor("photo", id),
        words: format!("photograph: {}", photo.caption),
    });
    places
}
