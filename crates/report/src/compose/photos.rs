//! Photographs with their numbers: each stands once, at its board or cell, else in the record.
//!
//! In: a photograph of the record, what is shown of it. Out: blocks. Not here: pictures of steps (`opening`), crops of
//! chips (`chips`).

use super::callouts::{self, COLUMN_MM, Drawing, HALF_COLUMN_MM, Named};
use super::chips::{Class, class};
use super::{Page, places};
use crate::{Block, PhotoRegion, anchor, photo_anchor};
use methods::photogrammetry::pixels_per_mm;
use record::{Dossier, Item, ItemKind, Photo, Place};
use std::collections::BTreeSet;

/// Returns one photograph for each board, in the order of the tree: the one in which most of it is marked.
pub(super) fn of_boards(dossier: &Dossier) -> Vec<&Photo> {
    let items = super::inside::tree_order(dossier).into_iter();
    let is_board = |i: &&Item| matches!(i.kind, ItemKind::Board | ItemKind::Flex);
    let mut found: Vec<&Photo> = Vec::new();
    for board in items.map(|(_, item)| item).filter(is_board) {
        let marked = |photo: &Photo| {
            let items = photo.regions.iter().filter_map(|r| r.item.as_deref());
            items
                .filter(|id| {
                    let parent = dossier.item(id).and_then(|i| i.parent.as_deref());
                    *id == board.id || parent == Some(&board.id)
                })
                .count()
        };
        let mut best: Option<(usize, &Photo)> = None;
        for photo in &dossier.photos {
            let count = marked(photo);
            if count > best.map_or(0, |b| b.0) {
                best = Some((count, photo));
            }
        }
        if let Some((_, photo)) = best
            && !found.iter().any(|p| p.id == photo.id)
        {
            found.push(photo);
        }
    }
    found
}

/// Returns the photographs in which cells are marked.
pub(super) fn of_cells(dossier: &Dossier) -> impl Iterator<Item = &Photo> {
    dossier.photos.iter().filter(|photo| {
        let items = photo.regions.iter().filter_map(|r| r.item.as_deref());
        let mut items = items.filter_map(|id| dossier.item(id));
        items.any(|item| item.kind == ItemKind::Cell)
    })
}

/// What of a photograph is numbered.
pub(super) struct Chosen<'c> {
    /// Word before its anchors.
    pub(super) anchor: &'c str,
    /// Ids of the items.
    pub(super) items: &'c BTreeSet<&'c str>,
}

impl Page<'_> {
    /// Shows a photograph where it has not been shown yet, or says why it cannot be shown. What its margins cannot
    /// hold stands in further pictures of it.
    pub(super) fn photo(&mut self, photo: &Photo, blocks: &mut Vec<Block>) {
        let Some(shown) = self.photographs.shown(&photo.file) else {
            let why = self.photographs.left_out.get(&photo.file);
            let why = why.map_or(
                "the file is missing or not a picture that every reader can open",
                String::as_str,
            );
            if self.entry(&Place::photo(&photo.id)).is_some() {
                blocks.push(Block::Paragraph(format!(
                    "Photograph “{}” ({}) is not shown: {why}.",
                    photo.caption, photo.file
                )));
            }
            return;
        };
        if self.entry(&Place::photo(&photo.id)).is_none() {
            return;
        }
        let regions = self.regions(photo);
        let drawing = Drawing {
            size: shown.size,
            column_mm: COLUMN_MM,
            pixels_per_mm: pixels_per_mm(photo),
            alternative: &photo.caption,
            typefaces: &self.photographs.typefaces,
        };
        let mut pictures = Vec::new();
        split(&drawing, regions, &mut pictures);
        let several = pictures.len() > 1;
        for (n, (regions, callouts)) in (1..).zip(pictures) {
            let first = photo_anchor(&photo.id);
            blocks.push(Block::Photo {
                anchor: if n == 1 {
                    first
                } else {
                    self.anchor(format!("{first}-{n}"))
                },
                caption: if several {
                    format!("{} ({n})", photo.caption)
                } else {
                    photo.caption.clone()
                },
                shown: shown.clone(),
                callouts,
                regions,
            });
        }
    }

    /// Shows a photograph with the first region of each chosen item numbered, wherever else it is shown.
    pub(super) fn photo_of(&mut self, photo: &Photo, chosen: &Chosen<'_>, blocks: &mut Vec<Block>) {
        let Some(shown) = self.photographs.shown(&photo.file) else {
            return;
        };
        let mut told = BTreeSet::new();
        let mut regions = Vec::new();
        for region in photo.regions.iter().filter(|r| !r.private) {
            let item = region
                .item
                .as_deref()
                .filter(|id| chosen.items.contains(id));
            let Some(item) = item.and_then(|id| self.dossier.item(id)) else {
                continue;
            };
            if told.insert(item.id.as_str()) {
                let place = places::anchor_of(&Place::region(&photo.id, &region.id));
                regions.push(PhotoRegion {
                    anchor: self.anchor(format!("{}-{place}", chosen.anchor)),
                    words: legend(item).unwrap_or_else(|| item.name.clone()),
                    rect: region.rect,
                    item: Some(anchor("item", &item.id)),
                    traces: Vec::new(),
                });
            }
        }
        let drawing = Drawing {
            size: shown.size,
            column_mm: HALF_COLUMN_MM,
            pixels_per_mm: pixels_per_mm(photo),
            alternative: &photo.caption,
            typefaces: &self.photographs.typefaces,
        };
        let callouts = drawing
            .clear(&mut regions)
            .or_else(|| drawing.any(&mut regions));
        blocks.push(Block::Photo {
            anchor: self.anchor(format!("{}-{}", chosen.anchor, photo_anchor(&photo.id))),
            caption: photo.caption.clone(),
            shown: shown.clone(),
            callouts,
            regions,
        });
    }

    /// Lists what is numbered in a photograph. What is only the ground of other regions, a whole board, has no number.
    fn regions(&mut self, photo: &Photo) -> Vec<(Role, PhotoRegion)> {
        let named = callouts::named(self.dossier, self.findings, photo);
        let is_ground = |ground: &Named| {
            let item = ground.item.as_deref().and_then(|id| self.dossier.item(id));
            let carries = item.is_some_and(|item| {
                matches!(
                    item.kind,
                    ItemKind::Board | ItemKind::Flex | ItemKind::Assembly | ItemKind::Product
                )
            });
            let others = named.iter().filter(|n| n.rect != ground.rect);
            carries
                && ground.traces.is_empty()
                && others.filter(|n| lies_in(n.rect, ground.rect)).count() > 1
        };
        let told: Vec<bool> = named.iter().map(|n| !is_ground(n)).collect();
        let named = named.into_iter().zip(told).filter(|(_, told)| *told);
        named
            .map(|(named, _)| {
                let item = named.item.as_deref().and_then(|id| self.dossier.item(id));
                let region = PhotoRegion {
                    anchor: self.anchor(places::anchor_of(&named.place)),
                    words: if named.traces.is_empty() {
                        item.and_then(legend).unwrap_or(named.words)
                    } else {
                        named.words
                    },
                    rect: named.rect,
                    item: named.item.as_ref().map(|id| anchor("item", id)),
                    traces: named.traces,
                };
                (item.map_or(Role::Rest, role), region)
            })
            .collect()
    }
}

