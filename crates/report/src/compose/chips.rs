//! The chips: one card for each part number, in the order of interest; then other marked parts.
//!
//! In: the rows of the parts list, the record, crops of its photographs. Out: a section.
//! Not here: who a part is (`methods`); how a card looks (renderers).

mod class;
mod does;

use super::Page;
use crate::cards::{CardCertainty, ChipCard, Chips, Crop, Seat};
use crate::{Block, RowMark, Section, anchor, crop_square, photo_anchor};
pub(super) use class::{Class, class};
use methods::words::{likely, listed, spelt, spelt_start, sureness};
use methods::{Cell, Column, Detail, PartRow};
use quantity::digits;
use record::{Certainty, Item, ItemKind, Photo, Place, Region};

/// A chip of the parts list.
struct Chip<'a> {
    row: &'a PartRow,
    item: &'a Item,
    class: Class,
}

pub(super) fn section(page: &mut Page<'_>) -> Section {
    let mut blocks = Vec::new();
    let parts = page.details().filter_map(|detail| match detail {
        Detail::Parts { rows } => Some(rows),
        _ => None,
    });
    let is_marked = |row: &&PartRow| !(row.marking.is_empty() && row.identity.is_empty());
    let marked: Vec<&PartRow> = parts.flatten().filter(is_marked).collect();
    let (mut chips, mut others) = (Vec::new(), Vec::new());
    for row in marked {
        let item = page.dossier.item(&row.item);
        match item.and_then(|item| Some((item, class(item)?))) {
            Some((item, class)) => chips.push(Chip { row, item, class }),
            None => others.push(row),
        }
    }
    chips.sort_by(|a, b| {
        let area = |chip: &Chip<'_>| area(chip.item);
        (a.class.cmp(&b.class)).then(area(b).total_cmp(&area(a)))
    });
    if !chips.is_empty() {
        blocks.push(Block::Paragraph(how_sure(&chips)));
        let id = page.anchor("chips".into());
        let cards = cards(page, &chips);
        blocks.push(Block::Chips(Chips { id, cards }));
    }
    other_parts(page, &others, &mut blocks);
    Section {
        id: "section-chips".into(),
        title: "The chips".into(),
        blocks,
        working: Vec::new(),
    }
}

/// Counts the chips by how sure they are.
fn how_sure(chips: &[Chip<'_>]) -> String {
    let of = |certainty| {
        let same = chips.iter().filter(|c| c.row.certainty == certainty);
        same.count()
    };
    let told = [
        (of(Some(Certainty::Read)), "read from the marking"),
        (of(Some(Certainty::Inferred)), "inferred"),
        (of(Some(Certainty::Assumed)), "assumed"),
        (of(Some(Certainty::Unknown)), "named without a reason"),
        (of(None), "not identified"),
    ];
    let told = told.iter().filter(|(n, _)| *n > 0);
    let mut text = format!(
        "{}: {}.",
        spelt_start(chips.len(), "chip", "chips"),
        listed(
            told.map(|(n, words)| format!("{} {words}", spelt(*n)))
                .collect()
        )
    );
    let mut lines = chips.iter().map(|c| c.row.marking.as_str());
    if lines.clone().any(|l| l.contains('?')) {
        text.push_str(" In a marking ? stands for a character that cannot be read");
        text.push_str(if lines.any(|l| l.contains('[')) {
            ", [8B] for one that is 8 or B."
        } else {
            "."
        });
    }
    text
}

fn area(item: &Item) -> f64 {
    let side = |name: &str| item.size.get(name).map_or(0.0, quantity::Stated::si);
    side("length") * side("width")
}

/// Makes one card for each part number; chips without one have a card of their own.
fn cards(page: &Page<'_>, chips: &[Chip<'_>]) -> Vec<ChipCard> {
    let mut cards: Vec<(&str, &str, ChipCard)> = Vec::new();
    for chip in chips {
        let (identity, maker) = (chip.row.identity.as_str(), chip.row.maker.as_str());
        let same = cards
            .iter_mut()
            .find(|(i, m, _)| !identity.is_empty() && *i == identity && *m == maker);
        match same {
            Some((.., card)) => join(card, page, chip),
            None => cards.push((identity, maker, card(page, chip))),
        }
    }
    cards
        .into_iter()
        .map(|(.., mut card)| {
            let pieces = card.seats.len();
            if pieces > 1 {
                card.count = format!("{pieces} ×");
            }
            card
        })
        .collect()
}

/// Adds a piece to the card of its part number; the better picture stays, the lesser certainty too.
fn join(card: &mut ChipCard, page: &Page<'_>, chip: &Chip<'_>) {
    card.seats.push(seat(page, chip));
    card.crop = card.crop.take().or_else(|| crop(page, chip.item));
    let certainty = certainty(chip.row);
    if certainty.level < card.certainty.level {
        card.certainty = certainty;
    }
}

fn card(page: &Page<'_>, chip: &Chip<'_>) -> ChipCard {
    let row = chip.row;
    let marking = chip.item.part.as_ref().map(|p| p.marking.clone());
    ChipCard {
        anchor: anchor("chip", &row.item),
        crop: crop(page, chip.item),
        part_number: if row.identity.is_empty() {
            "not identified".into()
        } else {
            row.identity.clone()
        },
        count: String::new(),
        maker: row.maker.clone(),
        role: if row.role.is_empty() {
            row.name.clone()
        } else {
            row.role.clone()
        },
        does: does::sentence(page.dossier, chip.item, chip.class),
        certainty: certainty(row),
        marking: marking.unwrap_or_default(),
        seats: vec![seat(page, chip)],
    }
}

