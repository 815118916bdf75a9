//! What faces the outside: where antennas, openings, lights, sensors and contacts are, and what each does.
//!
//! In: which parts face the outside, as found; the photographs. Out: the photographs that show them, each part once
//! with its number; all of them in one table. Not here: which parts those are (`methods::inventory`).

use super::Page;
use super::photos::Chosen;
use crate::Section;
use methods::{Cell, Detail, Finding, Method, RowsOf};
use record::Photo;
use std::collections::BTreeSet;

/// Most photographs: what is shown in none of them stands in the table.
const MOST: usize = 6;

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut working = Vec::new();
    let items = items(page);
    for (photo, shown) in photographs(page, items.clone()) {
        let chosen = Chosen {
            anchor: "outside",
            items: &shown,
        };
        page.photo_of(photo, &chosen, &mut blocks);
    }
    let is_outside =
        |f: &Finding| f.method() == Method::Inventory && f.told_in == Some(RowsOf::Outside);
    let is_told = |detail: &Detail| matches!(detail, Detail::Rows { .. });
    page.answers(is_outside, is_told, &mut blocks, &mut working);
    if items.is_empty() {
        blocks.clear();
    }
    Section {
        id: "section-outside".into(),
        title: "What faces the outside".into(),
        blocks,
        working,
    }
}

/// Returns the ids of the parts that face the outside, as found.
fn items<'a>(page: &Page<'a>) -> BTreeSet<&'a str> {
    let tables = page.details().filter_map(|detail| match detail {
        Detail::Rows {
            of: RowsOf::Outside,
            table,
        } => Some(table),
        _ => None,
    });
    let first = tables.flat_map(|t| t.rows.iter().filter_map(|row| row.first()));
    first
        .filter_map(|cell| match cell {
            Cell::Place { place, .. } => place.item_id(),
            _ => None,
        })
        .collect()
}

/// Chooses photographs: the hero first, then the one that shows most of what none before it shows.
fn photographs<'a>(
    page: &Page<'a>,
    mut open: BTreeSet<&'a str>,
) -> Vec<(&'a Photo, BTreeSet<&'a str>)> {
    let mut chosen = Vec::new();
    while chosen.len() < MOST {
        let shown = |photo: &Photo| -> BTreeSet<&str> {
            let items = photo.regions.iter().filter_map(|r| r.item.as_deref());
            open.iter()
                .copied()
                .filter(|id| items.clone().any(|item| item == *id))
                .collect()
        };
        let usable = page.dossier.photos.iter();
        let usable = usable.filter(|p| page.photographs.shown(&p.file).is_some());
        let best = usable
            .map(|photo| (photo, shown(photo)))
            .rev()
            .max_by_key(|(photo, shown)| (photo.hero && !shown.is_empty(), shown.len()));
        let Some((photo, shown)) = best.filter(|(_, shown)| !shown.is_empty()) else {
            break;
        };
        open.retain(|id| !shown.contains(id));
        chosen.push((photo, shown));
    }
    chosen
}
