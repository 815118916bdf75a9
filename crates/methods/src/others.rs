//! What a library holds of other products, as far as methods compare with it.
//!
//! In: plain data of whoever has a library (`app`). Out: products that may be compared: which came first, which are of
//! one class, maker or family. Not here: how a library is asked; what a comparison says (`claims`, `standing`).
//!
//! Every sentence that rests on it speaks of “this library”: nobody drew its products by chance.

use crate::{Case, presence};
use jiff::civil::Date;
use quantity::Unit;
use record::{Product, Scope};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The other products of a library, or that there is none.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Others {
    /// The products; none where a dossier is examined without a library.
    pub products: Option<Vec<Other>>,
    /// How many more the library holds that are not among them.
    pub left: usize,
}

/// Another product.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Other {
    /// What the library calls its dossier.
    pub id: String,
    /// Trade name.
    pub product: String,
    /// Maker.
    pub maker: String,
    /// What it is, in words; empty if not known.
    pub category: String,
    /// Market it was made for; empty if not known.
    pub market: String,
    /// Its family; empty if not known.
    pub family: String,
    /// First day on sale.
    pub released: Option<Date>,
    /// A day on which it was there: made, bought or opened, the earliest of them.
    pub there: Date,
    /// Its figures.
    pub traits: Vec<Trait>,
    /// Its parts that have a name or a role.
    pub parts: Vec<OtherPart>,
}

/// A figure of a product as a whole, in the coherent SI unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Trait {
    /// Which it is.
    pub what: TraitKind,
    /// Value.
    pub value: f64,
    /// Standard uncertainty.
    pub uncertainty: f64,
}

/// A part of another product.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OtherPart {
    /// Its part number; empty where it was not identified.
    pub name: String,
    /// Who makes it; empty if not known.
    pub maker: String,
    /// What it does; empty if not known.
    pub role: String,
    /// Whether its identity was read.
    pub read: bool,
}

macro_rules! traits {
    ($($name:ident, $key:literal, $words:literal, $less:literal, $more:literal, $unit:literal;)*) => {
        /// The figures that products are compared by.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(rename_all = "kebab-case")]
        #[allow(missing_docs, reason = "the table says what each is")]
        pub enum TraitKind { $($name,)* }

        impl TraitKind {
            /// All of them in the order in which they are told.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// Returns what it is called in files and addresses.
            pub fn key(self) -> &'static str { match self { $(Self::$name => $key,)* } }

            /// Returns what it is called in a sentence.
            pub fn words(self) -> &'static str { match self { $(Self::$name => $words,)* } }

            /// Returns what the product with the least of it is.
            pub fn least(self) -> &'static str { match self { $(Self::$name => $less,)* } }

            /// Returns what the product with the most of it is.
            pub fn most(self) -> &'static str { match self { $(Self::$name => $more,)* } }

            /// Returns the unit that it is told in.
            pub fn unit(self) -> Unit {
                let symbol = match self { $(Self::$name => $unit,)* };
                Unit::parse(symbol).expect("the units of the table are units")
            }
        }
    };
}

traits! {
    Mass, "mass", "mass", "lightest", "heaviest", "g";
    Thickness, "thickness", "thickness", "thinnest", "thickest", "mm";
    Energy, "energy", "energy stored", "least in energy", "greatest in energy", "Wh";
    Capacity, "capacity", "capacity", "smallest in capacity", "greatest in capacity", "mAh";
    EnergyPerMass, "energy-per-mass", "energy per mass", "poorest in energy per mass", "richest in energy per mass", "Wh/kg";
    RunTime, "run-time", "run time", "shortest in run time", "longest in run time", "h";
    ChargingTime, "charging-time", "charging time", "quickest to charge", "slowest to charge", "min";
    Light, "light", "light given out", "dimmest", "brightest", "lm";
    NoiseReduction, "noise-reduction", "noise reduction", "shallowest in noise reduction", "deepest in noise reduction", "dB";
    Delay, "delay", "delay", "shortest in delay", "longest in delay", "ms";
}

impl TraitKind {
    /// Returns the figure that is called so.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.key() == key)
    }
}

