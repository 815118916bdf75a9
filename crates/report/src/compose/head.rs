//! The head: what it is, how its claims came out, five figures, the claims to know first.
//!
//! In: record, findings, the rows of the table of claims. Out: a [`Head`]. Not here: drawing.

mod figures;
mod judgement;
mod shots;

use super::Page;
use crate::words::capital;
use crate::{
    Block, ChipCard, ClaimTable, Head, Hero, Section, Tally, Telling, TellingRow, photo_anchor,
};
use methods::words::lower;
use record::{Dossier, Item, Photo, Place};

/// Most claims in the second look, but for what completes the last group.
const TELLING: usize = 6;
/// Most claims that may complete a group.
const COMPLETED: usize = 2;

/// Makes the head of a report with these sections.
pub(super) fn head(page: &Page<'_>, sections: &[Section]) -> Head {
    let claims = sections
        .iter()
        .flat_map(|s| &s.blocks)
        .find_map(|block| match block {
            Block::Claims(claims) => Some(claims),
            _ => None,
        });
    Head {
        hero: hero(page),
        about: about(page.dossier),
        judgement: judgement::judgement(page),
        tally: claims.map(tally).unwrap_or_default(),
        notes: notes(page.dossier),
        figures: figures::figures(page),
        telling: claims.map(telling).unwrap_or_default(),
        chips: chips(sections),
        boards: shots::boards(page),
        opening: shots::opening(page),
    }
}

/// Returns the photograph that opens the report, and the rectangle of it to show where a region tells: the one
/// that is marked so; else, of those taken before the first step, the one that the product or one of its
/// assemblies fills most; else the first photograph of all.
pub fn hero_photo(dossier: &Dossier) -> Option<(&Photo, Option<[u32; 4]>)> {
    let of_whole = |photo: &Photo| {
        let regions = photo.regions.iter().filter(|region| {
            let item = region.item.as_deref().and_then(|id| dossier.item(id));
            item.is_some_and(|item| level(dossier, item) < 2)
        });
        let area = |rect: [u32; 4]| u64::from(rect[2]) * u64::from(rect[3]);
        regions
            .map(|region| region.rect)
            .max_by_key(|rect| area(*rect))
    };
    if let Some(photo) = dossier.photos.iter().find(|photo| photo.hero) {
        return Some((photo, of_whole(photo)));
    }
    let share = |photo: &Photo, rect: [u32; 4]| {
        let [width, height] = photo.pixels.unwrap_or([1, 1]).map(f64::from);
        f64::from(rect[2]) * f64::from(rect[3]) / (width * height).max(1.0)
    };
    let closed = dossier.photos.iter().filter(|photo| photo.after.is_none());
    let whole = closed.filter_map(|photo| Some((photo, of_whole(photo)?)));
    whole
        .map(|(photo, rect)| (photo, rect, share(photo, rect)))
        // The first of equals.
        .reduce(|best, next| if next.2 > best.2 { next } else { best })
        .map(|(photo, rect, _)| (photo, Some(rect)))
        .or_else(|| dossier.photos.first().map(|photo| (photo, None)))
}

/// Returns how deep an item lies, 0 for a root; cycles end.
fn level(dossier: &Dossier, item: &Item) -> usize {
    let mut at = item;
    for level in 0..=dossier.items.len() {
        match at.parent.as_deref().and_then(|id| dossier.item(id)) {
            Some(parent) => at = parent,
            None => return level,
        }
    }
    usize::MAX
}

/// Returns the assembly right below the product that an item is or lies in.
fn owner<'d>(dossier: &'d Dossier, item: &'d Item) -> Option<&'d Item> {
    let mut at = item;
    for _ in 0..=dossier.items.len() {
        let parent = dossier.item(at.parent.as_deref()?)?;
        if parent.parent.is_none() {
            return Some(at);
        }
        at = parent;
    }
    None
}

/// Returns the words for the thing that owns an item, for the middle of a sentence ("lamp"); "product" where no
/// assembly does.
fn owner_words(dossier: &Dossier, item: Option<&str>) -> String {
    let item = item.and_then(|id| dossier.item(id));
    let owner = item.and_then(|item| owner(dossier, item));
    owner.map_or_else(|| "product".to_string(), |item| lower(&item.name))
}