fn lies_in([x, y, w, h]: [u32; 4], [left, top, width, height]: [u32; 4]) -> bool {
    let inside = |at: u32, side: u32, from: u32, length: u32| {
        at >= from && u64::from(at) + u64::from(side) <= u64::from(from) + u64::from(length)
    };
    inside(x, w, left, width) && inside(y, h, top, height)
}

/// Names a part for a legend: designator, part number, maker, role; `None` for what has no part number.
fn legend(item: &Item) -> Option<String> {
    let identity = item.part.as_ref()?.identity.as_ref()?;
    let named = super::chips::designator(item).unwrap_or_default();
    let mut words = vec![format!("{named} {}", identity.name).trim().to_string()];
    words.extend(identity.maker.clone());
    words.extend(item.role.clone());
    Some(words.join(", "))
}

/// What a picture is split by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Role {
    Power,
    Logic,
    Rest,
}

fn role(item: &Item) -> Role {
    match class(item) {
        Some(Class::Charger | Class::Converter | Class::Receiver | Class::Protection) => {
            Role::Power
        }
        Some(_) => Role::Logic,
        // Inductors and clamps belong to the supply.
        None if item.part.is_some() => Role::Power,
        None => Role::Rest,
    }
}

type Numbered = (Vec<PhotoRegion>, Option<crate::Callouts>);

/// Ways to part what one picture cannot hold: what stands together in a picture, in the order tried.
const PARTINGS: [&[&[Role]]; 3] = [
    &[&[Role::Power], &[Role::Logic, Role::Rest]],
    &[&[Role::Power, Role::Logic], &[Role::Rest]],
    &[&[Role::Power], &[Role::Logic], &[Role::Rest]],
];

/// Draws regions in as few pictures as their numbers need: all in one, else parted by role, else by halves.
fn split(drawing: &Drawing<'_>, regions: Vec<(Role, PhotoRegion)>, pictures: &mut Vec<Numbered>) {
    let clear = |regions: &[(Role, PhotoRegion)]| {
        let mut plain = plain(regions);
        let callouts = drawing.clear(&mut plain)?;
        Some((plain, Some(callouts)))
    };
    if regions.is_empty() {
        pictures.push((Vec::new(), None));
        return;
    }
    if let Some(one) = clear(&regions) {
        pictures.push(one);
        return;
    }
    if let [_] = regions[..] {
        let mut plain = plain(&regions);
        let callouts = drawing.any(&mut plain);
        pictures.push((plain, callouts));
        return;
    }
    for parting in PARTINGS {
        let of = |roles: &&[Role]| {
            let same = regions.iter().filter(|(role, _)| roles.contains(role));
            same.cloned().collect::<Vec<_>>()
        };
        let parts = parting.iter().map(of).filter(|part| !part.is_empty());
        if let Some(parts) = parts.map(|part| clear(&part)).collect::<Option<Vec<_>>>() {
            pictures.extend(parts);
            return;
        }
    }
    let mut first = regions;
    let second = first.split_off(first.len().div_ceil(2));
    split(drawing, first, pictures);
    split(drawing, second, pictures);
}

fn plain(regions: &[(Role, PhotoRegion)]) -> Vec<PhotoRegion> {
    regions.iter().map(|(_, region)| region.clone()).collect()
}