impl Others {
    /// Nothing is known of a library.
    pub const fn unknown() -> Self {
        Self {
            products: None,
            left: 0,
        }
    }

    /// The other products of a library, all of them.
    pub fn of(products: Vec<Other>) -> Self {
        Self {
            products: Some(products),
            left: 0,
        }
    }

    /// Returns those of another family that a claim of a scope compares with; none without a library. A product
    /// whose family is not recorded stands for itself.
    pub(crate) fn within(&self, own: &Product, scope: Scope) -> Option<Vec<&Other>> {
        let products = self.products.as_ref()?.iter();
        let category = own.category.as_deref().unwrap_or_default();
        let fits = |other: &&Other| match scope {
            Scope::Class => same(&other.category, category),
            Scope::Maker => same(&other.maker, &own.maker),
            Scope::Market => true,
        };
        let family = own.family.as_deref().unwrap_or_default();
        let sibling = |other: &&Other| {
            !family.is_empty() && same(&other.family, family) && same(&other.maker, &own.maker)
        };
        Some(products.filter(fits).filter(|o| !sibling(o)).collect())
    }
}

impl Other {
    /// Returns its figure of a kind.
    pub fn figure(&self, what: TraitKind) -> Option<&Trait> {
        self.traits.iter().find(|t| t.what == what)
    }

    /// Returns whether it was there before a day; none where nobody recorded enough.
    pub(crate) fn was_there_before(&self, day: Date) -> Option<bool> {
        match self.released {
            Some(released) => Some(released < day),
            None => (self.there < day).then_some(true),
        }
    }

    /// Returns the sentence part that says since when it was there.
    pub(crate) fn since(&self) -> String {
        match self.released {
            Some(day) => format!("on sale from {day}"),
            None => format!("there by {}", self.there),
        }
    }
}

/// Leaves one product of each family, the first in the order given.
pub(crate) fn once_a_family(products: Vec<&Other>) -> Vec<&Other> {
    let mut seen = BTreeMap::new();
    let own = |other: &Other| match other.family.is_empty() {
        true => (other.id.clone(), String::new()),
        false => (key(&other.maker), key(&other.family)),
    };
    let first = |other: &&Other| seen.insert(own(other), ()).is_none();
    products.into_iter().filter(first).collect()
}

/// Returns whether two names are one but for case, spaces and punctuation; two that are not known are not.
pub(crate) fn same(a: &str, b: &str) -> bool {
    let a = key(a);
    !a.is_empty() && a == key(b)
}

/// Returns a name without case, spaces and punctuation.
pub(crate) fn key(name: &str) -> String {
    presence::words(name).concat()
}

/// Returns the earliest day on which a product is known to have been there.
pub fn there(product: &Product) -> Date {
    let days = [product.made, product.bought, Some(product.opened)];
    let earliest = days.into_iter().flatten().min();
    earliest.unwrap_or(product.opened)
}

/// Returns what a library keeps of a case for the comparison of others with it.
pub fn profile(case: &Case<'_>, id: &str) -> Other {
    let product = &case.dossier.product;
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let part = |item: &record::Item| {
        let identity = item.part.as_ref().and_then(|part| part.identity.as_ref());
        let known = identity.is_some() || item.role.is_some();
        known.then(|| OtherPart {
            name: identity.map(|i| i.name.clone()).unwrap_or_default(),
            maker: identity.and_then(|i| i.maker.clone()).unwrap_or_default(),
            role: text(&item.role),
            read: identity.is_some_and(|i| i.certainty == record::Certainty::Read),
        })
    };
    let mut parts: Vec<OtherPart> = Vec::new();
    for part in case.dossier.items.iter().filter_map(part) {
        if !parts.contains(&part) {
            parts.push(part);
        }
    }
    Other {
        id: id.to_string(),
        product: product.name.clone(),
        maker: product.maker.clone(),
        category: text(&product.category),
        market: text(&product.market),
        family: text(&product.family),
        released: product.released,
        there: there(product),
        traits: case.traits().to_vec(),
        parts,
    }
}
