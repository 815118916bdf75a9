//! Parts of this product that no earlier one showed, and what so many earlier ones can and cannot say.

use super::{Set, begin, of_them};
use crate::others::{Other, OtherPart, key, profile, same, there};
use crate::words::{counted, percent, spelt_start};
use crate::{Case, Cell, Column, Detail, Finding, Table, assumed};
use ::standing::many::benjamini_hochberg;
use ::standing::sighting::{Kinds, Unseen, chance_unseen};
use std::collections::{BTreeMap, BTreeSet};

/// Parts that are told.
const TOLD: usize = 4;
/// A part that so many products have is no longer rare.
fn rare() -> f64 {
    assumed::RARE_PART.si()
}

const SURE: f64 = assumed::CLAIM_DECIDED.number();

struct New {
    part: OtherPart,
    unseen: Unseen,
}

pub(super) fn told(case: &Case<'_>, set: &Set<'_>) -> Option<Finding> {
    let product = &case.dossier.product;
    let own = profile(case, "");
    let day = product.released.unwrap_or_else(|| there(product));
    let before = |other: &&&Other| other.was_there_before(day) == Some(true);
    let earlier: Vec<&Other> = set.others.iter().filter(before).copied().collect();
    let mut named: BTreeMap<String, OtherPart> = BTreeMap::new();
    for part in own.parts.iter().filter(|part| part.read && !part.name.is_empty()) {
        named.entry(key(&part.name)).or_insert_with(|| part.clone());
    }
    if named.is_empty() || earlier.is_empty() {
        return None;
    }
    let seen: BTreeSet<String> = earlier
        .iter()
        .flat_map(|other| other.parts.iter().map(|part| key(&part.name)))
        .collect();
    let all = named.len();
    let mut new: Vec<New> = named
        .into_iter()
        .filter(|(name, _)| !seen.contains(name))
        .map(|(_, part)| New {
            unseen: unseen(&part, &earlier),
            part,
        })
        .collect();
    // What was looked for most often is told first.
    new.sort_by_key(|n| std::cmp::Reverse(n.unseen.identified));
    let chances: Vec<f64> = new
        .iter()
        .map(|n| chance_unseen(n.unseen.identified, rare(), 1.0))
        .collect();
    let adjusted = benjamini_hochberg(&chances);
    let rare = adjusted.iter().filter(|p| **p <= 1.0 - SURE).count();
    let mut finding = begin(word!("first-sightings"), "Parts seen for the first time");
    finding.sentence = sentence(all, new.len(), rare, &earlier);
    if !new.is_empty() {
        finding.details.push(Detail::Table(table(&new, &adjusted)));
    }
    if new.len() > TOLD {
        let rest = counted(new.len() - TOLD, "more part", "more parts");
        finding.unused.push(format!("{rest} seen for the first time are not listed"));
    }
    finding.sources.push(
        "B. D. Jovanovic and P. S. Levy, A look at the rule of three, 1997; I. J. Good, 1953, for the chance of a new kind; \
         Y. Benjamini and Y. Hochberg, 1995"
            .to_string(),
    );
    set.close(&mut finding);
    Some(finding)
}

/// How often the place of a part was identified in earlier products.
fn unseen(part: &OtherPart, earlier: &[&Other]) -> Unseen {
    let there = |other: &&&Other| {
        let mut parts = other.parts.iter().filter(|p| same(&p.role, &part.role));
        parts.any(|p| p.read)
    };
    Unseen {
        products: earlier.len(),
        identified: earlier.iter().filter(there).count(),
        market: None,
    }
}

fn sentence(all: usize, new: usize, rare: usize, earlier: &[&Other]) -> String {
    let n = counted(earlier.len(), "earlier product", "earlier products");
    let parts = spelt_start(all, "identified part was", "identified parts were");
    if new == 0 {
        return format!("{parts} looked up in {n} of this library: each was seen before.");
    }
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for other in earlier {
        let read = other.parts.iter().filter(|part| part.read);
        let kinds: BTreeSet<String> = read.map(|part| key(&part.name)).collect();
        for kind in kinds {
            *counts.entry(kind).or_default() += 1;
        }
    }
    let counts: Vec<usize> = counts.into_values().collect();
    let expected = Kinds::count(&counts).next_is_new().map_or(String::new(), |p| {
        format!(
            " That is no wonder where {} of the parts seen so far were seen once.",
            percent(p)
        )
    });
    let called = match rare {
        0 => "none of them can be called rare".to_string(),
        k => format!("{} can be called rare", of_them(k)),
    };
    format!(
        "{parts} looked up in {n} of this library: {new} of them {} seen in none.{expected} By what was identified there, {called}.",
        if new == 1 { "was" } else { "were" }
    )
}

fn table(new: &[New], adjusted: &[f64]) -> Table {
    let row = |(n, p): (&New, &f64)| {
        let bound = match n.unseen.identified {
            0 => Cell::words("nothing can be said"),
            _ => Cell::words(format!("up to {}", percent(n.unseen.bound(SURE).share))),
        };
        let role = match n.part.role.as_str() {
            "" => Cell::Nothing,
            role => Cell::words(role),
        };
        vec![
            Cell::words(&n.part.name),
            role,
            Cell::count(n.unseen.identified),
            bound,
            Cell::words(if *p <= 1.0 - SURE { "rare" } else { "" }),
        ]
    };
    Table {
        caption: "Parts that no earlier product of this library showed, and how many of all such products may have them even so"
            .to_string(),
        columns: vec![
            Column::words("Part"),
            Column::words("What it does"),
            Column::count("Earlier products with that place identified"),
            Column::words("May have it"),
            Column::words("Remark"),
        ],
        rows: new.iter().zip(adjusted).take(TOLD).map(row).collect(),
    }
}
