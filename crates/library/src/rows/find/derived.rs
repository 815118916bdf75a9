//! What tables hold of one indexed dossier; all of it follows from the [`Indexed`], so that it can be taken out again.

use crate::LibraryError;
use crate::rows::kept::json;
use crate::search::{Columns, Indexed, Pattern, PeerFacts, key, names};
use std::collections::{BTreeMap, BTreeSet};

/// What the role of the product itself is called among parts; no folded text holds a colon.
const PRODUCT: &str = "product:";

/// Rows of one dossier as JSON lists, and its words.
pub(super) struct Derived {
    pub(super) columns: [String; 6],
    /// Part, maker, role.
    pub(super) sorts: String,
    /// Head, line.
    pub(super) markings: String,
    /// Kind, low, high.
    pub(super) figures: String,
    /// Names.
    pub(super) rests: String,
    /// Class of the product, folded.
    pub(super) class: String,
    /// The day it is put on.
    pub(super) day: Option<i64>,
    /// What it is compared by.
    pub(super) facts: String,
    /// Kind, day, class, value, uncertainty.
    pub(super) traits: String,
    /// Folded names and how they are written.
    pub(super) shown: String,
}

impl Derived {
    pub(super) fn of(indexed: &Indexed) -> Result<Self, LibraryError> {
        let all = Columns::of(indexed);
        let columns = [
            all.product,
            all.category,
            all.part,
            all.maker,
            all.role,
            all.rest,
        ];
        let mut sorts = BTreeSet::new();
        if !key(&indexed.maker).is_empty() {
            sorts.insert([String::new(), key(&indexed.maker), PRODUCT.to_string()]);
        }
        let mut markings = BTreeSet::new();
        for part in indexed
            .things
            .iter()
            .filter_map(|thing| thing.part.as_ref())
        {
            let sort = [key(&part.name), key(&part.maker), key(&part.role)];
            if sort.iter().any(|word| !word.is_empty()) {
                sorts.insert(sort);
            }
            for line in Pattern::of_lines(&part.marking) {
                let text = line.to_string();
                markings.extend(line.heads().into_iter().map(|head| [head, text.clone()]));
            }
        }
        let figures: BTreeSet<_> = indexed
            .figures
            .iter()
            .map(|figure| {
                (
                    kind(&figure.kind, &figure.dimension),
                    ordered(figure.low),
                    ordered(figure.high),
                )
            })
            .collect();
        let rests: BTreeSet<String> = names(indexed)
            .map(key)
            .filter(|name| !name.is_empty())
            .collect();
        let facts = PeerFacts::of(indexed);
        let class = key(&indexed.category);
        let kinds: BTreeMap<&str, (f64, f64)> = facts
            .compared
            .figures
            .iter()
            .filter(|figure| figure.value.is_finite() && figure.uncertainty.is_finite())
            .map(|figure| (figure.kind.as_str(), (figure.value, figure.uncertainty)))
            .collect();
        let day = facts.day();
        let traits: Vec<_> = kinds
            .into_iter()
            .filter_map(|(kind, (value, uncertainty))| Some((kind, day?, &class, value, uncertainty)))
            .collect();
        let traits = json(&traits)?;
        let parts = facts.parts.iter().flat_map(|part| [&part.0, &part.1, &part.2]);
        let names = parts.chain([&indexed.maker, &indexed.category]);
        let shown: BTreeMap<String, &String> = names.map(|name| (key(name), name)).collect();
        let shown: Vec<_> = shown.into_iter().filter(|(key, _)| !key.is_empty()).collect();
        Ok(Self {
            day,
            facts: json(&facts)?,
            traits,
            shown: json(&shown)?,
            class,
            columns: columns.map(|words| words.into_iter().collect::<Vec<_>>().join(" ")),
            sorts: json(&sorts)?,
            markings: json(&markings)?,
            figures: json(&figures)?,
            rests: json(&rests)?,
        })
    }
}

/// The words of a folded role as they are searched for; those of the product are none.
pub(super) fn role_words(role: &str) -> &str {
    if role == PRODUCT { "" } else { role }
}

/// What figures of one kind and dimension lie under.
pub(super) fn kind(kind: &str, dimension: &str) -> String {
    format!("{kind} {dimension}")
}

/// A whole number for every number, in the same order; both zeros are one.
pub(super) fn ordered(value: f64) -> i64 {
    let bits = (value + 0.0).to_bits().cast_signed();
    if bits < 0 {
        i64::MIN.wrapping_sub(bits)
    } else {
        bits
    }
}
