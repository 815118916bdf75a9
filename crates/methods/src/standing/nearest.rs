//! The products most like this one, why they are, and the parts they share.

use super::{Set, begin};
use crate::others::{Other, OtherPart, Trait, TraitKind, key, profile};
use crate::words::listed;
use crate::{Case, Cell, Column, Detail, Finding, Table};
use ::standing::likeness::{Attribute, Comparison, Scale, Value, in_common, rarity};
use std::collections::{BTreeMap, BTreeSet};

/// Products that are told.
const NEAREST: usize = 3;
/// Shared parts that are named.
const NAMED: usize = 3;

/// What products are compared by: few things, none of which follows from another. Mass per energy and capacity follow
/// from mass and energy.
const COMPARED: [(Compared, &str); 9] = [
    (Compared::Category, "class"),
    (Compared::Market, "market"),
    (Compared::Figure(TraitKind::Mass), "mass"),
    (Compared::Figure(TraitKind::Thickness), "thickness"),
    (Compared::Figure(TraitKind::Energy), "energy stored"),
    (Compared::Figure(TraitKind::RunTime), "run time"),
    (Compared::Figure(TraitKind::ChargingTime), "charging time"),
    (Compared::Figure(TraitKind::Light), "light given out"),
    (Compared::Figure(TraitKind::Delay), "delay"),
];

#[derive(Clone, Copy)]
enum Compared {
    Category,
    Market,
    Figure(TraitKind),
}

impl Compared {
    fn of(self, other: &Other) -> Value {
        let label = |text: &str| match key(text) {
            text if text.is_empty() => Value::Unknown,
            text => Value::Label(text),
        };
        match self {
            Self::Category => label(&other.category),
            Self::Market => label(&other.market),
            Self::Figure(kind) => {
                let value = other.figure(kind).map(|t: &Trait| t.value);
                value.map_or(Value::Unknown, Value::Number)
            }
        }
    }

    fn scale(self) -> Scale {
        match self {
            Self::Category | Self::Market => Scale::Label,
            Self::Figure(_) => Scale::Positive,
        }
    }
}

pub(super) fn told(case: &Case<'_>, set: &Set<'_>) -> Option<Finding> {
    let own = profile(case, "");
    let values = |other: &Other| -> Vec<Value> { COMPARED.iter().map(|(c, _)| c.of(other)).collect() };
    let others: Vec<Vec<Value>> = set.others.iter().map(|other| values(other)).collect();
    let mine = values(&own);
    let every: Vec<Vec<Value>> = others.iter().cloned().chain([mine.clone()]).collect();
    let attribute = |(c, _): &(Compared, &str)| Attribute {
        scale: c.scale(),
        weight: 1.0,
    };
    // What this product does not have tells nothing of it.
    let known: Vec<usize> = (0..COMPARED.len()).filter(|at| mine[*at] != Value::Unknown).collect();
    let only = |values: &[Value]| -> Vec<Value> { known.iter().map(|at| values[*at].clone()).collect() };
    let attributes = known.iter().map(|at| attribute(&COMPARED[*at])).collect();
    let every: Vec<Vec<Value>> = every.iter().map(|v| only(v)).collect();
    let others: Vec<Vec<Value>> = others.iter().map(|v| only(v)).collect();
    let comparison = Comparison::of_middle(attributes, &every);
    let nearest = comparison.nearest(&only(&mine), &others);
    if nearest.is_empty() {
        return None;
    }
    let parts = Parts::of(&own, &set.others);
    let mut rows = Vec::new();
    for (at, distance) in nearest.iter().take(NEAREST) {
        let other = set.others[*at];
        let reason = |(k, share): &(usize, f64)| {
            let name = COMPARED[known[*k]].1;
            format!("{name} ({:.0} %)", 100.0 * share / distance.value)
        };
        let why = match distance.reasons.is_empty() {
            true => "alike in all that is known of both".to_string(),
            false => distance.reasons.iter().map(reason).collect::<Vec<_>>().join(", "),
        };
        let (share, shared) = parts.with(other);
        rows.push(vec![
            Cell::words(format!("{} ({})", other.product, other.maker)),
            Cell::number(distance.value, 2),
            Cell::words(why),
            share.map_or(Cell::Nothing, |share| Cell::number(share, 2)),
            Cell::names(shared),
        ]);
    }
    let first = set.others[nearest[0].0];
    let mut finding = begin(word!("nearest"), "The products most like it");
    let compared: Vec<String> = known.iter().map(|at| COMPARED[*at].1.to_string()).collect();
    finding.sentence = format!(
        "Most like it in this library is {} by {}, by {}.",
        first.product,
        first.maker,
        listed(compared)
    );
    finding.details.push(Detail::Table(Table {
        caption: "The nearest products of this library, and what sets them apart from this one".to_string(),
        columns: vec![
            Column::words("Product"),
            Column::number("Distance, 0 to 1"),
            Column::words("What makes it"),
            Column::number("Parts in common, 0 to 1"),
            Column::words("Parts that both have"),
        ],
        rows,
    }));
    finding.sources.push(
        "J. C. Gower, A general coefficient of similarity and some of its properties, 1971; P. Jaccard, 1901, rare parts \
         weighing more than common ones"
            .to_string(),
    );
    set.close(&mut finding);
    Some(finding)
}

/// Identified parts by their folded names, and how many products have each.
struct Parts {
    own: BTreeMap<String, String>,
    having: BTreeMap<String, usize>,
    products: usize,
}

fn names(other: &Other) -> BTreeMap<String, String> {
    let named = other.parts.iter().filter(|part| part.read);
    let pair = |part: &OtherPart| (key(&part.name), part.name.clone());
    named.map(pair).filter(|(key, _)| !key.is_empty()).collect()
}

impl Parts {
    fn of(own: &Other, others: &[&Other]) -> Self {
        let mut having: BTreeMap<String, usize> = BTreeMap::new();
        for name in others.iter().chain([&own]).flat_map(|other| names(other).into_keys()) {
            *having.entry(name).or_default() += 1;
        }
        Self {
            own: names(own),
            having,
            // One more, so that a part which all have still weighs something.
            products: others.len() + 2,
        }
    }

    /// The share of the weight of all their parts that both have, and the rarest of these.
    fn with(&self, other: &Other) -> (Option<f64>, Vec<String>) {
        let set = |names: &BTreeMap<String, String>| -> BTreeSet<String> { names.keys().cloned().collect() };
        let (own, theirs) = (set(&self.own), set(&names(other)));
        let weight = |name: &String| rarity(self.having.get(name).copied().unwrap_or(1), self.products);
        let mut both: Vec<&String> = own.intersection(&theirs).collect();
        both.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
        let shown = both.iter().take(NAMED).map(|name| self.own[*name].clone()).collect();
        (in_common(&own, &theirs, weight), shown)
    }
}