fn certainty(row: &PartRow) -> CardCertainty {
    let level = sureness(row.certainty, row.probability);
    let words = methods::words::how_sure(row.certainty, row.probability);
    let doubt = match (level, row.probability) {
        (3, _) => String::new(),
        (_, Some(p)) => likely(p),
        (_, None) => words.clone(),
    };
    CardCertainty {
        level,
        words,
        doubt,
    }
}

fn seat(page: &Page<'_>, chip: &Chip<'_>) -> Seat {
    let item = chip.item;
    let mut words = vec![chip.row.on.clone()];
    words.extend(designator(item));
    let side = |name: &str| {
        let size = item.size.get(name)?;
        let mm = size.si() * 1e3;
        Some(digits::decimal(mm, 1))
    };
    if let (Some(length), Some(width)) = (side("length"), side("width")) {
        words.push(format!("{length}\u{202f}×\u{202f}{width}\u{202f}mm"));
    }
    words.retain(|w| !w.is_empty());
    Seat {
        words: words.join(", "),
        item: page.dossier.item(&item.id).map(|i| anchor("item", &i.id)),
    }
}

/// Returns the reference printed beside a part: as recorded, else the last word of its name ("Lamp charger U2").
pub(super) fn designator(item: &Item) -> Option<String> {
    let named = item.name.rsplit(' ').next().filter(|word| {
        let digits = word.trim_start_matches(|c: char| c.is_ascii_uppercase());
        digits.len() < word.len()
            && !digits.is_empty()
            && digits.chars().all(|c| c.is_ascii_digit())
    });
    item.designator.clone().or(named.map(str::to_string))
}

/// Cuts the chip out of the photograph that its evidence names, else out of any in which it is marked.
fn crop(page: &Page<'_>, item: &Item) -> Option<Crop> {
    let evidence = item.evidence.iter().map(Place::from);
    let marked = page.dossier.photos.iter().flat_map(|photo| {
        let regions = photo.regions.iter();
        let of = regions.filter(|r| r.item.as_deref() == Some(&item.id));
        of.map(|r| Place::region(&photo.id, &r.id))
    });
    evidence.chain(marked).find_map(|place| {
        let (photo, region) = region(page, &place)?;
        // A whole board is no picture of one part on it.
        let of = region.item.as_deref().and_then(|id| page.dossier.item(id));
        if of.is_some_and(|of| matches!(of.kind, ItemKind::Board | ItemKind::Flex)) {
            return None;
        }
        let shown = page.photographs.shown(&photo.file)?;
        let [_, _, side] = crop_square(photo, region, shown.size);
        Some(Crop {
            picture: page.photographs.crop(&place)?.clone(),
            alternative: format!("{} on the photograph: {}", item.name, photo.caption),
            whole: photo_anchor(&photo.id),
            path: shown.path.clone(),
            bar: bar(photo, f64::from(side)),
        })
    })
}

/// Finds a region of the record.
fn region<'a>(page: &Page<'a>, place: &Place) -> Option<(&'a Photo, &'a Region)> {
    let photo = page.dossier.photo(place.photo_id()?)?;
    let found = |r: &&Region| Place::region(&photo.id, &r.id) == *place;
    Some((photo, photo.regions.iter().find(found)?))
}

/// Lengths of scale bars, mm.
const BARS: [u32; 4] = [1, 2, 5, 10];
/// Share of the width that a scale bar has at least.
const LEAST_BAR: f64 = 0.1;

/// Returns the scale bar under a crop of so many pixels of the photograph.
fn bar(photo: &Photo, side: f64) -> Option<(f64, String)> {
    let per_mm = methods::photogrammetry::pixels_per_mm(photo)?;
    let share = |mm: u32| f64::from(mm) * per_mm / side;
    let mm = BARS.into_iter().find(|mm| share(*mm) >= LEAST_BAR)?;
    (share(mm) <= 1.0).then(|| (share(mm), format!("{mm}\u{202f}mm")))
}

/// Lists marked parts that are no chips.
fn other_parts(page: &mut Page<'_>, others: &[&PartRow], blocks: &mut Vec<Block>) {
    let rows = others.iter().map(|row| {
        let taken = match (row.identity.is_empty(), row.maker.is_empty()) {
            (true, _) => String::new(),
            (false, true) => row.identity.clone(),
            (false, false) => format!("{}, {}", row.identity, row.maker),
        };
        let cells = vec![
            Cell::words(&row.name),
            Cell::words(&row.marking),
            Cell::words(taken),
            super::details::certainty(row),
        ];
        let item = page.dossier.item(&row.item);
        let mark = RowMark {
            link: item.map(|i| anchor("item", &i.id)),
            evidence: row.evidence.clone(),
            ..RowMark::default()
        };
        (cells, mark)
    });
    let rows = rows.collect();
    let columns = ["Part", "Marking", "Taken as", "How sure"].map(Column::words);
    page.table(
        "other-marked-parts",
        "Other marked parts",
        columns.to_vec(),
        rows,
        blocks,
    );
}