fn hero(page: &Page<'_>) -> Option<Hero> {
    let picture = page.photographs.hero.clone()?;
    let (photo, _) = hero_photo(page.dossier)?;
    Some(Hero {
        picture,
        caption: photo.caption.clone(),
        anchor: photo_anchor(&photo.id),
    })
}

fn about(dossier: &Dossier) -> Vec<String> {
    let product = &dossier.product;
    let mut first = product.maker.clone();
    if let Some(model) = &product.model {
        first += &format!(", model {model}");
    }
    first.push('.');
    if let Some(category) = &product.category {
        first += &format!(" {}.", capital(category.trim_end_matches('.')));
    }
    let mut second = String::new();
    if let Some(price) = &product.price {
        let tax = match price.tax_included {
            Some(true) => " with tax",
            Some(false) => " before tax",
            None => "",
        };
        second += &format!("{}{tax}. ", price.paid);
    }
    second += &format!("Opened {}", product.opened.strftime("%-d %B %Y"));
    if let Some(analyst) = &product.analyst {
        second += &format!(" by {}", analyst.trim_end_matches('.'));
    }
    second.push('.');
    vec![first, second]
}

fn notes(dossier: &Dossier) -> Vec<String> {
    let disclosed = crate::disclosure(dossier).join(" ");
    vec![
        "± is half the 95 % interval, here and everywhere.".into(),
        disclosed,
    ]
}

fn chips(sections: &[Section]) -> Vec<ChipCard> {
    let blocks = sections.iter().flat_map(|s| &s.blocks);
    let cards = blocks.filter_map(|block| match block {
        Block::Chips(chips) => Some(&chips.cards),
        _ => None,
    });
    cards.flatten().cloned().collect()
}

fn tally(claims: &ClaimTable) -> Vec<Tally> {
    let groups = claims.groups.iter();
    groups
        .map(|group| Tally {
            verdict: group.verdict,
            count: group.rows.len(),
            verb: super::summary::short_verb(group.verdict, group.rows.len()),
            anchor: group
                .rows
                .iter()
                .find_map(|row| row.anchor.clone())
                .unwrap_or_else(|| claims.id.clone()),
        })
        .collect()
}

fn telling(claims: &ClaimTable) -> Telling {
    let decided = |verdict: methods::Verdict| verdict == methods::Verdict::Holds;
    let open = claims.groups.iter().filter(|group| !decided(group.verdict));
    let mut rows = Vec::new();
    for group in open {
        let room = TELLING.saturating_sub(rows.len());
        if room == 0 {
            break;
        }
        let all = group.rows.len() <= room + COMPLETED;
        let shown = if all { group.rows.len() } else { room };
        rows.extend(
            group
                .rows
                .iter()
                .take(shown)
                .map(|row| (group.verdict, row)),
        );
    }
    let rows = rows.into_iter().map(|(verdict, row)| TellingRow {
        said: row.said.clone(),
        found: row.found.clone(),
        amount: if row.margin.is_empty() || verdict != methods::Verdict::Fails {
            row.reason.clone()
        } else {
            row.margin.clone()
        },
        verdict,
        anchor: row.anchor.clone().unwrap_or_else(|| claims.id.clone()),
    });
    let mut before = 0;
    let told = claims.groups.iter().filter(|group| !decided(group.verdict));
    let told = told.take_while(|group| {
        let begins = before < TELLING;
        before += group.rows.len();
        begins
    });
    let counted = told.enumerate().map(|(at, group)| {
        let n = group.rows.len();
        let number = judgement::number(n);
        let verb = super::summary::verb(group.verdict, n);
        match (at, n) {
            (0, 1) => format!("{} claim {verb}", capital(&number)),
            (0, _) => format!("{} claims {verb}", capital(&number)),
            _ => format!("{number} {verb}"),
        }
    });
    let heading = counted.collect::<Vec<_>>().join(", ");
    Telling {
        heading,
        rows: rows.collect(),
    }
}

/// Returns whether a place is this claim.
fn is_claim(place: Option<&Place>, id: &str) -> bool {
    place == Some(&Place::claim(id))
}
