//! Whether chargers, fuses and current limits stay below what a cell bears.
//!
//! In: limits of chargers, ratings of fuses, limits on links, the greatest charge and discharge current of a cell. Out:
//! pairs. Not here: how fast a fuse melts.
//!
//! A fuse is rated for what it bears, and melts above that. What it lets through for long is more: it guards a cell only
//! where its rating lies below what the cell bears.

use super::{Pairs, Rating, chargers, law, rating};
use crate::Case;
use crate::assumed;
use crate::grounds::Grounds;
use crate::network::Joined;
use crate::protection::does::does;
use crate::words::the;
use guards::Function;
use guards::margin::Law;
use quantity::{Dimension, Spread, Stated};
use record::{Item, Place};

/// A rating of a current as the record states it; an unstated spread of a print is the usual one of its kind.
fn stated(
    value: Option<&Stated>,
    words: String,
    place: Place,
    grounds: &mut Grounds,
) -> Option<Rating> {
    let value = value.filter(|s| s.dimension() == Dimension::CURRENT)?;
    let law = match value.spread {
        Spread::None => {
            let row = &assumed::OUTPUT_LIMIT;
            let half = value.si() * row.si();
            grounds.assume(format!(
                "{words}: ± {} assumed, the usual tolerance",
                row.text()
            ));
            Law::Uniform {
                low: value.si() - half,
                high: value.si() + half,
            }
        }
        _ => law(value),
    };
    Some(Rating {
        soft: false,
        law,
        words: format!("{words} ({value})"),
        place,
    })
}

/// What a cell bears is a limit to keep: it has no spread.
fn bears(value: Option<&Stated>, words: String, place: Place) -> Option<Rating> {
    let value = value.filter(|s| s.dimension() == Dimension::CURRENT)?;
    Some(Rating {
        soft: false,
        law: Law::Exact(value.si()),
        words: format!("{words} ({value})"),
        place,
    })
}

/// Compares the limits of the chargers of a cell with the greatest charge current that it bears.
pub(super) fn charge(case: &Case<'_>, cell: &Item, pairs: &mut Pairs) {
    let joined = Joined::of(case, cell);
    if joined.parallel * joined.groups != 1 {
        return;
    }
    let allowed = cell.cell.as_ref().and_then(|c| c.charge_current.as_ref());
    let place = Place::item(&cell.id).at("cell.charge-current");
    let allowed = bears(
        allowed,
        format!("the charge current that {} bears", the(cell)),
        place,
    );
    for charger in chargers(case, cell) {
        let conversion = charger.converts.as_ref();
        let limit = conversion.and_then(|c| c.output_current_limit.as_ref());
        let place = Place::item(&charger.id).at("converts.output-current-limit");
        let words = format!("the limit of the charge current of {}", the(charger));
        let limit = stated(limit, words, place, &mut pairs.grounds);
        pairs.pair(limit.as_ref(), allowed.as_ref());
    }
}

/// Compares what first limits the current out of a cell, a fuse or a current limit, with what the cell bears.
pub(super) fn discharge(case: &Case<'_>, cell: &Item, pairs: &mut Pairs) {
    let joined = Joined::of(case, cell);
    if joined.parallel * joined.groups != 1 {
        return;
    }
    let key = "discharge-current-limit";
    let ratings = cell.part.as_ref().map(|p| &p.ratings);
    let place = Place::item(&cell.id).at("part.ratings").at_key(key);
    let words = format!("the discharge current that {} bears", the(cell));
    let Some(bears) = bears(ratings.and_then(|r| r.get(key)), words, place) else {
        return;
    };
    let limits = |item: &&Item| {
        let does = does(case, item).does;
        [
            Function::Fuse,
            Function::ResettableFuse,
            Function::CurrentLimit,
        ]
        .iter()
        .any(|f| does.contains(f))
    };
    let mut near: Vec<&Item> = case.network().after(cell).map(|(item, _)| item).collect();
    near.extend(
        case.dossier
            .items
            .iter()
            .filter(|i| i.in_return_of.contains(&cell.id)),
    );
    for item in near.into_iter().filter(limits) {
        for (key, what) in [
            ("trip-current", "the trip current"),
            ("rated-current", "the rated current"),
            ("output-current-limit", "the current limit"),
        ] {
            let limit = rating(case, item, key, what);
            pairs.pair(limit.as_ref(), Some(&bears));
        }
    }
    for (number, link) in case.dossier.links.iter().enumerate() {
        if link.from != cell.id {
            continue;
        }
        let Some(place) = Place::link(case.dossier, number) else {
            continue;
        };
        let words = format!("the limit of what {} feeds", the(cell));
        let limit = stated(
            link.current_limit.as_ref(),
            words,
            place.at("current-limit"),
            &mut pairs.grounds,
        );
        pairs.pair(limit.as_ref(), Some(&bears));
    }
}
